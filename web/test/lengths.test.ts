/** Figures by hand. */
import { expect, test } from "vitest";
import { withMeasured } from "../src/drawing/lengths";
import { without } from "../src/drawing/edit";
import { withPiece } from "../src/drawing/push";
import { roomShape, type Entities } from "../src/drawing/scene";

/** Kitchen and hall side by side on the south, a store across the north of both; walls of 100 mm. */
const house = (measured: Record<string, Record<string, string>> = {}): Entities => ({
  ground: { kind: "storey", name: "Ground" },
  kitchen: { kind: "room", name: "Kitchen", storey: "ground", polygon: [[0, 0], [4, 0], [4, 3], [0, 3]], lengths: measured["kitchen"] ?? {} },
  hall: { kind: "room", name: "Hall", storey: "ground", polygon: [[4.1, 0], [6, 0], [6, 3], [4.1, 3]], lengths: measured["hall"] ?? {} },
  store: { kind: "room", name: "Store", storey: "ground", polygon: [[0, 3.1], [6, 3.1], [6, 5], [0, 5]], lengths: measured["store"] ?? {} },
});
const xs = (entities: unknown, id: string): number[] => {
  const shape = roomShape(id, (entities as Record<string, never>)[id]!)!;
  return [Math.min(...shape.outline.map((one) => one[0])), Math.max(...shape.outline.map((one) => one[0]))].map((one) => Math.round(one * 1e4) / 1e4);
};
const after = (old: Entities, outcome: ReturnType<typeof withMeasured>): Entities => {
  if (!("rooms" in outcome)) throw new Error(JSON.stringify(outcome));
  return { ...old, ...outcome.rooms } as Entities;
};

test("a room beside follows: its near face moves with the wall, its far end stays where nothing ties it", () => {
  const old = house();
  const now = after(old, withMeasured(old, "kitchen", "s1", "4.2 m"));
  expect(xs(now, "kitchen")).toEqual([0, 4.2]);
  expect(xs(now, "hall")).toEqual([4.3, 6]);
  expect(xs(now, "store")).toEqual([0, 6]);
  expect((now["kitchen"] as { polygon: unknown[][] }).polygon[1]![0]).toBe("4.2 m");
  expect((now["kitchen"] as { lengths: unknown }).lengths).toEqual({ s1: "4.2 m" });
});

test("a typed length stands as typed where its near end is at nought, and to a tenth of a millimetre elsewhere", () => {
  const old = house();
  const feet = after(old, withMeasured(old, "kitchen", "s1", `13'-0"`));
  expect((feet["kitchen"] as { polygon: unknown }).polygon).toEqual([[0, 0], [`13'-0"`, 0], [`13'-0"`, 3], [0, 3]]);
  const hall = after(old, withMeasured(old, "hall", "s1", "2 m"));
  expect((hall["hall"] as { polygon: unknown }).polygon).toEqual([[4.1, 0], ["6100 mm", 0], ["6100 mm", 3], [4.1, 3]]);
});

test("a measured room beside moves as a whole", () => {
  const old = house({ hall: { s1: "1.9 m" } });
  expect(xs(after(old, withMeasured(old, "kitchen", "s1", "4.2 m")), "hall")).toEqual([4.3, 6.2]);
});

test("measured lengths that do not meet are named and nothing moves; the least sure of them gives way", () => {
  const old: Entities = {
    ...house({ kitchen: { s1: "4 m" }, hall: { s1: "1.9 m" } }),
    // A cellar stair at either end ties the store's length to those of the two.
    west: { kind: "room", name: "West", storey: "ground", polygon: [[-1, 0], [-0.1, 0], [-0.1, 5], [-1, 5]] },
    east: { kind: "room", name: "East", storey: "ground", polygon: [[6.1, 0], [7, 0], [7, 5], [6.1, 5]] },
  };
  const missed = withMeasured(old, "store", "s1", "6.04 m");
  expect(missed).toEqual({
    misses: expect.closeTo(0.04, 9),
    edges: [{ room: "hall", side: "s1" }, { room: "kitchen", side: "s1" }, { room: "store", side: "s1" }],
  });
  const now = after(old, withMeasured(old, "store", "s1", "6.04 m", [{ room: "kitchen", side: "s1" }]));
  expect(xs(now, "store")).toEqual([0, 6.04]);
  expect(xs(now, "hall")).toEqual([4.14, 6.04]);
  expect(xs(now, "kitchen")).toEqual([0, 4.04]);
  expect(xs(now, "east")).toEqual([6.14, 7]);
  expect((now["kitchen"] as { lengths?: unknown }).lengths).toBeUndefined();
});

test("a length that leaves nothing of a room beside it is refused by name", () => {
  const old = house();
  expect(withMeasured(old, "kitchen", "s1", "5.9 m")).toEqual({ into: "Hall" });
});

