/** Figures by hand. */
import { expect, test } from "vitest";
import { keptClear, overlaps, rectangle, runsInto } from "../src/drawing/edit";
import { targets } from "../src/drawing/places";
import { roomShape, sceneOf, withNames, type Entities } from "../src/drawing/scene";
import { snap } from "../src/geometry/snap";

const house: Entities = {
  ground: { kind: "storey", name: "Ground" },
  kitchen: { kind: "room", name: "Kitchen", storey: "ground", polygon: [[0, 0], ["4 m", 0], ["4 m", 3], [0, 3]] },
  hall: { kind: "room", name: "Hall", storey: "ground", polygon: [[4.1, 0], [6, 0], [6, 3], [4.1, 3]] },
  bath: { kind: "fixture", type: "bath", room: "kitchen", against: "n1", along: 0.5 },
};
const kitchen = roomShape("kitchen", house["kitchen"] as never)!;

test("the newer room stops at the older one, a wall away", () => {
  const placed = keptClear([3, 1], [8, 2], [kitchen], 0.1)!;
  expect(placed.outline).toEqual(rectangle([4.1, 1], [8, 2]));
  expect(placed.stopped).toBe("Kitchen");
  expect(overlaps(placed.outline, [kitchen])).toBeUndefined();
  expect(keptClear([1, 1], [2, 2], [kitchen], 0.1)).toBeNull();
});

test("a room that would run into another is told", () => {
  const wide = { ...house["kitchen"], polygon: [[0, 0], [5, 0], [5, 3], [0, 3]] } as never;
  expect(runsInto("kitchen", wide, house)).toBe("Hall");
  expect(runsInto("kitchen", house["kitchen"] as never, house)).toBe("");
});

test("a point snaps to a wall's thickness before the line of a corner before the grid", () => {
  expect(snap([4.12, 1.01], kitchen.sides, 0.15, 0.05, 0.1)).toEqual({ at: [4.1, 1], word: "wall face" });
  expect(snap([7.02, 3.3], kitchen.sides, 0.15, 0.5, 0.1).at).toEqual([7, 3.5]);
  // Past the end of the east side its line counts, not the wall beside it.
  expect(snap([4.06, 3.6], kitchen.sides, 0.15, 0.05, 0.1)).toEqual({ at: [4, expect.closeTo(3.6, 9)], word: "in line" });
  expect(snap([4.1, 3.1], kitchen.sides, 0.05, 0.5, 0.1).word).toBe("corner");
});

test("between two rooms stands one stud wall with bays of 400 mm", () => {
  const scene = sceneOf(house, "ground", "m");
  const between = scene.walls.find((wall) => wall.facing)!;
  expect(between.id).toBe("hall/w1");
  expect(between.bays).toEqual([0, 0.4, 0.8, 1.2, 1.6, 2, 2.4, 2.8, 3].map((one) => expect.closeTo(one, 9)));
  expect(scene.fixtures[0]!.outline[0]).toEqual([0.5, 3]);
});

test("a tap names the bay, the bath and the room", () => {
  const scene = sceneOf(house, "ground", "m");
  expect(targets(scene, "ground", [4.05, 1], 0.3)[0]!.what).toBe("bay");
  expect(targets(scene, "ground", [1.2, 2.7], 0.3)[0]!.place).toEqual({ of: "bath" });
  expect(targets(scene, "ground", [2, 1], 0.3)[0]!.place).toEqual({ of: "kitchen", part: "room" });
});

test("a name is shown otherwise without a change to what is written", () => {
  const [id] = Object.entries(house).find(([, one]) => one.kind === "room")!;
  const gone = { ...house, [id]: { ...house[id], name: "(erased)" } } as Entities;
  const shown = withNames(gone, (name) => (name === "(erased)" ? "(borrado)" : name));
  expect(shown[id]).toMatchObject({ kind: "room", name: "(borrado)" });
  expect(gone[id]).toMatchObject({ name: "(erased)" });
  expect(withNames(house, (name) => name)).toBe(house);
});
