/** Figures by hand. */
import { expect, test } from "vitest";
import { keptClear, overlaps, rectangle, runsInto } from "../src/drawing/edit";
import { wallSaid } from "../src/drawing/assumed";
import { targets } from "../src/drawing/places";
import { readyMade } from "../src/drawing/readymade";
import { placePoint, roomShape, sceneOf, withNames, type Entities } from "../src/drawing/scene";
import { exact } from "../src/geometry/fraction";
import { marksOf } from "../src/screens/plan/marks";
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

test("a corner written twice is one corner", () => {
  for (const polygon of [[[0, 0], [4, 0], [4, 3], [0, 3], [0, 0]], [[0, 0], [4, 0], ["4 m", 0], [4, 3], [0, 3]]]) {
    expect(roomShape("kitchen", { ...house["kitchen"], polygon } as never)!.outline).toEqual(kitchen.outline);
  }
});

test("a number that is none is refused, not halved for ever", () => {
  for (const none of [NaN, Infinity]) expect(() => exact(none)).toThrow(RangeError);
});

test("of two words on one wall the one said from its own side is read and written", () => {
  const both = {
    ...house,
    other: { kind: "wall", room: "kitchen", side: "e1", build: "solid" },
    own: { kind: "wall", room: "hall", side: "w1", build: "stud" },
  } as Entities;
  const between = sceneOf(both, "ground", "m").walls.find((wall) => wall.facing)!;
  expect(between).toMatchObject({ id: "hall/w1", build: "stud" });
  expect(wallSaid(both, between)![0]).toBe("own");
});

/** Along and width of each fixture that a kitchen corner places, by side. */
const cornerOf = (entities: Entities, along: number) => {
  const scene = sceneOf(entities, "ground", "m");
  const wall = scene.walls.find((one) => one.id === "kitchen/s1")!;
  const made = readyMade(
    { ready: "kitchen corner", room: kitchen, wall, along, names: { bathroom: "Bath", kitchen: "Kitchen" }, newId: newIds() },
    entities, scene, "ground", "m",
  );
  return "entities" in made ? sceneOf({ ...entities, ...made.entities } as Entities, "ground", "m").fixtures : made;
};
const newIds = () => {
  let n = 0;
  return (what: string): string => `${what}_${(n += 1)}`;
};

test("a kitchen corner keeps clear of what stands there", () => {
  const bare = { ground: house["ground"]!, kitchen: house["kitchen"]! };
  const free = cornerOf(bare, 0.5);
  expect(free).toHaveLength(3);
  const washer = { kind: "fixture", type: "washing machine", room: "kitchen", against: "s1", along: 1.2 };
  const placed = cornerOf({ ...bare, washer } as Entities, 3.9);
  if (!Array.isArray(placed)) throw new Error(JSON.stringify(placed));
  for (const [n, one] of placed.entries()) {
    for (const other of placed.slice(n + 1)) {
      const [a, b] = [one.outline, other.outline].map((each) => [0, 1].map((k) => each.map((point: readonly number[]) => point[k]!)));
      const meet = [0, 1].map((k) => Math.min(Math.max(...a![k]!), Math.max(...b![k]!)) - Math.max(Math.min(...a![k]!), Math.min(...b![k]!)));
      expect(Math.min(...meet), `${one.type} in ${other.type}`).toBeLessThan(1e-6);
    }
  }
  // Where it stands in the corner itself nothing is left of it.
  expect(cornerOf({ ...bare, washer: { ...washer, along: 3.4 } } as Entities, 3.9)).toMatchObject({ has: 0 });
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

test("a look or a way in at a side, a wall, a door or a run has its point", () => {
  const looks: Entities = {
    ...house,
    partition: { kind: "wall", room: "kitchen", side: "e1", build: "stud" },
    door: { kind: "opening", room: "kitchen", side: "e1", type: "door", along: 1, width: 0.8 },
    drain: { kind: "service", type: "drain", path: [[1, -2, -0.5], [1, 1, -0.5], [1, 1, -0.3]], open_end: "end" },
    pipe: { kind: "service", type: "supply", path: [[0, 0, 1], [3, 0, 1]] },
    high: { kind: "service", type: "supply", path: [[0, 0, 4], [3, 0, 4]] },
  };
  const scene = sceneOf(looks, "ground", "m");
  const at = (of: string, along?: string) => placePoint({ of, ...(along ? { along } : {}) }, looks, "ground", scene);
  const near = (...point: number[]) => point.map((one) => expect.closeTo(one, 9));
  // The kitchen's east side, seen from inside, begins at its north end; its wall is 100 mm thick.
  expect(at("kitchen/e1", "1 m")).toEqual(near(4.05, 2));
  expect(at("hall/w1", "1 m")).toEqual(near(4.05, 1));
  expect(at("partition", "1 m")).toEqual(near(4.05, 2));
  expect(at("partition")).toEqual(near(4.05, 1.5));
  expect(at("door")).toEqual(near(4.05, 3 - 1.4));
  expect(at("drain")).toEqual(near(1, 1));
  expect(at("drain", "1 m")).toEqual(near(1, -1));
  expect(at("pipe")).toEqual(near(1.5, 0));
  // On another storey, or nothing at all.
  expect([at("high"), at("kitchen/n7"), at("nobody")]).toEqual([null, null, null]);
  const entry = { ...looks, hole: { kind: "entry_point", name: "Broken drain", place: { of: "drain" } } } as Entities;
  expect(sceneOf(entry, "ground", "m").entries).toEqual([{ id: "hole", name: "Broken drain", at: near(1, 1) }]);
});

test("what was logged at a way in stands beside it, and beside each other", () => {
  const look = { kind: "inspection", place: { of: "hole" }, finds: [{ kind: "droppings" }] };
  const hole = { kind: "entry_point", name: "Gap", place: { storey: "ground", at: [2, 0] } };
  const scene = sceneOf({ ...house, hole, one: look, two: look } as Entities, "ground", "m");
  const spots = [...marksOf(scene, ([x, y]) => [50 * x, 50 * y]).map(({ x, y }) => [x, y] as const), [100, 0] as const];
  for (const [n, [x, y]] of spots.entries()) {
    for (const [left, top] of spots.slice(n + 1)) expect(Math.max(Math.abs(left - x), Math.abs(top - y))).toBeGreaterThanOrEqual(24);
  }
});

test("a name is shown otherwise without a change to what is written", () => {
  const [id] = Object.entries(house).find(([, one]) => one.kind === "room")!;
  const gone = { ...house, [id]: { ...house[id], name: "(erased)" } } as Entities;
  const shown = withNames(gone, (name) => (name === "(erased)" ? "(borrado)" : name));
  expect(shown[id]).toMatchObject({ kind: "room", name: "(borrado)" });
  expect(gone[id]).toMatchObject({ name: "(erased)" });
  expect(withNames(house, (name) => name)).toBe(house);
});
