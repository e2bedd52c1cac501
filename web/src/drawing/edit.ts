/** Changes of the drawing: entities in, entities out; every one is one gesture that can be undone. */
import type { Point } from "../geometry/frame";
import { area, contains } from "../geometry/outline";
import { asTyped, type Typed } from "../geometry/quantity";
import type { Room } from "../made/job";
import { ofKind, roomShape, type Entities, type Entity, type RoomShape } from "./scene";

export type Corner = [Typed, Typed];

/** A room by two opposite corners, first room at nought so that its lengths stand as typed. */
export const rectangle = (from: Point, to: Point): Point[] => {
  const [x0, x1] = [Math.min(from[0], to[0]), Math.max(from[0], to[0])];
  const [y0, y1] = [Math.min(from[1], to[1]), Math.max(from[1], to[1])];
  return [[x0, y0], [x1, y0], [x1, y1], [x0, y1]];
};

export const typedCorner = ([x, y]: Point): Corner => [typedOf(x), typedOf(y)];
const typedOf = (value: number): Typed => (Math.abs(value) < 1e-7 ? 0 : asTyped(value));

export type Placing = { readonly outline: Point[]; readonly stopped: string };

/**
 * An outline kept clear of the rooms that are there by the thickness of a wall: the newer edge
 * stops at the older room.  Null where nothing is left of it.
 */
export const keptClear = (
  from: Point, to: Point, rooms: readonly RoomShape[], thickness: number,
): Placing | null => {
  let [x0, x1] = [Math.min(from[0], to[0]), Math.max(from[0], to[0])];
  let [y0, y1] = [Math.min(from[1], to[1]), Math.max(from[1], to[1])];
  let stopped = "";
  for (const room of rooms) {
    for (const [west, south, east, north] of blocks(room.outline)) {
      const over = {
        east: x1 - (west - thickness), west: east + thickness - x0,
        north: y1 - (south - thickness), south: north + thickness - y0,
      };
      if (Math.min(...Object.values(over)) <= 1e-9) continue;
      stopped = room.name;
      const least = (Object.entries(over) as [keyof typeof over, number][]).sort((a, b) => a[1] - b[1])[0]!;
      if (least[0] === "east") x1 -= least[1];
      else if (least[0] === "west") x0 += least[1];
      else if (least[0] === "north") y1 -= least[1];
      else y0 += least[1];
    }
  }
  const outline = rectangle([x0, y0], [x1, y1]);
  // Kept clear of one room it may have been moved into another.
  const none = x1 - x0 < 0.2 || y1 - y0 < 0.2 || overlaps(outline, rooms);
  return none ? null : { outline, stopped };
};

/** Upright blocks that make up an outline with right angles; slants count by their extent. */
const blocks = (outline: readonly Point[]): [number, number, number, number][] => {
  const xs = [...new Set(outline.map(([x]) => x))].sort((a, b) => a - b);
  const ys = [...new Set(outline.map(([, y]) => y))].sort((a, b) => a - b);
  const found: [number, number, number, number][] = [];
  for (let i = 0; i + 1 < xs.length; i++) {
    for (let j = 0; j + 1 < ys.length; j++) {
      const at: Point = [(xs[i]! + xs[i + 1]!) / 2, (ys[j]! + ys[j + 1]!) / 2];
      if (contains(outline, at)) found.push([xs[i]!, ys[j]!, xs[i + 1]!, ys[j + 1]!]);
    }
  }
  return found;
};

export const overlaps = (one: readonly Point[], others: readonly RoomShape[]): RoomShape | undefined =>
  others.find((other) =>
    blocks(one).some(([w, s, e, n]) =>
      blocks(other.outline).some(
        ([W, S, E, N]) => Math.min(e, E) - Math.max(w, W) > 1e-6 && Math.min(n, N) - Math.max(s, S) > 1e-6,
      ),
    ),
  );

/** What is wrong with an outline beside the others: the room it would run into, or "" for none. */
export const runsInto = (id: string, room: Room, entities: Entities): string => {
  const shape = roomShape(id, room);
  if (!shape || area(shape.outline) < 0.04) return room.name;
  const others = ofKind(entities, "room")
    .filter(([key, one]) => key !== id && one.storey === room.storey)
    .flatMap(([key, one]) => roomShape(key, one) ?? []);
  return overlaps(shape.outline, others)?.name ?? "";
};

/** The same entities without one, and without what hangs on it. */
export const without = (entities: Entities, id: string): Entities =>
  Object.fromEntries(
    Object.entries(entities).filter(([key, one]) => key !== id && !hangsOn(one, id)),
  );

const hangsOn = (one: Entity, id: string): boolean =>
  ["wall", "opening", "fixture", "edge", "own_cut"].includes(one.kind) && (one as { room?: string }).room === id;
