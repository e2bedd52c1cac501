/** The phone's rows, weights and draws against the office's: tests/shared/make_pocket.py says how. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { atOnce, inFull, inputs, weighed } from "../src/kernel/diagnose";
import { runPopulation } from "../src/kernel/module";
import { placed, type Placed } from "../src/kernel/places";
import { readPocket } from "../src/kernel/pocket";
import { decode, encode } from "../src/kernel/problem";
import type { Fields } from "../src/record/event";

interface Said {
  readonly rows: Record<string, number[]>;
  readonly zones: [number[], number[], number, boolean][];
  readonly entries: Record<string, number[]>;
}
interface Shared {
  readonly pocket: unknown;
  readonly entities: Record<string, Fields>;
  readonly cases: {
    readonly name: string;
    readonly looks: Record<string, Fields | null>;
    readonly once: { k: number | null; effective: number; soiled: Record<string, number>; now: Record<string, number> };
    readonly cases: Said[];
  }[];
  readonly placings: ({ readonly look: Fields; readonly somewhere: boolean } & Placed)[];
  readonly full: { digests: string[][]; voids: Record<string, Record<string, [number, number, boolean]>> };
}
const at = (path: string): URL => new URL(`../../${path}`, import.meta.url);
const shared = JSON.parse(readFileSync(at("tests/shared/pocket.json"), "utf8")) as Shared;
const pocket = readPocket(JSON.stringify(shared.pocket))!;
const module = new WebAssembly.Module(readFileSync(at("src/wainscot/diagnosis/kernel.wasm")));

const close = (mine: number, theirs: number, what: string): void => {
  if (!(Math.abs(mine - theirs) <= 1e-9 * Math.max(1, Math.abs(theirs)))) expect([what, mine]).toEqual([what, theirs]);
};
const withLooks = (looks: Record<string, Fields | null>): Record<string, Fields> => {
  const entities = { ...shared.entities };
  for (const [id, look] of Object.entries(looks)) {
    if (look) entities[id] = look;
    else delete entities[id];
  }
  return entities;
};

test("input bytes read and written again are the same", () => {
  for (const one of pocket.cases) {
    const bytes = encode(one.problem, one.seed, 128);
    expect(encode(decode(bytes), one.seed, 128)).toEqual(bytes);
  }
});

test.each(shared.cases)("$name: rows, zones and ways in are the office's", ({ looks, cases }) => {
  const now = weighed(pocket, withLooks(looks));
  expect(now.since.waits).toEqual([]);
  now.after.forEach((mine, k) => {
    const [one, theirs] = [pocket.cases[k]!, cases[k]!];
    const size = pocket.loads * 18;
    for (const [id, row] of Object.entries(theirs.rows)) {
      const v = one.shape.keys.indexOf(id);
      row.forEach((value, n) => close(mine.detail[mine.rowOf[v]! * size + n]!, value, `${id} ${n}`));
    }
    const zones = mine.zones.map((zone) => [[...zone.voids], [...zone.hits], zone.falseRate, zone.heard] as const);
    expect(zones.length).toBe(theirs.zones.length);
    for (const [voids, hits, rate, heard] of theirs.zones) {
      const same = zones.find((zone) => zone[0].join() === voids.join() && zone[3] === heard && Math.abs(zone[2] - rate) < 1e-12);
      expect(same, `zone of ${voids.join()}`).toBeDefined();
      hits.forEach((hit, n) => close(same![1][n]!, hit, `hit ${n}`));
    }
    one.entries.forEach(([id], n) => theirs.entries[id]!.forEach((value, s) => close(mine.entries[3 * n + s]!, value, id)));
  });
});

test.each(shared.cases)("$name: the draws weighed anew say what the office's would", ({ looks, once }) => {
  const mine = atOnce(pocket, weighed(pocket, withLooks(looks)));
  if (once.k === null) expect(mine.k).toBe(Infinity);
  else close(mine.k, once.k, "k");
  close(mine.effective, once.effective, "effective");
  for (const void_ of mine.voids) {
    close(void_.soiled, once.soiled[void_.id]!, `${void_.id} soiled`);
    close(void_.now, once.now[void_.id]!, `${void_.id} now`);
  }
});

test("a full diagnosis here draws the office's bits and tells its chances, errors and doubts", () => {
  const now = weighed(pocket, shared.entities);
  const input = inputs(pocket, now);
  const drawn = input.map((one) => Array.from({ length: pocket.populations }, (_, n) => runPopulation(module, one, n)));
  expect(drawn.map((all) => all.map((one) => one.digest))).toEqual(shared.full.digests);
  const { numbers } = inFull(pocket, now, input, drawn);
  for (const one of numbers.voids) {
    const [soiled, error, settled] = shared.full.voids.soiled![one.id]!;
    close(one.soiled, soiled, one.id);
    close(one.error, error, `${one.id} error`);
    const isNow = shared.full.voids.now![one.id]!;
    close(one.now, isNow[0], one.id);
    close(one.nest, shared.full.voids.nest![one.id]![0], one.id);
    close(one.heavy, shared.full.voids.heavy![one.id]![0], one.id);
    close(one.ever, shared.full.voids.ever![one.id]![0], one.id);
    expect(one.settled).toBe(settled && isNow[2]);
  }
});

test("places lie in the voids that the office finds, points of every part and names", () => {
  const shape = pocket.cases[0]!.shape;
  let [known, above] = [0, 0];
  for (const { look, somewhere, ...theirs } of shared.placings) {
    const mine = placed(look, pocket, shape);
    if (typeof mine === "string") {
      expect([look.place, mine, somewhere]).toEqual([look.place, "place not known", false]);
      continue;
    }
    known += 1;
    above += theirs.above.length ? 1 : 0;
    const sorted = (one: Placed): unknown => ({ ...one, zone: [...one.zone].sort((a, b) => a - b) });
    expect([look.place, sorted({ ...mine, above: mine.source < 0 ? mine.above : [] })]).toEqual([look.place, sorted(theirs)]);
  }
  expect(known).toBeGreaterThan(100);
  expect(above).toBeGreaterThan(20);
});

test("what the pocket does not know is told, never guessed", () => {
  const look = (more: Record<string, unknown>): Fields => ({
    kind: "inspection", method: "eye and lamp", at: pocket.asOf, finished: false, finds: [{ kind: "droppings", amount: "few" }], ...more,
  }) as Fields;
  const room = Object.entries(shared.entities).find(([, one]) => one.kind === "room")![0];
  const place = { of: room, part: "room" };
  const told = (fields: Fields): unknown => weighed(pocket, { ...shared.entities, n1: fields }).since.waits;
  expect(told(look({ place: { of: "bath_new" } }))).toEqual([["n1", "place not known"]]);
  expect(told(look({}))).toEqual([["n1", "no place"]]);
  expect(told(look({ place, finds: [{ kind: "droppings", amount: "few", species: "house mouse" }] }))).toEqual([["n1", "what it says is not carried"]]);
  expect(told(look({ place, finds: [{ kind: "droppings", amount: "few", same_trace_as: "n0" }] }))).toEqual([["n1", "repeat sighting"]]);
  const fixture = { kind: "fixture", type: "bath", room, against: "n1", along: 0 };
  expect(weighed(pocket, { ...shared.entities, bath_new: fixture }).since.drawn).toEqual(["bath_new"]);
});
