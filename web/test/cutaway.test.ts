/** Figures by hand. */
import { expect, test } from "vitest";
import { apart, blocksAt, CUT, topOf, type Block, type Level } from "../src/screens/cutaway/solids";

const block = (id: string, bottom: number, top: number): Block => ({
  id, label: id, bottom, top, outline: [[0, 0], [2, 0], [2, 1], [0, 1]],
});
const voids = [block("bay", 0, 2.4), block("high", 1.9, 2.4), block("joists", -0.2, 0), block("loft", 2.6, 4)];
const levels: Level[] = [
  { storey: "ground", where: "view", lower: "", voids: [0, 1] },
  { storey: "ground", where: "under", lower: "", voids: [2] },
  { storey: "ground", where: "over", lower: "", voids: [3] },
  { storey: "first", where: "view", lower: "", voids: [] },
];
const ids = (some: readonly Block[]): string[] => some.map((one) => one.id);

test("walls are cut over the floor of their storey, and what lies higher is lifted off", () => {
  const cut = blocksAt(voids, levels, "ground", "floor");
  expect(ids(cut)).toEqual(["joists", "bay"]);
  expect(cut[1]!.top).toBe(CUT);
  expect(ids(blocksAt(voids, levels, "ground", "under"))).toEqual(["joists"]);
  expect(ids(blocksAt(voids, levels, "ground", "ceiling"))).toEqual(["bay", "high", "loft"]);
  expect(blocksAt(voids, levels, "first", "floor")).toEqual([]);
});

test("a floor that is also the ceiling beneath is left of both storeys", () => {
  const shared: Level[] = [levels[0]!, { storey: "first", where: "under", lower: "ground", voids: [3] }];
  expect(ids(blocksAt(voids, shared, "ground", "ceiling"))).toEqual(["bay", "high", "loft"]);
  expect(ids(blocksAt(voids, shared, "ground", "under"))).toEqual([]);
  expect(ids(blocksAt(voids, shared, "first", "under"))).toEqual(["loft"]);
});

test("a block's plate stands on the middle of its upper face", () => {
  expect(topOf(voids[0]!)).toEqual([1, 0.5, 2.4]);
});

test("of plates that lie over one another the first stays", () => {
  const plates = [{ x: 0, y: 0, width: 30 }, { x: 10, y: 10, width: 30 }, { x: 80, y: 0, width: 30 }];
  expect(apart(plates, 26)).toEqual([plates[0], plates[2]]);
});
