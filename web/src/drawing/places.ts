/** What a tap on the plan may mean, nearest first; what is logged there keeps a place, never a void. */
import type { Point } from "../geometry/frame";
import { contains, distance, placeOn, pointOn } from "../geometry/outline";
import { asTyped } from "../geometry/quantity";
import type { Place } from "../made/job";
import type { Scene, WallShape } from "./scene";

export interface Target {
  readonly key: string;
  readonly place: Place;
  readonly what: "entry" | "fixture" | "bay" | "wall" | "room" | "floor" | "ceiling" | "void";
  readonly room: string;
  /** Name, number of the bay, or nothing. */
  readonly name: string;
  /** Of a void that the office named: what stands on the plan. */
  readonly label?: string;
  readonly facing: string;
  readonly outline: readonly Point[];
  readonly at: Point;
}

/** Candidates for a tap; `reach` is how far a tap carries. [m] */
export const targets = (scene: Scene, storey: string, at: Point, reach: number): Target[] => {
  const names = new Map(scene.rooms.map((room) => [room.id, room.name]));
  const found: { off: number; target: Target }[] = [];
  for (const one of scene.entries) {
    const off = Math.hypot(one.at[0] - at[0], one.at[1] - at[1]);
    if (off <= reach) {
      found.push({ off: off - reach, target: {
        key: one.id, place: { of: one.id }, what: "entry", room: "", name: one.name, facing: "",
        outline: [], at: one.at,
      } });
    }
  }
  for (const one of scene.fixtures) {
    const off = distance(one.outline, at);
    if (off <= reach) {
      found.push({ off: off - 1e-3, target: {
        key: one.id, place: { of: one.id }, what: "fixture", name: one.words, facing: "",
        room: names.get(one.side.room) ?? "", outline: one.outline, at: centre(one.outline),
      } });
    }
  }
  for (const wall of scene.walls) {
    const off = distance(wall.outline, at);
    if (off <= reach) found.push({ off, target: inWall(wall, storey, at, names) });
  }
  const sorted = found.sort((a, b) => a.off - b.off).map((one) => one.target).slice(0, 5);
  const room = scene.rooms.find((one) => contains(one.outline, at));
  if (!room) return sorted;
  const point: [string, string] = [asTyped(at[0]), asTyped(at[1])];
  const base = { room: room.name, name: "", facing: "", outline: room.outline, at };
  const open: Target[] = [
    { ...base, key: `${room.id}/room`, what: "room", place: { of: room.id, part: "room" } },
    { ...base, key: `${room.id}/floor`, what: "floor", place: { storey, at: point, part: "floor" } },
    { ...base, key: `${room.id}/ceiling`, what: "ceiling", place: { storey, at: point, part: "ceiling" } },
  ];
  const inside = sorted.length > 0 && found[0]!.off <= reach / 3;
  return inside ? [...sorted, ...open] : [open[0]!, ...sorted, ...open.slice(1)];
};

/** The bay of a wall at a point, or the wall there where it has none. */
export const inWall = (
  wall: WallShape, storey: string, at: Point, names: ReadonlyMap<string, string>,
): Target => {
  const along = Math.min(Math.max(placeOn(wall.side, at).along, wall.from), wall.to);
  const bay = Math.max(0, wall.bays.findIndex((end, n) => n > 0 && along <= end + 1e-9) - 1);
  return bayOf(wall, storey, bay, along, names);
};

export const bayOf = (
  wall: WallShape, storey: string, bay: number, along: number, names: ReadonlyMap<string, string>,
): Target => {
  const [from, to] = wall.bays.length ? [wall.bays[bay]!, wall.bays[bay + 1]!] : [wall.from, wall.to];
  const middle = pointOn(wall.side, wall.bays.length ? (from + to) / 2 : along, wall.thickness / 2);
  return {
    key: `${wall.id}/${wall.bays.length ? bay : asTyped(along)}`,
    place: { storey, at: [asTyped(middle[0]), asTyped(middle[1])], part: "wall" },
    what: wall.bays.length ? "bay" : "wall",
    room: names.get(wall.side.room) ?? "", name: wall.bays.length ? String(bay + 1) : "",
    facing: wall.side.normal,
    outline: [
      pointOn(wall.side, from, 0), pointOn(wall.side, to, 0),
      pointOn(wall.side, to, wall.thickness), pointOn(wall.side, from, wall.thickness),
    ],
    at: middle,
  };
};

/** The mean of an outline's corners. [m] */
export const centre = (outline: readonly Point[]): Point => [
  outline.reduce((sum, [x]) => sum + x, 0) / outline.length,
  outline.reduce((sum, [, y]) => sum + y, 0) / outline.length,
];
