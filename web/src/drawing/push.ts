/** A piece of a wall pushed out or in; what hangs on the room's sides goes with its stretch. */
import { pointOn, placeOn, sideLength, type Side } from "../geometry/outline";
import type { Point } from "../geometry/frame";
import { asTyped, lengthOr, type Typed } from "../geometry/quantity";
import type { Place, Room } from "../made/job";
import { overlaps, typedCorner, type Corner } from "./edit";
import { turnedTo } from "./studs";
import { metres, ofKind, roomShape, type Entities, type RoomShape } from "./scene";

export type Pushed =
  | { readonly entities: Record<string, Record<string, unknown> | null> }
  | { readonly into: string };

/** A rest beside a corner shorter than this goes along. [m] */
const SMALL = 0.05;

/**
 * A stretch of a side (from its left corner) pushed outwards by so much, inwards below nought.
 * Several walls are made of one: what was said of it holds for each piece.
 */
export const withPiece = (
  entities: Entities, id: string, name: string, from: number, to: number, by: number, newId: (what: string) => string,
): Pushed => {
  const room = entities[id] as Room;
  const old = roomShape(id, room);
  const side = old?.sides.find((one) => one.name === name);
  if (!old || !side || side.turn !== 0) return { into: room.name };
  const long = sideLength(side);
  const [start, stop] = [Math.min(from, to) < SMALL ? 0 : Math.min(from, to), Math.max(from, to) > long - SMALL ? long : Math.max(from, to)];
  if (stop - start < SMALL || Math.abs(by) < 1e-4) return { into: room.name };
  const now = roomShape(id, { ...room, polygon: corners(room, side, start, stop, by) } as never);
  if (!now || crossed(now.outline)) return { into: room.name };
  const others = ofKind(entities, "room")
    .filter(([key, one]) => key !== id && one.storey === room.storey)
    .flatMap(([key, one]) => roomShape(key, one) ?? []);
  const other = overlaps(now.outline, others);
  if (other) return { into: other.name };
  return { entities: { ...rehung(entities, id, old, now, newId), ...replaced(entities, id, old, now), [id]: lengthsKept(room, old, now, start, stop, by, side) } };
};

/** The corners as typed, with the pushed stretch between them. */
const corners = (room: Room, side: Side, start: number, stop: number, by: number): Corner[] => {
  const polygon = (room.polygon ?? []).map((one) => [...(one as unknown as Corner)] as Corner);
  const ends = [pointOn(side, 0), pointOn(side, sideLength(side))];
  const at = (n: number): Point => [lengthOr(polygon[n]![0], NaN), lengthOr(polygon[n]![1], NaN)];
  const same = (a: Point, b: Point): boolean => Math.hypot(a[0] - b[0], a[1] - b[1]) < 1e-5;
  const n = polygon.findIndex((_, k) => {
    const next = (k + 1) % polygon.length;
    return ends.some((end) => same(end, at(k))) && ends.some((end) => same(end, at(next)));
  });
  if (n < 0) return polygon;
  const forward = same(at(n), ends[0]!);
  const piece = [[start, 0], [start, by], [stop, by], [stop, 0]] as const;
  const points = (forward ? piece : [...piece].reverse()).map(([along, out]) => typedCorner(pointOn(side, along, out)));
  return [...polygon.slice(0, n + 1), ...points, ...polygon.slice(n + 1)];
};

