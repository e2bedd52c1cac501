/**
 * Which sides of rooms face each other: two that do are the faces of one wall.
 *
 * Limits: sides that lean against each other by a little are not matched here; the program that
 * calculates does that.
 */
import { axisOf, outward, sideId, type Side } from "./outline";

/** Rooms closer than this are drawn without a wall between them. [m] */
const THINNEST = 0.02;
/** Rooms further apart than this have something undrawn between them. [m] */
const THICKEST = 0.6;
/** A rest of a side shorter than this beside a wall is that wall's own thickness. [m] */
const SMALL_END = 0.35;
const MIN_OVERLAP = 0.05;

/** A stretch of a side with the side beyond it, or with nothing drawn beyond it. [m] */
export interface Facing {
  readonly side: Side;
  readonly low: number;
  readonly high: number;
  readonly gap: number;
  readonly other: Side | null;
}

type Span = readonly [low: number, high: number];

/** Every stretch of wall once, for the rooms of one level. */
export const facings = (sides: readonly Side[]): readonly Facing[] => {
  const found: Facing[] = [];
  for (const side of sides) {
    const covered: Facing[] = [];
    for (const one of opposites(side, sides)) {
      const taken = covered.map((each): Span => [each.low, each.high]);
      for (const [low, high] of minus([one.low, one.high], taken)) {
        if (high - low > MIN_OVERLAP) covered.push({ ...one, low, high });
      }
    }
    found.push(...covered.filter((one) => sideId(side) < sideId(one.other!)));
    const rest = minus([side.low, side.high], covered.map((one): Span => [one.low, one.high]));
    for (const [low, high] of rest) {
      if (!covered.length || high - low >= SMALL_END - 1e-9) {
        found.push({ side, low, high, gap: 0, other: null });
      }
    }
  }
  return found.sort((a, b) => compare(sideId(a.side), sideId(b.side)) || a.low - b.low);
};

const opposites = (side: Side, sides: readonly Side[]): Facing[] =>
  sides
    .flatMap((other): Facing[] => {
      if (other.turn !== side.turn || axisOf(other) !== axisOf(side)) return [];
      if (outward(other) === outward(side)) return [];
      const [low, high] = [Math.max(side.low, other.low), Math.min(side.high, other.high)];
      const gap = outward(side) * (other.line - side.line);
      const near = gap >= THINNEST - 1e-9 && gap <= THICKEST + 1e-9;
      return high - low > MIN_OVERLAP && near ? [{ side, low, high, gap, other }] : [];
    })
    .sort((a, b) => a.gap - b.gap || compare(sideId(a.other!), sideId(b.other!)));

/** What is left of an interval, from low to high. */
const minus = (whole: Span, taken: readonly Span[]): Span[] => {
  const left: Span[] = [];
  let start = whole[0];
  for (const [low, high] of [...taken].sort((a, b) => a[0] - b[0] || a[1] - b[1])) {
    if (low > start) left.push([start, Math.min(low, whole[1])]);
    start = Math.max(start, high);
  }
  if (start < whole[1]) left.push([start, whole[1]]);
  return left.filter(([low, high]) => high - low > 1e-9);
};

const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);
