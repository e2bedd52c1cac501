/** Runs of pipe, cable and duct: usual sizes, heights, and where fixtures are joined to them. */
import { pointOn } from "../geometry/outline";
import type { Point } from "../geometry/frame";
import type { Country, FixtureShape, Scene } from "./scene";

/** Outside diameters in use, by common practice (no source). */
const SIZES: Record<string, readonly [uk: readonly string[], us: readonly string[]]> = {
  drain: [["110 mm", "50 mm", "43 mm", "36 mm"], ["4 1/2 in", "3 1/2 in", "2 3/8 in", "1 7/8 in"]],
  vent: [["110 mm", "82 mm", "50 mm"], ["3 1/2 in", "2 3/8 in", "1 7/8 in"]],
  supply: [["15 mm", "22 mm", "28 mm"], ["5/8 in", "7/8 in", "1 1/8 in"]],
  gas: [["15 mm", "22 mm", "28 mm"], ["3/4 in", "1 in", "1 3/8 in"]],
  cable: [["8 mm", "10 mm", "13 mm"], ["3/8 in", "1/2 in"]],
  duct: [["100 mm", "125 mm", "150 mm"], ["4 in", "6 in", "8 in"]],
};
export const sizesOf = (type: string, country: Country): readonly string[] => SIZES[type]?.[country === "UK" ? 0 : 1] ?? [];

/** Heights that most runs lie at, over the floor of the storey; null: over its ceiling (judgement). [m] */
export const HEIGHTS = { under: -0.1, low: 0.3, high: 2.1, ceiling: null } as const;
export type Height = keyof typeof HEIGHTS;

export interface Outlet {
  readonly at: Point;
  /** Over the floor. [m] */
  readonly height: number;
  readonly types: readonly string[];
}

/** Where a kind is joined: share of its width, of its depth from the back, height over the floor (judgement). */
const OUTLETS: Record<string, readonly [across: number, deep: number, height: number, types: readonly string[]]> = {
  bath: [0.12, 0.5, 0.05, ["drain", "supply"]],
  "shower base": [0.5, 0.5, -0.05, ["drain"]],
  wc: [0.5, 0.1, 0.18, ["drain", "supply"]],
  "wash-basin cabinet": [0.5, 0.1, 0.5, ["drain", "supply"]],
  "base cabinet run": [0.5, 0.1, 0.5, ["drain", "supply"]],
  "washing machine": [0.5, 0, 0.6, ["drain", "supply"]],
  dishwasher: [0.5, 0, 0.5, ["drain", "supply"]],
  "water heater": [0.5, 0.5, 1.2, ["supply", "gas", "cable", "vent"]],
  cooker: [0.5, 0, 0.4, ["gas", "cable"]],
  "boxed pipe run": [0.5, 0.5, 0.1, ["drain", "vent", "supply"]],
};

export const outletOf = (one: FixtureShape, flip: boolean): Outlet | null => {
  const told = OUTLETS[one.type];
  if (!told) return null;
  const [across, deep, height, types] = told;
  const along = one.along + one.width * (flip ? 1 - across : across);
  return { at: pointOn(one.side, along, -one.depth * deep), height, types };
};

/** The outlet that a point of a run is near enough to. */
export const outletNear = (scene: Scene, flipped: (id: string) => boolean, type: string, [x, y]: Point, reach: number): Outlet | undefined =>
  scene.fixtures
    .flatMap((one) => outletOf(one, flipped(one.id)) ?? [])
    .filter((one) => one.types.includes(type))
    .map((one) => ({ one, off: Math.hypot(one.at[0] - x, one.at[1] - y) }))
    .filter(({ off }) => off <= reach)
    .sort((a, b) => a.off - b.off)[0]?.one;
