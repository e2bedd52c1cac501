/** The order in which points are walked: from the first to the nearest next, crossings undone. */
import type { Point } from "../geometry/frame";

const far = (a: Point, b: Point): number => Math.hypot(a[0] - b[0], a[1] - b[1]);

/** Indices of the points in the order of a short open path that begins at the first. */
export const roundOf = (points: readonly Point[]): number[] => {
  if (!points.length) return [];
  const left = points.map((_, n) => n).slice(1);
  const way = [0];
  while (left.length) {
    const here = points[way.at(-1)!]!;
    left.sort((a, b) => far(here, points[a]!) - far(here, points[b]!) || a - b);
    way.push(left.shift()!);
  }
  for (let better = true; better; ) {
    better = false;
    for (let a = 1; a < way.length - 1; a++) {
      for (let b = a + 1; b < way.length; b++) {
        const [p, q, r, s] = [way[a - 1]!, way[a]!, way[b]!, way[b + 1]].map((n) => (n === undefined ? undefined : points[n]!));
        const gain = far(p!, q!) + (s ? far(r!, s) : 0) - far(p!, r!) - (s ? far(q!, s) : 0);
        if (gain > 1e-9) {
          way.splice(a, b - a + 1, ...way.slice(a, b + 1).reverse());
          better = true;
        }
      }
    }
  }
  return way;
};