const crossed = (outline: readonly Point[]): boolean => {
  const meets = (a: Point, b: Point, c: Point, d: Point): boolean => {
    const turn = (p: Point, q: Point, r: Point): number => (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
    return turn(a, b, c) * turn(a, b, d) < -1e-12 && turn(c, d, a) * turn(c, d, b) < -1e-12;
  };
  const n = outline.length;
  for (let i = 0; i < n; i++) {
    for (let j = i + 2; j < n; j++) {
      if ((j + 1) % n !== i && meets(outline[i]!, outline[(i + 1) % n]!, outline[j]!, outline[(j + 1) % n]!)) return true;
    }
  }
  return false;
};

/** The new sides that an old one has become, with the stretch of the old one that each carries. */
const become = (old: Side, now: RoomShape): { side: Side; from: number; to: number }[] =>
  now.sides
    .filter((one) => one.normal === old.normal && one.turn === old.turn)
    .map((side) => {
      const ends = [placeOn(old, pointOn(side, 0)).along, placeOn(old, pointOn(side, sideLength(side))).along];
      return { side, from: Math.max(0, Math.min(...ends)), to: Math.min(sideLength(old), Math.max(...ends)) };
    })
    .filter((one) => one.to - one.from > 1e-6);

const sameLine = (a: Side, b: Side): boolean => a.normal === b.normal && Math.abs(a.line - b.line) < 1e-6;

const rehung = (
  entities: Entities, id: string, old: RoomShape, now: RoomShape, newId: (what: string) => string,
): Record<string, Record<string, unknown> | null> => {
  const written: Record<string, Record<string, unknown> | null> = {};
  for (const [key, one] of Object.entries(entities)) {
    const hung = one as unknown as Record<string, unknown>;
    if (hung["room"] !== id) continue;
    const field = one.kind === "fixture" ? "against" : "side";
    const side = old.sides.find((each) => each.name === hung[field]);
    if (!side || !["wall", "edge", "opening", "fixture", "own_cut"].includes(one.kind)) continue;
    const pieces = nearest(become(side, now), side);
    if (one.kind === "wall" || one.kind === "edge") {
      pieces.forEach((piece, n) => {
        written[n ? newId(one.kind) : key] = { ...studsOn(hung, side, piece.side), [field]: piece.side.name };
      });
      continue;
    }
    const along = metres(hung["along"] as never) ?? 0;
    const middle = along + (metres(hung["width"] as never) ?? 0.4) / 2;
    const piece = pieces.find((each) => middle >= each.from - 1e-6 && middle <= each.to + 1e-6) ?? pieces[0];
    if (!piece) continue;
    const shifted = placeOn(piece.side, pointOn(side, along)).along;
    const same = piece.side.name === side.name && Math.abs(shifted - along) < 1e-6;
    if (!same) written[key] = { ...hung, [field]: piece.side.name, along: anew(hung["along"], Math.abs(shifted) < 1e-6 ? 0 : asTyped(Math.max(0, shifted))) };
  }
  return written;
};

/** What was seen or found at a side, with the words that name the same stretch now; points stay as they are. */
const replaced = (entities: Entities, id: string, old: RoomShape, now: RoomShape): Record<string, Record<string, unknown>> => {
  const written: Record<string, Record<string, unknown>> = {};
  for (const [key, one] of Object.entries(entities)) {
    const place = (one as { place?: Place | null }).place;
    const side = old.sides.find((each) => place?.of === `${id}/${each.name}`);
    if (!side) continue;
    const along = metres(place!.along) ?? sideLength(side) / 2;
    const piece = nearest(become(side, now), side).find((each) => along >= each.from - 1e-6 && along <= each.to + 1e-6);
    if (!piece) continue;
    const shifted = turnedTo(piece.side, side, along);
    if (piece.side.name === side.name && Math.abs(shifted - along) < 1e-6) continue;
    const there = { ...place, of: `${id}/${piece.side.name}` };
    const named = place!.along === null || place!.along === undefined;
    written[key] = { ...(one as object), place: named ? there : { ...there, along: asTyped(Math.max(0, shifted)) } };
  }
  return written;
};

/**
 * What was said of a wall, its first stud counted from the left corner of one piece: studs stay where
 * they stand, and known as well as before.  Without a spacing no stud follows from one further left.
 */
const studsOn = (hung: Record<string, unknown>, from: Side, to: Side): Record<string, unknown> => {
  const { first_stud: fact, ...rest } = hung;
  const first = metres(fact as never);
  if (first === undefined) return hung;
  const along = turnedTo(to, from, first);
  const spacing = metres(hung["stud_spacing"] as never) ?? 0;
  if (Math.abs(along - first) < 1e-6) return hung;
  if (along < 0 && spacing <= 0.05) return rest;
  return { ...rest, first_stud: anew(fact, asTyped(along < 0 ? along - Math.floor(along / spacing) * spacing : along)) };
};

/** A fact with another value, known as well as before. */
const anew = (fact: unknown, value: Typed): unknown => (fact !== null && typeof fact === "object" ? { ...fact, value } : value);

/** Of pieces that share a stretch only the one nearest to where the side was. */
const nearest = (pieces: ReturnType<typeof become>, old: Side): ReturnType<typeof become> =>
  pieces.filter(
    (one) => !pieces.some(
      (other) => other !== one && Math.min(one.to, other.to) - Math.max(one.from, other.from) > 1e-6 &&
        Math.abs(other.side.line - old.line) < Math.abs(one.side.line - old.line),
    ),
  );

/** The room with the lengths that still hold under the new names of its sides. */
const lengthsKept = (
  room: Room, old: RoomShape, now: RoomShape, start: number, stop: number, by: number, pushed: Side,
): Record<string, unknown> => {
  const polygon = corners(room, pushed, start, stop, by);
  const kept: Record<string, unknown> = {};
  for (const [name, typed] of Object.entries(room.lengths ?? {})) {
    const side = old.sides.find((one) => one.name === name);
    const same = side && now.sides.find((one) => sameLine(one, side) && Math.abs(one.low - side.low) < 1e-6 && Math.abs(one.high - side.high) < 1e-6);
    if (same) kept[same.name] = typed;
  }
  const { lengths: _, ...rest } = room;
  return Object.keys(kept).length ? { ...rest, polygon, lengths: kept } : { ...rest, polygon };
};
