/** How a picture of a plan lies under the drawing: by where its four corners lie. */
import type { Point } from "../geometry/frame";
import { perspective, through, type Plane } from "../geometry/perspective";
import { lengthOr } from "../geometry/quantity";
import type { PaperPlan } from "../made/job";
import { ofKind, type Entities } from "./scene";

/** A tenth of a millimetre. [m] */
const FINE = 1e4;

/** The paper plan under a storey, the one brought in last. */
export const paperUnder = (entities: Entities, storey: string): [string, PaperPlan] | undefined =>
  ofKind(entities, "paper_plan").filter(([, one]) => one.storey === storey).at(-1);

const pixels = ([wide, high]: readonly [number, number]): Point[] => [[0, 0], [wide, 0], [wide, high], [0, high]];

/** From a pixel of the picture to the plan; null where its corners make no outline. [px, m] */
export const liesOf = (plan: PaperPlan): Plane | null => {
  const corners = plan.corners.map(([x, y]): Point => [lengthOr(x, NaN), lengthOr(y, NaN)]);
  if (corners.length !== 4 || corners.flat().some(Number.isNaN)) return null;
  return perspective(pixels(plan.size), corners);
};

/** Where the corners of a picture lie on the plan. */
export const cornersOf = (lies: Plane, size: readonly [number, number]): [number, number][] =>
  pixels(size).map((one) => {
    const [x, y] = through(lies, one);
    return [Math.round(x * FINE) / FINE, Math.round(y * FINE) / FINE];
  });

/** The pixel that lies at a point of the plan, to a tenth. */
export const pixelAt = (plan: PaperPlan, at: Point): [number, number] | null => {
  const back = perspective(plan.corners.map(([x, y]): Point => [lengthOr(x, NaN), lengthOr(y, NaN)]), pixels(plan.size));
  if (!back) return null;
  const [x, y] = through(back, at);
  return [Math.round(x * 10) / 10, Math.round(y * 10) / 10];
};
