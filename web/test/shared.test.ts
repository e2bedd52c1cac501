/** The cases of tests/shared, which the Python tests hold to the program's own answers. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { facings } from "../src/geometry/facing";
import type { Point } from "../src/geometry/frame";
import { anticlockwise, pointOn, sideId, sidesOf } from "../src/geometry/outline";
import { asTyped, length, lengthOr, showLength } from "../src/geometry/quantity";
import { diff } from "../src/record/diff";
import { eventId, lineOf, type Event } from "../src/record/event";
import { fold, type Job } from "../src/record/fold";
import { sha256 } from "../src/record/sha256";
import { percent, wordOf } from "../src/screens/find/chance";
import { Phrasebook } from "../src/screens/words/phrasebook";

const cases = <T>(name: string): T =>
  JSON.parse(readFileSync(new URL(`../../tests/shared/${name}.json`, import.meta.url), "utf8")) as T;

test("lengths as typed become the same metres, to the last bit", () => {
  const { typed } = cases<{ typed: [string, number | null][] }>("quantity");
  for (const [text, metres] of typed) expect([text, lengthOr(text, null)]).toEqual([text, metres]);
});

test("metres are read out in the same words", () => {
  const { shown } = cases<{ shown: [number, string, string][] }>("quantity");
  for (const [metres, metric, imperial] of shown) {
    expect([metres, showLength(metres, "m"), showLength(metres, "ft-in")]).toEqual([
      metres, metric, imperial,
    ]);
  }
});

test("a chance has the same number and class, on its bounds and beside them too", () => {
  const told = cases<[number, string, number][]>("chance");
  for (const [chance, number, n] of told) expect([chance, percent(chance), wordOf(chance).n]).toEqual([chance, number, n]);
  // The bounds of the published table, and on which side they lie, by themselves.
  for (const [bound, n] of [[0.1, 2], [0.33, 3], [0.66, 3], [0.9, 4]]) expect(told.find(([chance]) => chance === bound)![2]).toBe(n);
});

test("metres as text read back to a tenth of a millimetre's thousandth", () => {
  for (const metres of [0, 1.0287, 3.2131, -0.2032, 12 * 0.0254]) {
    expect(length(asTyped(metres))).toBeCloseTo(metres, 7);
  }
});

test("an event has the same line and id", () => {
  for (const line of cases<string[]>("event_id")) {
    const event = JSON.parse(line) as Event;
    expect(lineOf(event)).toBe(line);
    expect(eventId(event)).toBe(event.id);
  }
});

test("events add up to the same job", () => {
  for (const one of cases<{ events: Event[]; job: Job }[]>("fold")) {
    expect(fold(one.events, "job_a")).toEqual(one.job);
    expect(fold([...one.events].reverse(), "job_a")).toEqual(one.job);
  }
});

test("two states of a job give the same events", () => {
  type Case = { prior: Event[]; old: Job; new: Job; seq: number; ids: string[]; lines: string[] };
  for (const one of cases<Case[]>("diff")) {
    const pen = { device: "van", seq: one.seq, prev: "p", at: "2025-03-15T08:00Z" };
    let n = 0;
    const made = diff(one.old, one.new, pen, one.prior, () => sha256(String(n++)));
    expect(made.map((event) => event.id)).toEqual(one.ids);
    expect(made.map(lineOf)).toEqual(one.lines);
  }
});

test("outlines have the same sides and walls", () => {
  type Case = {
    rooms: Record<string, Point[]>;
    outlines: Record<string, Point[]>;
    sides: [string, string, number, number, number, number, Point][];
    walls: [string, number, number, number, string][];
  };
  for (const one of cases<Case[]>("geometry")) {
    const all = Object.entries(one.rooms).flatMap(([key, points]) => {
      const outline = anticlockwise(points);
      expect(outline).toEqual(one.outlines[key]);
      return sidesOf(key, outline);
    });
    all.forEach((side, n) => {
      const [id, normal, line, low, high, turn, point] = one.sides[n]!;
      expect([sideId(side), side.normal]).toEqual([id, normal]);
      [side.line, side.low, side.high, side.turn, ...pointOn(side, 0.3, 0.1)].forEach((value, m) =>
        expect(value).toBeCloseTo([line, low, high, turn, ...point][m]!, 9),
      );
    });
    const walls = facings(all);
    expect(walls.length).toBe(one.walls.length);
    walls.forEach((wall, n) => {
      const [id, low, high, gap, other] = one.walls[n]!;
      expect([sideId(wall.side), wall.other ? sideId(wall.other) : ""]).toEqual([id, other]);
      [wall.low, wall.high, wall.gap].forEach((value, m) =>
        expect(value).toBeCloseTo([low, high, gap][m]!, 9),
      );
    });
  }
});

test("SHA-256 of the examples of FIPS 180-2, appendix B", () => {
  expect(sha256("abc")).toBe("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  expect(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq")).toBe(
    "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
  );
  expect(sha256("a".repeat(1_000_000))).toBe(
    "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0",
  );
});

test("the office's sentences are said in the same words", () => {
  const { names, said } = cases<{ names: string[]; said: Record<string, [string, string, boolean][]> }>("phrases");
  for (const [language, all] of Object.entries(said)) {
    const made = readFileSync(new URL(`../src/made/phrases.${language}.json`, import.meta.url), "utf8");
    const book = new Phrasebook(JSON.parse(made) as Record<string, string>);
    book.know(names);
    for (const [text, told, whole] of all) expect([text, book.tell(text)]).toEqual([text, { text: told, whole }]);
    expect(all.length).toBeGreaterThan(20);
  }
});
