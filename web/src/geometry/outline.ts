/**
 * A room's outline: its straight sides, named so that people and files can point at them.
 *
 * `n1` is the first stretch that faces north, counted from the west; `s1` likewise; `e1` and `w1`
 * are counted from the south.  A side at a slant takes the nearest of the four.
 */
import { split, toFrame, toWorld, type Point } from "./frame";

/** Coordinates closer than this are the same. [m] */
const TOLERANCE = 1e-6;

export type Normal = "n" | "e" | "s" | "w";

/** One straight stretch of a room's outline, seen from inside the room; lengths in metres. */
export interface Side {
  readonly room: string;
  readonly name: string;
  readonly normal: Normal;
  /** The coordinate that is the same all along it. */
  readonly line: number;
  readonly low: number;
  readonly high: number;
  /** Angle of its own axes. [rad] */
  readonly turn: number;
}

export const sideId = (side: Side): string => `${side.room}/${side.name}`;
export const axisOf = (side: Side): "x" | "y" => ("ns".includes(side.normal) ? "x" : "y");
export const outward = (side: Side): 1 | -1 => ("ne".includes(side.normal) ? 1 : -1);
const rightward = (side: Side): 1 | -1 => ("nw".includes(side.normal) ? 1 : -1);
export const sideLength = (side: Side): number => side.high - side.low;

/** A point at a distance from the left corner, and outwards from the inner face. */
export const pointOn = (side: Side, along: number, out = 0): Point => {
  const left = rightward(side) > 0 ? side.low : side.high;
  const on = left + rightward(side) * along;
  const level = side.line + outward(side) * out;
  return toWorld(axisOf(side) === "x" ? [on, level] : [level, on], side.turn);
};

/** How far along a side (from its left corner) and how far outwards a point lies. */
export const placeOn = (side: Side, point: Point): { along: number; out: number } => {
  const [x, y] = toFrame(point, side.turn);
  const [on, level] = axisOf(side) === "x" ? [x, y] : [y, x];
  const left = rightward(side) > 0 ? side.low : side.high;
  return { along: (on - left) * rightward(side), out: (level - side.line) * outward(side) };
};

/** The corners of a strip outside a side; along from the left corner, out from the inner face. */
export const stripOn = (
  side: Side, from: number, to: number, near: number, far: number,
): readonly Point[] => [
  pointOn(side, from, near), pointOn(side, to, near), pointOn(side, to, far), pointOn(side, from, far),
];

/** The outline anticlockwise without repeated or in-line corners, from the lowest corner on. */
export const anticlockwise = (points: readonly Point[]): readonly Point[] => {
  // Of two corners at one place both lie in line with their neighbours: one of them goes first.
  const corners = points.filter((corner, n) => !isSame(corner, points.at(n - 1)!));
  if (twiceArea(corners) < 0) corners.reverse();
  const kept = corners.filter(
    (corner, n) =>
      Math.abs(cross(corners.at(n - 1)!, corner, corners[(n + 1) % corners.length]!)) >
      TOLERANCE ** 2,
  );
  let first = 0;
  kept.forEach(([x, y], n) => {
    const [bestX, bestY] = kept[first]!;
    if (y < bestY || (y === bestY && x < bestX)) first = n;
  });
  return [...kept.slice(first), ...kept.slice(0, first)];
};

/** The sides of an anticlockwise outline, in the order n, e, s, w. */
export const sidesOf = (room: string, outline: readonly Point[]): readonly Side[] => {
  const found: { side: Side; rank: readonly number[] }[] = [];
  outline.forEach((start, n) => {
    const side = sideBetween(room, start, outline[(n + 1) % outline.length]!);
    found.push({ side, rank: rankOf(side.normal, start, outline[(n + 1) % outline.length]!) });
  });
  return (["n", "e", "s", "w"] as const).flatMap((normal) =>
    found
      .filter((one) => one.side.normal === normal)
      .sort((a, b) => byRank(a.rank, b.rank))
      .map(({ side }, n) => ({ ...side, name: `${normal}${n + 1}` })),
  );
};

export const area = (outline: readonly Point[]): number => Math.abs(twiceArea(outline)) / 2;

export const contains = (outline: readonly Point[], [x, y]: Point): boolean => {
  let inside = false;
  outline.forEach(([x1, y1], n) => {
    const [x0, y0] = outline.at(n - 1)!;
    if (y1 > y !== y0 > y && x < ((x0 - x1) * (y - y1)) / (y0 - y1) + x1) inside = !inside;
  });
  return inside;
};

/** How far a point lies from an outline; nought inside. [m] */
export const distance = (outline: readonly Point[], [x, y]: Point): number => {
  if (contains(outline, [x, y])) return 0;
  let least = Infinity;
  outline.forEach(([x1, y1], n) => {
    const [x0, y0] = outline.at(n - 1)!;
    const [dx, dy] = [x1 - x0, y1 - y0];
    const share = Math.min(1, Math.max(0, ((x - x0) * dx + (y - y0) * dy) / (dx * dx + dy * dy || 1)));
    least = Math.min(least, Math.hypot(x - x0 - share * dx, y - y0 - share * dy));
  });
  return least;
};

const sideBetween = (room: string, [x0, y0]: Point, [x1, y1]: Point): Side => {
  const base = { room, name: "", turn: 0 };
  if (Math.abs(y0 - y1) < TOLERANCE) {
    const normal = x1 > x0 ? "s" : "n";
    return { ...base, normal, line: y0, low: Math.min(x0, x1), high: Math.max(x0, x1) };
  }
  if (Math.abs(x0 - x1) < TOLERANCE) {
    const normal = y1 > y0 ? "e" : "w";
    return { ...base, normal, line: x0, low: Math.min(y0, y1), high: Math.max(y0, y1) };
  }
  const [turn, quarter] = split(Math.atan2(y1 - y0, x1 - x0));
  const normal = (["s", "e", "n", "w"] as const)[quarter]!;
  const [start, stop] = [toFrame([x0, y0], turn), toFrame([x1, y1], turn)];
  const [along, across] = "ns".includes(normal) ? ([0, 1] as const) : ([1, 0] as const);
  return {
    ...base, normal, turn,
    line: (start[across] + stop[across]) / 2,
    low: Math.min(start[along], stop[along]),
    high: Math.max(start[along], stop[along]),
  };
};

const rankOf = (normal: Normal, start: Point, stop: Point): readonly number[] => {
  const [along, across] = "ns".includes(normal) ? ([0, 1] as const) : ([1, 0] as const);
  return [
    Math.min(start[along], stop[along]), Math.max(start[along], stop[along]),
    (start[across] + stop[across]) / 2,
  ];
};

const byRank = (a: readonly number[], b: readonly number[]): number =>
  a[0]! - b[0]! || a[1]! - b[1]! || a[2]! - b[2]!;

const isSame = (a: Point, b: Point): boolean => Math.hypot(a[0] - b[0], a[1] - b[1]) < TOLERANCE;

const twiceArea = (corners: readonly Point[]): number =>
  corners.reduce((sum, [x0, y0], n) => {
    const [x1, y1] = corners[(n + 1) % corners.length]!;
    return sum + x0 * y1 - x1 * y0;
  }, 0);

const cross = (a: Point, b: Point, c: Point): number =>
  (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);
