/** Hidden voids as the office gives them: levels of a storey, where plates fit, ribbons of runs. */
import type { Point } from "../geometry/frame";
import { contains, distance } from "../geometry/outline";
import type { Level, Shapes, VoidOutline } from "../made/office";

export interface LevelShown {
  /** ``view``, ``under/0``, ``over/1``: the same words on every storey. */
  readonly key: string;
  readonly where: Level["where"];
  readonly depth: number;
  readonly index: number;
  readonly voids: readonly VoidOutline[];
}

/**
 * The levels that belong to a storey, from the rooms outwards.  A floor that is also the ceiling of
 * the storey beneath belongs to both.
 */
export const levelsOf = (shapes: Shapes, storey: string): LevelShown[] => {
  const shown = shapes.levels.flatMap((level, index): LevelShown[] => {
    const voids = level.voids.map((n) => shapes.voids[n]!);
    if (!voids.length || (level.storey !== storey && level.lower !== storey)) return [];
    const where = level.storey === storey ? level.where : "over";
    return [{ key: where === "view" ? "view" : `${where}/${level.depth}`, where, depth: level.depth, index, voids }];
  });
  const order = { view: 0, under: 1, over: 2 };
  return shown.sort((a, b) => order[a.where] - order[b.where] || a.depth - b.depth);
};

/** The level of a storey that a void lies in; undefined where it is not on that storey. */
export const levelOf = (shapes: Shapes, storey: string, id: string): LevelShown | undefined =>
  levelsOf(shapes, storey).find((level) => level.voids.some((one) => one.id === id));

/** Voids of a level by their distance from a point, nearest first, none farther than `reach`. [m] */
export const nearest = (voids: readonly VoidOutline[], at: Point, reach: number): { one: VoidOutline; off: number }[] =>
  voids
    .map((one) => ({ one, off: distance(one.outline, at) }))
    .filter(({ off }) => off <= reach)
    // Of those that lie over each other against a wall the smallest is meant.
    .sort((a, b) => a.off - b.off || spread(a.one.outline) - spread(b.one.outline));

const spread = (outline: readonly Point[]): number => {
  const [xs, ys] = [outline.map(([x]) => x), outline.map(([, y]) => y)];
  return (Math.max(...xs) - Math.min(...xs)) * (Math.max(...ys) - Math.min(...ys));
};
/** Largest first, so that what is small is not hidden. */
export const bySpread = <T extends { readonly outline: readonly Point[] }>(all: readonly T[]): T[] =>
  [...all].sort((a, b) => spread(b.outline) - spread(a.outline));

/** Neighbours by a likely passage. */
export const neighbours = (shapes: Shapes, id: string): VoidOutline[] => {
  const at = shapes.voids.findIndex((one) => one.id === id);
  return shapes.passages.flatMap(([a, b]) => (a === at ? [shapes.voids[b]!] : b === at ? [shapes.voids[a]!] : []));
};

export interface Plated {
  readonly key: string;
  readonly text: string;
  /** Greater is kept first where plates are in each other's way. */
  readonly rank: number;
  /** Box of what it speaks of. [px] */
  readonly box: readonly [left: number, top: number, right: number, bottom: number];
  /** Plates that may not be left out. */
  readonly must?: boolean;
}
export interface PlatePlace {
  readonly key: string;
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly width: number;
}
export const PLATE_HIGH = 26;
export const plateWide = (text: string): number => text.length * 8.6 + 14;

export type Boxed = readonly [left: number, top: number, right: number, bottom: number];
/**
 * Where plates stand, none over another nor over what is `blocked`: in the middle of what they speak
 * of if that is free, else beside it; left out where nothing near is free.  All in px.
 */
export const placePlates = (
  all: readonly Plated[], width: number, height: number, blocked: readonly Boxed[] = [],
): PlatePlace[] => {
  const kept: PlatePlace[] = [];
  const clear = (cx: number, cy: number, wide: number): boolean =>
    blocked.every(([l, t, r, b]) => cx + wide / 2 <= l || cx - wide / 2 >= r || cy + PLATE_HIGH / 2 <= t || cy - PLATE_HIGH / 2 >= b) &&
    kept.every((other) => Math.abs(other.x - cx) >= (other.width + wide) / 2 + 2 || Math.abs(other.y - cy) >= PLATE_HIGH + 2);
  for (const one of [...all].sort((a, b) => b.rank - a.rank || (a.key < b.key ? -1 : 1))) {
    const wide = plateWide(one.text);
    const [left, top, right, bottom] = one.box;
    const [x, y] = [(left + right) / 2, (top + bottom) / 2];
    if (x < -wide || x > width + wide || y < -PLATE_HIGH || y > height + PLATE_HIGH) continue;
    const [dx, dy] = [(right - left + wide) / 2 + 3, (bottom - top + PLATE_HIGH) / 2 + 3];
    const spots: [number, number][] = [[x, y], [x, y - dy], [x, y + dy], [x - dx, y], [x + dx, y], [x - dx, y - dy], [x + dx, y + dy], [x + dx, y - dy], [x - dx, y + dy], [x, y - 2 * dy], [x, y + 2 * dy], [x - 1.6 * dx, y], [x + 1.6 * dx, y]];
    const inside = ([cx, cy]: [number, number]): boolean => cx > wide / 2 && cx < width - wide / 2 && cy > PLATE_HIGH / 2 && cy < height - PLATE_HIGH / 2;
    const free = spots.find((spot) => inside(spot) && clear(...spot, wide));
    if (free) kept.push({ key: one.key, text: one.text, x: free[0], y: free[1], width: wide });
    else if (one.must) kept.push({ key: one.key, text: one.text, x, y, width: wide });
  }
  return kept;
};

/** Chevrons along a line, every `step`, each a short path that points the way of the run. [px] */
export const chevrons = (line: readonly Point[], step: number, size: number): string => {
  let path = "";
  let left = step / 2;
  for (let n = 0; n + 1 < line.length; n++) {
    const [[x0, y0], [x1, y1]] = [line[n]!, line[n + 1]!];
    const long = Math.hypot(x1 - x0, y1 - y0);
    if (long < 1e-6) continue;
    const [ux, uy] = [(x1 - x0) / long, (y1 - y0) / long];
    let at = left;
    for (; at < long; at += step) {
      const [x, y] = [x0 + ux * at, y0 + uy * at];
      const [bx, by] = [x - ux * size, y - uy * size];
      path += `M${(bx - uy * size).toFixed(1)} ${(by + ux * size).toFixed(1)}L${x.toFixed(1)} ${y.toFixed(1)}L${(bx + uy * size).toFixed(1)} ${(by - ux * size).toFixed(1)}`;
    }
    left = at - long;
  }
  return path;
};

/** A point of a line in the middle of its length. */
export const halfway = (line: readonly Point[]): Point => {
  const lengths = line.slice(1).map((one, n) => Math.hypot(one[0] - line[n]![0], one[1] - line[n]![1]));
  let left = lengths.reduce((sum, one) => sum + one, 0) / 2;
  for (const [n, long] of lengths.entries()) {
    if (left <= long && long > 0) {
      const [[x0, y0], [x1, y1]] = [line[n]!, line[n + 1]!];
      return [x0 + ((x1 - x0) * left) / long, y0 + ((y1 - y0) * left) / long];
    }
    left -= long;
  }
  return line[0] ?? [0, 0];
};

/** Whether a void's outline holds a point. */
export const holds = (one: VoidOutline, at: Point): boolean => contains(one.outline, at);
