/**
 * Lengths that were measured stay; what is beside them follows.
 *
 * Every room has lines (a coordinate that corners of it share).  Two lines are tied where they are
 * the faces of one wall, or the ends of a measured length.  A new length moves all that is tied to
 * the far end; where that would move the near end too, the measured lengths on the way cannot all be
 * right: nothing is moved, and they are named.
 *
 * Limits: sides at a slant tie nothing; thicknesses of walls are kept.
 */
import { facings } from "../geometry/facing";
import { axisOf, sideLength, type Side } from "../geometry/outline";
import { asTyped, length, lengthOr, type Typed } from "../geometry/quantity";
import type { Room } from "../made/job";
import { overlaps, type Corner } from "./edit";
import { ofKind, roomShape, type Entities, type RoomShape } from "./scene";

type Axis = "x" | "y";
export interface Measured {
  readonly room: string;
  readonly side: string;
}
export type Outcome =
  | { readonly rooms: Record<string, Record<string, unknown>> }
  /** Measured lengths that cannot all be right, and by how much. [m] */
  | { readonly misses: number; readonly edges: readonly Measured[] }
  /** What it would run into, or the room that nothing would be left of. */
  | { readonly into: string };

interface Tie {
  readonly a: string;
  readonly b: string;
  /** Null where the two are the faces of a wall. */
  readonly measured: Measured | null;
}

/** Shorter than this is no room. [m] */
const LEAST = 0.2;
/** Lengths that agree to this are the same on a tape. [m] */
const SAME = 0.0005;

const lineKey = (room: string, value: number): string => `${room}@${value.toFixed(5)}`;
const ends = (side: Side): [string, string] => [lineKey(side.room, side.low), lineKey(side.room, side.high)];

export const isMeasured = (room: Room | undefined, side: string): boolean => room?.lengths?.[side] !== undefined;

/** The rooms as they are after one side was given its clear length. */
export const withMeasured = (
  entities: Entities, room: string, name: string, typed: string, free: readonly Measured[] = [],
): Outcome => {
  const own = entities[room] as Room;
  const shapes = shapesBeside(entities, own);
  const side = shapes.find((one) => one.id === room)?.sides.find((one) => one.name === name);
  if (!side) return { into: own.name };
  const change = length(typed, false) - sideLength(side);
  const axis = axisOf(side);
  const ties = tiesOf(entities, shapes, axis, [...free, { room, side: name }]);
  const [low, high] = ends(side);
  // All of its own that lies beyond moves along; only the far end itself where that is measured.
  const beyond = linesOf(shapes.find((one) => one.id === room)!, axis).filter((one) => one >= side.high - 1e-6);
  let moving = tiedTo(beyond.map((one) => lineKey(room, one)), ties);
  if (moving.has(low)) moving = tiedTo([high], ties);
  if (Math.abs(change) > SAME && moving.has(low)) {
    const edges = wayBetween(high, low, ties).flatMap((tie) => tie.measured ?? []);
    return edges.length ? { misses: Math.abs(change), edges: [...edges, { room, side: name }] } : { into: own.name };
  }
  const exact = Math.abs(side.low) < 1e-9 ? { line: high, typed } : null;
  const moved = Math.abs(change) > SAME ? movedRooms(entities, shapes, axis, moving, change, exact) : {};
  const next = { ...entities, ...moved } as Entities;
  const wrong = wrongAmong(next, shapes, Object.keys(moved));
  if (wrong) return { into: wrong };
  return { rooms: { ...withoutMeasured(next, moved, free), [room]: {
    ...((moved[room] as object | undefined) ?? withFree(own, room, free)), lengths: { ...lengthsWithout(own, room, free), [name]: typed },
  } } };
};

const lengthsWithout = (room: Room, id: string, free: readonly Measured[]): Record<string, Typed> =>
  Object.fromEntries(Object.entries(room.lengths ?? {}).filter(([side]) => !free.some((one) => one.room === id && one.side === side)));

const withFree = (room: Room, id: string, free: readonly Measured[]): Record<string, unknown> => {
  const lengths = lengthsWithout(room, id, free);
  const { lengths: _, ...rest } = room;
  return Object.keys(lengths).length ? { ...rest, lengths } : rest;
};

/** The moved rooms, and those that a length was set free in. */
const withoutMeasured = (
  entities: Entities, moved: Record<string, unknown>, free: readonly Measured[],
): Record<string, Record<string, unknown>> => {
  const ids = new Set([...Object.keys(moved), ...free.map((one) => one.room)]);
  return Object.fromEntries([...ids].map((id) => [id, withFree(entities[id] as Room, id, free)]));
};

