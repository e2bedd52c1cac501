/**
 * Where a finger means: corner > wall face at its thickness > in line with a corner > grid.
 */
import type { Point } from "./frame";
import type { Side } from "./outline";
import { axisOf, outward } from "./outline";

export type SnapWord = "corner" | "wall face" | "in line" | "grid" | "";
export interface Snapped {
  readonly at: Point;
  readonly word: SnapWord;
}

/** `reach` is how far a snap pulls, `grid` its step, `wall` the thickness of a wall. [m] */
export const snap = (
  [x, y]: Point, sides: readonly Side[], reach: number, grid: number, wall: number,
): Snapped => {
  const across = sides.filter((side) => side.turn === 0);
  const one = nearest(x, y, across.filter((side) => axisOf(side) === "y"), reach, grid, wall);
  const two = nearest(y, x, across.filter((side) => axisOf(side) === "x"), reach, grid, wall);
  const both = one.rank < 2 && two.rank < 2;
  const best = one.rank <= two.rank ? one : two;
  return { at: [one.value, two.value], word: both ? "corner" : best.word };
};

const nearest = (
  value: number, beside: number, sides: readonly Side[], reach: number, grid: number, wall: number,
): { value: number; rank: number; word: SnapWord } => {
  const found = sides.flatMap((side) => [
    // A wall is met beside its side only; past its end a point is in line with it.
    ...(beside > side.low - wall - 1e-6 && beside < side.high + wall + 1e-6
      ? [{ value: side.line + outward(side) * wall, rank: 0, word: "wall face" as const }] : []),
    { value: side.line, rank: 1, word: "in line" as const },
  ]);
  const near = found
    .map((one) => ({ ...one, off: Math.abs(one.value - value) }))
    .filter((one) => one.off <= reach)
    .sort((a, b) => a.rank - b.rank || a.off - b.off)[0];
  if (near) return near;
  return { value: Math.round(value / grid) * grid, rank: 2, word: "grid" };
};
