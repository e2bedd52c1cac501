/** Turned axes: a slanted wall is measured along itself and across itself, like any other. */

export type Point = readonly [x: number, y: number];

const DIGITS = 9;
const EIGHTH = Math.PI / 4;
/** What faces between two quarters to within this counts as facing exactly between. [rad] */
const MARGIN = 0.002;

export const toWorld = ([x, y]: Point, turn: number): Point => {
  if (turn === 0) return [x, y];
  const [cosine, sine] = [Math.cos(turn), Math.sin(turn)];
  return [cosine * x - sine * y, sine * x + cosine * y];
};

export const toFrame = (point: Point, turn: number): Point => toWorld(point, -turn);

/** Turn and quarter of a direction: turned axes, and how many quarters on from their x. */
export const split = (angle: number): [turn: number, quarter: number] => {
  const quarter = Math.floor((angle + EIGHTH + MARGIN) / (Math.PI / 2));
  const turn = Number((angle - (quarter * Math.PI) / 2).toFixed(DIGITS));
  return [turn || 0, ((quarter % 4) + 4) % 4];
};