test("a piece pushed out takes the window that is in it, and what was said of the wall holds for each piece", () => {
  const old: Entities = {
    ground: { kind: "storey", name: "Ground" },
    kitchen: { kind: "room", name: "Kitchen", storey: "ground", polygon: [[0, 0], [4, 0], [4, 3], [0, 3]], lengths: { e1: "3 m", s1: "4 m" } },
    north: { kind: "wall", room: "kitchen", side: "n1", build: "solid" },
    bay: { kind: "opening", room: "kitchen", side: "n1", type: "window", along: 1.5, width: 1 },
    mine: { kind: "own_cut", room: "kitchen", side: "n1", along: 1.5, width: 0.3, height: 0.4 },
    bath: { kind: "fixture", type: "bath", room: "kitchen", against: "s1", along: 0.5 },
  };
  const made = withPiece(old, "kitchen", "n1", 1, 3, 0.6, (what) => `${what}_new${Math.random()}`);
  if (!("entities" in made)) throw new Error(JSON.stringify(made));
  const now = { ...old, ...made.entities } as unknown as Record<string, Record<string, unknown>>;
  const shape = roomShape("kitchen", now["kitchen"] as never)!;
  expect(shape.sides.filter((one) => one.normal === "n").map((one) => [one.low, one.high, one.line])).toEqual([[0, 1, 3], [1, 3, 3.6], [3, 4, 3]]);
  expect([now["bay"]!["side"], now["bay"]!["along"]]).toEqual(["n2", "500 mm"]);
  expect([now["mine"]!["side"], now["mine"]!["along"]]).toEqual(["n2", "500 mm"]);
  expect(Object.keys(without(now as unknown as Entities, "kitchen"))).toEqual(["ground"]);
  expect(now["bath"]).toEqual(old["bath"]);
  const walls = Object.values(now).filter((one) => one["kind"] === "wall").map((one) => [one["side"], one["build"]]);
  expect(walls.sort()).toEqual([["n1", "solid"], ["n2", "solid"], ["n3", "solid"]]);
  // Counted from the south the east side is the first still; the lengths hold.
  expect(now["kitchen"]!["lengths"]).toEqual({ e1: "3 m", s1: "4 m" });
});

test("studs stay where they stand when a piece is pushed, and are known no better than before", () => {
  const wall = { kind: "wall", room: "kitchen", side: "n1", build: "stud", stud_spacing: "400 mm" } as const;
  const old = (first: unknown, said: object = wall): Entities => ({
    ground: { kind: "storey", name: "Ground" },
    kitchen: { kind: "room", name: "Kitchen", storey: "ground", polygon: [[0, 0], [4, 0], [4, 3], [0, 3]] },
    north: { ...said, first_stud: first } as never,
  });
  const firsts = (entities: Entities): unknown[] => {
    const made = withPiece(entities, "kitchen", "n1", 1, 3, 0.6, (what) => `${what}_new${Math.random()}`);
    if (!("entities" in made)) throw new Error(JSON.stringify(made));
    return Object.values(made.entities).filter((one) => one?.["kind"] === "wall")
      .sort((a, b) => String(a!["side"]).localeCompare(String(b!["side"]))).map((one) => one!["first_stud"]);
  };
  // Studs at 0.3, 0.7, 1.1, ... 3.1: from 1 m on the first is 0.1 m along, from 3 m on again.
  expect(firsts(old({ value: "300 mm", basis: "estimated" }))).toEqual([
    { value: "300 mm", basis: "estimated" }, { value: "100 mm", basis: "estimated" }, { value: "100 mm", basis: "estimated" },
  ]);
  expect(firsts(old("300 mm"))).toEqual(["300 mm", "100 mm", "100 mm"]);
  // Where nobody said how far apart they stand, none follows from one that stands further left.
  const { stud_spacing: _, ...bare } = wall;
  expect(firsts(old("1.3 m", bare))).toEqual(["1.3 m", "300 mm", undefined]);
});

test("what was seen at a side stays where it was seen when its stretches get other names", () => {
  const seen = (of: string, along?: string) => ({ kind: "inspection", place: { of, ...(along ? { along } : {}) } }) as never;
  const old: Entities = {
    ground: { kind: "storey", name: "Ground" },
    kitchen: { kind: "room", name: "Kitchen", storey: "ground", polygon: [[0, 0], [4, 0], [4, 3], [0, 3]] },
    left: seen("kitchen/n1", "500 mm"), middle: seen("kitchen/n1", "1.5 m"), right: seen("kitchen/n1", "3.2 m"),
    whole: seen("kitchen/n1"), south: seen("kitchen/s1", "1 m"),
  };
  const made = withPiece(old, "kitchen", "n1", 1, 3, 0.6, String);
  if (!("entities" in made)) throw new Error(JSON.stringify(made));
  const places = Object.fromEntries(Object.entries(made.entities).filter(([key]) => key !== "kitchen").map(([key, one]) => [key, one!["place"]]));
  expect(places).toEqual({
    middle: { of: "kitchen/n2", along: "500 mm" }, right: { of: "kitchen/n3", along: "200 mm" }, whole: { of: "kitchen/n2" },
  });
});

test("a side that grows with the piece beside it keeps its studs where they are", () => {
  const old: Entities = {
    ground: { kind: "storey", name: "Ground" },
    kitchen: { kind: "room", name: "Kitchen", storey: "ground", polygon: [[0, 0], [4, 0], [4, 3], [0, 3]] },
    // The left corner of the east side, seen from inside, is its north end, which moves out by 0.6 m.
    east: { kind: "wall", room: "kitchen", side: "e1", build: "stud", stud_spacing: "400 mm", first_stud: { value: "300 mm", basis: "measured" } },
  };
  const made = withPiece(old, "kitchen", "n1", 2, 4, 0.6, String);
  expect(made).toMatchObject({ entities: { east: { side: "e1", first_stud: { value: "900 mm", basis: "measured" } } } });
});

test("a piece pushed into another room is refused by name", () => {
  expect(withPiece(house(), "kitchen", "n1", 1, 3, 0.6, String)).toEqual({ into: "Store" });
});