/** A room with one of its lengths not measured any more. */
export const setFree = (room: Room, id: string, side: string): Record<string, unknown> => withFree(room, id, [{ room: id, side }]);

const shapesBeside = (entities: Entities, own: Room): RoomShape[] =>
  ofKind(entities, "room")
    .filter(([, one]) => one.storey === own.storey)
    .flatMap(([id, one]) => roomShape(id, one) ?? []);

const linesOf = (shape: RoomShape, axis: Axis): number[] => {
  const all = shape.outline.map((corner) => corner[axis === "x" ? 0 : 1]);
  return [...new Set(all.map((one) => one.toFixed(5)))].map(Number).sort((a, b) => a - b);
};

const tiesOf = (entities: Entities, shapes: readonly RoomShape[], axis: Axis, but: readonly Measured[]): Tie[] => {
  const upright = shapes.flatMap((shape) => shape.sides).filter((side) => side.turn === 0);
  const walls = facings(upright)
    .filter(({ side, other }) => other && axisOf(side) !== axis)
    .map(({ side, other }): Tie => ({ a: lineKey(side.room, side.line), b: lineKey(other!.room, other!.line), measured: null }));
  const lengths = upright
    .filter((side) => axisOf(side) === axis && isMeasured(entities[side.room] as Room, side.name))
    .filter((side) => !but.some((one) => one.room === side.room && one.side === side.name))
    .map((side): Tie => {
      const [a, b] = ends(side);
      return { a, b, measured: { room: side.room, side: side.name } };
    });
  return [...walls, ...lengths];
};

const tiedTo = (starts: readonly string[], ties: readonly Tie[]): Set<string> => {
  const found = new Set(starts);
  const open = [...starts];
  for (let at = open.pop(); at !== undefined; at = open.pop()) {
    for (const { a, b } of ties) {
      const next = a === at ? b : b === at ? a : "";
      if (next && !found.has(next)) {
        found.add(next);
        open.push(next);
      }
    }
  }
  return found;
};

/** The shortest chain of ties between two lines. */
const wayBetween = (from: string, to: string, ties: readonly Tie[]): Tie[] => {
  const ways = new Map<string, Tie[]>([[from, []]]);
  const open = [from];
  for (let at = open.shift(); at !== undefined && !ways.has(to); at = open.shift()) {
    for (const tie of ties) {
      const next = tie.a === at ? tie.b : tie.b === at ? tie.a : "";
      if (next && !ways.has(next)) {
        ways.set(next, [...ways.get(at)!, tie]);
        open.push(next);
      }
    }
  }
  return ways.get(to) ?? [];
};

const movedRooms = (
  entities: Entities, shapes: readonly RoomShape[], axis: Axis, moving: ReadonlySet<string>, change: number,
  exact: { line: string; typed: string } | null,
): Record<string, Record<string, unknown>> => {
  const at = axis === "x" ? 0 : 1;
  const found: Record<string, Record<string, unknown>> = {};
  for (const { id } of shapes) {
    const room = entities[id] as Room;
    let touched = false;
    const polygon = (room.polygon ?? []).map((typed) => {
      const corner = [...(typed as unknown as Corner)] as Corner;
      const value = lengthOr(corner[at], NaN);
      const key = lineKey(id, value);
      if (!moving.has(key)) return corner;
      touched = true;
      corner[at] = key === exact?.line ? exact.typed : zeroed(value + change);
      return corner;
    });
    if (touched) found[id] = { ...room, polygon };
  }
  return found;
};

const zeroed = (metres: number): Typed => (Math.abs(metres) < 1e-7 ? 0 : asTyped(metres));

/** The room that would be left too small, turned inside out or lie in another; "" for none. */
const wrongAmong = (entities: Entities, before: readonly RoomShape[], moved: readonly string[]): string => {
  const shapes = before.map((one) => roomShape(one.id, entities[one.id] as Room));
  for (const id of moved) {
    const [old, now] = [before.find((one) => one.id === id)!, shapes.find((one) => one?.id === id)];
    const shrunk = !now || now.sides.length !== old.sides.length || now.sides.some((side) => {
      const was = old.sides.find((one) => one.name === side.name);
      return !was || (sideLength(side) < LEAST && sideLength(side) < sideLength(was) - 1e-6);
    });
    if (shrunk) return old.name;
    const other = overlaps(now.outline, shapes.filter((one) => one !== null && one.id !== id) as RoomShape[]);
    if (other) return other.name;
  }
  return "";
};
