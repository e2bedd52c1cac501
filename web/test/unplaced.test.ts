/** The demo houses, which the program finds nothing wrong with, and figures by hand. */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import type { Entities } from "../src/drawing/scene";
import { loose, undrawn } from "../src/drawing/unplaced";

const demo = (name: string): { entities: Entities; units: string } =>
  JSON.parse(readFileSync(fileURLToPath(new URL(`../../src/wainscot/demos/${name}.json`, import.meta.url)), "utf8"));

test.each(["corner_cafe", "semi_1930s", "terraced_cottage"])("in the demo house %s nothing lies in solid wall or outside", (name) => {
  const { entities, units } = demo(name);
  expect(loose(entities, units).filter((one) => ["in wall", "in room", "outside"].includes(one.why))).toEqual([]);
});

const house = (east: number): Entities => ({
  ground: { kind: "storey", name: "Ground" },
  kitchen: { kind: "room", name: "Kitchen", storey: "ground", polygon: [[0, 0], [east, 0], [east, 3], [0, 3]] },
  hall: { kind: "room", name: "Hall", storey: "ground", polygon: [[east + 0.1, 0], [8, 0], [8, 3], [east + 0.1, 3]] },
  pantry: { kind: "room", name: "Pantry" },
  open: { kind: "inspection", place: { storey: "ground", at: [4.35, 1], part: "room" } },
  bay: { kind: "inspection", place: { storey: "ground", at: [4.05, 1], part: "wall" } },
  floor: { kind: "inspection", place: { storey: "ground", at: [2, 1], part: "floor" } },
  told: { kind: "inspection", place: { of: "pantry" } },
  gone: { kind: "inspection", place: { of: "bath" } },
  side: { kind: "inspection", place: { of: "kitchen/n1" } },
  lost: { kind: "inspection", place: { of: "kitchen/n2" } },
  bare: { kind: "inspection" },
});

test("what an edit moved the wall over or away from is told apart from what never had a place", () => {
  const why = (east: number): Record<string, string> => Object.fromEntries(loose(house(east), "m").map((one) => [one.id, one.why]));
  const always = { told: "undrawn", gone: "nowhere", lost: "nowhere", bare: "nowhere" };
  expect(why(4)).toEqual(always);
  expect(why(4.3)).toEqual({ ...always, open: "in wall", bay: "in room" });
  expect(undrawn(house(4)).map(([id]) => id)).toEqual(["pantry"]);
});
