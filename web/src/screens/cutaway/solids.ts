/**
 * Voids as solid blocks, seen from above at a slant: which of them stand at a height, and how high.
 *
 * No drawing here, so that it is tested without a screen.  Lengths in metres, heights over the
 * finished floor of the entrance storey.
 */
import type { Point } from "../../geometry/frame";

export interface Block {
  readonly id: string;
  readonly label: string;
  readonly outline: readonly Point[];
  readonly bottom: number;
  readonly top: number;
}
export interface Level {
  readonly storey: string;
  readonly where: "view" | "under" | "over";
  /** The storey beneath, where its ceiling is in this level too. */
  readonly lower: string;
  readonly voids: readonly number[];
}
/** How much of a storey is lifted off. */
export type Cut = "under" | "floor" | "ceiling";
export const CUTS: readonly Cut[] = ["under", "floor", "ceiling"];

/** Walls are cut at this height over their floor, so that one looks over them. [m] */
export const CUT = 1.2;

/** The blocks that are left of a storey: under its floor; with its walls cut; with its ceiling. */
export const blocksAt = (
  voids: readonly Block[], levels: readonly Level[], storey: string, cut: Cut,
): Block[] => {
  const of = (where: Level["where"]): Block[] =>
    levels
      .filter((one) => (one.storey === storey ? one.where === where : where === "over" && one.lower === storey))
      .flatMap((one) => one.voids.map((n) => voids[n]!));
  if (cut === "under") return of("under");
  if (cut === "ceiling") return [...of("view"), ...of("over")];
  const walls = of("view");
  const floor = Math.min(...walls.map((one) => one.bottom));
  return [...of("under"), ...walls.flatMap((one) => cutAt(one, floor + CUT))];
};

const cutAt = (one: Block, height: number): Block[] =>
  one.bottom >= height ? [] : [{ ...one, top: Math.min(one.top, height) }];

/** The middle of a block's upper face. */
export const topOf = (one: Block): readonly [x: number, y: number, z: number] => [
  one.outline.reduce((sum, [x]) => sum + x, 0) / one.outline.length,
  one.outline.reduce((sum, [, y]) => sum + y, 0) / one.outline.length,
  one.top,
];

/** Plates that do not lie over one another, the first ones first. [px] */
export const apart = <T extends { readonly x: number; readonly y: number; readonly width: number }>(
  plates: readonly T[], height: number,
): T[] => {
  const kept: T[] = [];
  for (const one of plates) {
    const free = kept.every(
      (other) => Math.abs(other.x - one.x) >= (other.width + one.width) / 2 + 4 || Math.abs(other.y - one.y) >= height + 4,
    );
    if (free) kept.push(one);
  }
  return kept;
};
