/** Figures by hand. */
import { expect, test } from "vitest";
import { sceneOf, type Entities } from "../src/drawing/scene";
import { sayFirst, studsOf } from "../src/drawing/studs";

const house: Entities = {
  ground: { kind: "storey", name: "Ground" },
  kitchen: { kind: "room", name: "Kitchen", storey: "ground", polygon: [[0, 0], [4, 0], [4, 3], [0, 3]] },
  hall: { kind: "room", name: "Hall", storey: "ground", polygon: [[4.1, 0], [6, 0], [6, 3], [4.1, 3]] },
};
const between = (entities: Entities) => sceneOf(entities, "ground", "m").walls.find((one) => one.facing)!;
const newId = (what: string): string => `${what}_1`;

test("the first stud is asked for once somebody measured the spacing, and a guess finds no stud", () => {
  const wall = between(house);
  expect(wall.id).toBe("hall/w1");
  expect(studsOf(house, wall)).toEqual({ first: undefined, known: undefined, found: false, asked: false });
  const measured: Entities = { ...house, w: { kind: "wall", room: "hall", side: "w1", stud_spacing: "400 mm" } };
  expect(studsOf(measured, between(measured)).asked).toBe(true);
  for (const [basis, found] of [["measured", true], ["estimated", false]] as const) {
    const said = { ...measured, ...sayFirst(measured, wall, "150 mm", basis, newId) } as Entities;
    expect(said["w"]).toMatchObject({ stud_spacing: "400 mm", first_stud: { value: "150 mm", basis } });
    expect(studsOf(said, between(said))).toEqual({ first: "150 mm", known: basis, found, asked: false });
    expect(between(said).bays.slice(0, 3)).toEqual([0, 0.15, 0.55].map((one) => expect.closeTo(one, 9)));
    const again = { ...said, ...sayFirst(said, wall, undefined, basis, newId) } as Entities;
    expect(again["w"]).toEqual(measured["w"]);
  }
  // A spacing that was only told finds nothing.
  const told: Entities = { w: { kind: "wall", room: "hall", side: "w1", stud_spacing: { value: "400 mm", basis: "told" }, first_stud: 0.1 } };
  expect(studsOf({ ...house, ...told }, wall)).toMatchObject({ found: false, asked: false });
});

test("what was said from the other face is turned round: left and right change places", () => {
  // The wall is 3 m long. Said from the kitchen's east side: 0.3 m from its left (north) corner.
  const said: Entities = { ...house, w: { kind: "wall", room: "kitchen", side: "e1", stud_spacing: 0.4, first_stud: 0.3 } };
  const wall = between(said);
  expect(studsOf(said, wall).first).toBe(2.7);
  // 2.7 m from the hall's left corner and every 0.4 m: 0.3, 0.7, ...
  expect(wall.bays.slice(0, 3)).toEqual([0, 0.3, 0.7].map((one) => expect.closeTo(one, 9)));
  // Said from the hall it is written in the kitchen's words: 3 - 0.1 = 2.9 m, less seven times 0.4.
  const again = sayFirst(said, wall, "100 mm", "measured", newId)["w"]!;
  expect(again).toMatchObject({ room: "kitchen", side: "e1", first_stud: { basis: "measured" } });
  const turned = { ...said, w: again } as unknown as Entities;
  expect(between(turned).bays.slice(0, 3)).toEqual([0, 0.1, 0.5].map((one) => expect.closeTo(one, 9)));
});
