/** Openings by hand. */
import { stopsIn } from "../src/screens/jobs/lines";
import { expect, test } from "vitest";
import { grouped, inHundred, signedIn, spans, stopsOf, type Hold, type OpeningTold } from "../src/screens/open/told";

const hold = (key: string, standing: Hold["standing"]): Hold => ({
  key, standing, hazard: key, words: "", first: "", who: "", evidence: "",
});
const one = (id: string, act: string, holds: readonly Hold[] = []): OpeningTold => ({
  id, act, words: `${act}: ${id}`, room: "hall", charges: [{ kind: "room", of: "hall" }], voids: [id], partly: [], chance: 0.5,
  cost: 1, hours: 1, holds, limits: [], kept: [],
});

test("alike openings of one place are one line, unless one of them is signed", () => {
  const all = [one("a", "boards up"), one("b", "panel off"), one("c", "boards up")];
  expect(grouped(all, () => "").map((group) => group.all.map((each) => each.id))).toEqual([["a", "c"], ["b"]]);
  expect(grouped(all, (id) => (id === "c" ? "Ann" : "")).length).toBe(3);
});

test("labels that follow each other are told as a span", () => {
  expect(spans(["F20", "F21", "F22", "F25", "B1", "B2"], "to")).toBe("F20 to F22, F25, B1, B2");
});

test("declined counts as declined, whatever the dates", () => {
  const said = signedIn({
    s: { kind: "authorisation", openings: ["a", "b"], by: "Ann", at: "2026-05-20" },
    d: { kind: "declined", opening: "b", by: "Ann", reason: "new parquet" },
  });
  expect([...said.signed]).toEqual([["a", "Ann, 2026-05-20"]]);
  expect([...said.declined]).toEqual([["b", "Ann: new parquet"]]);
});

test("a hold point is told once, stops first, with who settled it; a caution is none", () => {
  const openings = [
    one("a", "x", [hold("dust", "care"), hold("paint", "find out")]),
    one("b", "y", [hold("gas", "stop"), hold("paint", "find out")]),
  ];
  const { stops, cares } = stopsOf({ r: { kind: "release", hold: "paint", by: "Ann", evidence: "swab 12" } }, openings);
  expect(stops.map((stop) => [stop.hold.key, stop.waits, stop.settled])).toEqual([
    ["gas", ["b"], ""], ["paint", ["a", "b"], "Ann: swab 12"],
  ]);
  expect(cares.map((each) => each.key)).toEqual(["dust"]);
});

test("never none and never all", () => {
  expect([0, 0.004, 0.2, 0.996, 1].map(inHundred)).toEqual(["<1", "<1", "20", ">99", ">99"]);
});

test("the stops of a job are those of checks and of the balanced openings once, without what is settled", () => {
  const before = { words: "", first: ["lead"], holds: [{ ...hold("lead", "stop"), first: "lead" }, hold("house", "care")] };
  const openings = [
    one("a", "boards up", [hold("lead", "stop"), hold("framing", "find out"), hold("house", "care")]),
    one("b", "panel off", [hold("services b", "find out")]),
    one("c", "panel off", [hold("services c", "find out")]),
  ];
  const choice = { balanced: { openings: ["a", "b"] }, openings };
  const figures = { answer: { checks: { checks: [before] }, openings: choice } } as never;
  expect(stopsIn(figures, [])).toBe(3);
  expect(stopsIn(figures, ["lead", "framing"])).toBe(1);
  expect(stopsIn(undefined, [])).toBe(0);
});
