/**
 * Which voids a look was made in: named places as the office looked them up, points by the outlines.
 * What the pocket does not know gives a word, "not calculated", and is told.
 */
import { distance } from "../geometry/outline";
import { lengthOr } from "../geometry/quantity";
import type { Fields, Json } from "../record/event";
import type { Pocket, Shape } from "./pocket";

export interface Placed {
  readonly voids: readonly number[];
  /** The void that finds lie in; -1 where it may be any of `voids`. */
  readonly nearest: number;
  readonly zone: readonly number[];
  readonly above: readonly number[];
  readonly source: number;
}
/** Why a look cannot be weighed here. */
export type Waits =
  | "no place" | "place not known" | "smell" | "several" | "what it says is not carried" | "repeat sighting" | "days later";

/** The office's own distances. [m] */
const [CLOSE, TIE, HANGS, KNEE, ZONE] = [0.08, 0.02, 0.5, 0.3, 1.5];
const [STRAY, LEVEL, HIGH] = [0.25, 0.1, 3];
const LAYER = 0.7;
/** So much of an outline must lie under a mark's circle. [m2] */
const UNDER = 1e-4;
const [WALL, FLOOR, CEILING, HANGING] = [1, 2, 4, 8];

/** Where a look was made, or why that is not known here. */
export const placed = (look: Fields, pocket: Pocket, shape: Shape): Placed | Waits => {
  const place = look.place as Fields | null | undefined;
  if (!place) return "no place";
  const keys = Object.keys(place).filter((key) => place[key] !== "" && place[key] !== null);
  if (keys.some((key) => ["along", "extent"].includes(key))) return "place not known";
  const height = metres(place.height);
  if (place.height !== undefined && place.height !== null && (height === null || !place.at || place.part)) return "place not known";
  const radius = metres(place.radius);
  if (radius === null && place.radius) return "place not known";
  const drains = pocket.entryMethods.includes(String(look.method ?? "eye and lamp"));
  if (place.at && height !== null) return inVoid(place, height, radius, pocket, shape, drains);
  return place.at ? atPoint(place, radius, pocket, shape, drains) : named(place, radius, shape, drains);
};

/** A length as it stands in a job: metres, or as typed. [m] */
const metres = (value: Json | undefined): number | null =>
  typeof value === "string" ? lengthOr(value, null) : typeof value === "number" ? value : null;

const named = (place: Fields, radius: number | null, shape: Shape, drains: boolean): Placed | Waits => {
  const part = String(place.part ?? "");
  const spot = shape.spots[part === "room" ? `${String(place.of)}/room` : part === "" ? String(place.of) : ""];
  if (!spot || (radius !== null && radius !== ZONE)) return "place not known";
  const source = (drains ? spot.drain : spot.source) ?? -1;
  const zone = spot.zone ?? [];
  if (source >= 0) return { voids: [], nearest: -1, zone, above: [], source };
  if (drains) return "place not known";
  const voids = radius === null ? (spot.voids ?? []) : zone;
  const above = (radius === null ? spot.above : spot.zone_above) ?? [];
  if (!voids.length && !zone.length) return "place not known";
  return { voids, nearest: voids.length === 1 ? voids[0]! : -1, zone, above, source: -1 };
};

/** A point with its height, as a void that was tapped gives it: known where one hidden void alone holds it. */
const inVoid = (
  place: Fields, height: number, radius: number | null, pocket: Pocket, shape: Shape, drains: boolean,
): Placed | Waits => {
  const storey = pocket.storeys[String(place.storey ?? "")];
  const [x, y] = (place.at as readonly Json[]).map(metres);
  if (!storey || x == null || y == null || drains) return "place not known";
  const z = storey.floor + height;
  const flat = shape.outlines.map((outline) => distance(outline, [x, y]));
  const away = flat.map((off, v) => Math.hypot(off, Math.max(shape.bottom[v]! - z, z - shape.top[v]!, 0)));
  const near = shape.keys.map((_, v) => v).filter((v) => away[v]! <= TIE);
  const zone = shape.keys.map((_, v) => v)
    .filter((v) => away[v]! <= (radius ?? ZONE) && shape.hidden[v] === 1)
    .sort((a, b) => away[a]! - away[b]! || a - b);
  // A thing in a room is smaller than the room; of hidden ones that hold the point only one may be.
  const own = near.length === 1 ? near : near.filter((v) => shape.hidden[v] === 1);
  if (own.length !== 1 || away[own[0]!]! > 0) return "place not known";
  const voids = radius === null ? own : zone;
  return { voids, nearest: voids.length === 1 ? voids[0]! : -1, zone, above: aboveOf(shape, [x, y], voids), source: -1 };
};

