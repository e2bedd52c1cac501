/**
 * Plane to plane: the perspective that takes four points to four others (a homography), and what
 * is made of it.  Solved as the eight linear equations that fix it where the last entry is 1.
 */
import type { Point } from "./frame";

/** Nine entries, row by row. */
export type Plane = readonly [number, number, number, number, number, number, number, number, number];

export const SAME: Plane = [1, 0, 0, 0, 1, 0, 0, 0, 1];

export const through = (m: Plane, [x, y]: Point): Point => {
  const w = m[6] * x + m[7] * y + m[8];
  return [(m[0] * x + m[1] * y + m[2]) / w, (m[3] * x + m[4] * y + m[5]) / w];
};

/** First `second`, then `first`. */
export const after = (first: Plane, second: Plane): Plane => {
  const out = [0, 3, 6].flatMap((row) =>
    [0, 1, 2].map((column) =>
      [0, 1, 2].reduce((sum, k) => sum + first[row + k]! * second[3 * k + column]!, 0),
    ),
  );
  return out as unknown as Plane;
};

/** The perspective that takes four points to four others; null where three lie in line. */
export const perspective = (from: readonly Point[], to: readonly Point[]): Plane | null => {
  const rows = from.flatMap(([x, y], n) => {
    const [u, v] = to[n]!;
    return [
      [x, y, 1, 0, 0, 0, -u * x, -u * y, u],
      [0, 0, 0, x, y, 1, -v * x, -v * y, v],
    ];
  });
  const solved = solve(rows);
  return solved && ([...solved, 1] as unknown as Plane);
};

/** Turned by an angle and made larger about a point. [rad, 1] */
export const turned = ([x, y]: Point, angle: number, factor: number): Plane => {
  const [c, s] = [factor * Math.cos(angle), factor * Math.sin(angle)];
  return [c, -s, x - c * x + s * y, s, c, y - s * x - c * y, 0, 0, 1];
};

export const shifted = (dx: number, dy: number): Plane => [1, 0, dx, 0, 1, dy, 0, 0, 1];

/** Gauss with the largest pivot; the last column is the right-hand side. */
const solve = (rows: readonly (readonly number[])[]): number[] | null => {
  const m = rows.map((row) => [...row]);
  const n = m.length;
  for (let column = 0; column < n; column++) {
    let best = column;
    for (let row = column + 1; row < n; row++) if (Math.abs(m[row]![column]!) > Math.abs(m[best]![column]!)) best = row;
    if (Math.abs(m[best]![column]!) < 1e-9) return null;
    [m[column], m[best]] = [m[best]!, m[column]!];
    for (let row = 0; row < n; row++) {
      if (row === column) continue;
      const factor = m[row]![column]! / m[column]![column]!;
      for (let k = column; k <= n; k++) m[row]![k]! -= factor * m[column]![k]!;
    }
  }
  return m.map((row, k) => row[n]! / row[k]!);
};