const atPoint = (
  place: Fields, radius: number | null, pocket: Pocket, shape: Shape, drains: boolean,
): Placed | Waits => {
  const storey = pocket.storeys[String(place.storey ?? "")];
  const [x, y] = (place.at as readonly Json[]).map(metres);
  const part = { wall: WALL, floor: FLOOR, ceiling: CEILING }[String(place.part ?? "")];
  if (!storey || x == null || y == null || part === undefined || drains) return "place not known";
  const flat = shape.outlines.map((outline) => distance(outline, [x, y]));
  const zone = zoneAt(shape, flat, part === CEILING ? storey.floor + storey.clear : storey.floor, part, radius ?? ZONE);
  const own = layer(shape, flat, storey, part);
  const voids = radius === null ? (own < 0 ? [] : [own]) : zone;
  if (!voids.length && !zone.length) return "place not known";
  const nearest = voids.length === 1 ? voids[0]! : -1;
  return { voids, nearest, zone, above: voids.length ? aboveOf(shape, [x, y], voids) : [], source: -1 };
};

/** The void of a part at a point, the nearest in plan; -1 for none. */
const layer = (
  shape: Shape, flat: readonly number[], storey: { floor: number; clear: number }, part: number,
): number => {
  const top = storey.floor + storey.clear;
  const z = part === WALL ? storey.floor + KNEE : part === FLOOR ? storey.floor - TIE : top + TIE;
  const below = part === FLOOR ? storey.floor + TIE : Infinity;
  const above = part === CEILING ? top - TIE : -Infinity;
  const off = shape.keys.map((_, v) => {
    const away = Math.max(shape.bottom[v]! - z, z - shape.top[v]!, 0);
    return part === CEILING && shape.parts[v]! & HANGING && away <= HANGS ? 0 : away;
  });
  const near = shape.keys.map((_, v) => v).filter((v) =>
    flat[v]! <= CLOSE && off[v]! <= LAYER && (shape.parts[v]! & part) !== 0 && shape.bottom[v]! < below && shape.top[v]! > above);
  const least = Math.min(...near.map((v) => off[v]!));
  const hangs = (v: number): number => (shape.parts[v]! & HANGING ? 0 : 1);
  const level = near.filter((v) => off[v]! <= least + TIE);
  return level.sort((a, b) => flat[a]! - flat[b]! || hangs(a) - hangs(b) || a - b)[0] ?? -1;
};

/** Hidden voids of a part within a radius, nearest first. */
const zoneAt = (shape: Shape, flat: readonly number[], z: number, part: number, radius: number): number[] => {
  const away = shape.keys.map((_, v) => Math.hypot(flat[v]!, Math.max(shape.bottom[v]! - z, z - shape.top[v]!, 0)));
  return shape.keys.map((_, v) => v)
    .filter((v) => away[v]! <= radius && shape.hidden[v] === 1 && (shape.parts[v]! & part) !== 0)
    .sort((a, b) => away[a]! - away[b]! || a - b);
};

/** Hidden voids that something at a point may have fallen from, the lowest first. */
const aboveOf = (shape: Shape, at: readonly [number, number], voids: readonly number[]): number[] => {
  const low = Math.min(...voids.map((v) => (shape.hidden[v] ? shape.bottom[v]! : shape.top[v]!) - LEVEL));
  return shape.keys.map((_, v) => v)
    .filter((v) => shape.hidden[v] === 1 && shape.bottom[v]! >= low && shape.bottom[v]! <= low + HIGH && discArea(shape.outlines[v]!, at, STRAY) > UNDER)
    .sort((a, b) => shape.bottom[a]! - shape.bottom[b]! || a - b);
};

/** How much of an outline lies in a disc, edge by edge from the disc's middle. [m2] */
const discArea = (outline: readonly (readonly [number, number])[], [x, y]: readonly [number, number], r: number): number => {
  const cross = (u: readonly number[], v: readonly number[]): number => u[0]! * v[1]! - u[1]! * v[0]!;
  const dot = (u: readonly number[], v: readonly number[]): number => u[0]! * v[0]! + u[1]! * v[1]!;
  const sector = (u: readonly number[], v: readonly number[]): number => (r * r * Math.atan2(cross(u, v), dot(u, v))) / 2;
  const area = outline.reduce((sum, [x1, y1], n) => {
    const [a, b] = [[outline.at(n - 1)![0] - x, outline.at(n - 1)![1] - y], [x1 - x, y1 - y]] as const;
    const d = [b[0] - a[0], b[1] - a[1]];
    const [square, half] = [dot(d, d), dot(a, d)];
    const root = half * half - square * (dot(a, a) - r * r);
    if (!square || root <= 0) return sum + (square ? sector(a, b) : 0);
    const [from, to] = [Math.max(0, (-half - Math.sqrt(root)) / square), Math.min(1, (-half + Math.sqrt(root)) / square)];
    if (from >= to) return sum + sector(a, b);
    const [p, q] = [from, to].map((t) => [a[0] + t * d[0]!, a[1] + t * d[1]!]) as [number[], number[]];
    return sum + (from > 0 ? sector(a, p) : 0) + cross(p, q) / 2 + (to < 1 ? sector(q, b) : 0);
  }, 0);
  return Math.abs(area);
};
