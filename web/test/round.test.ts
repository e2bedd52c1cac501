import { expect, test } from "vitest";
import { roundOf } from "../src/drawing/round";

test("a round visits every trap once and takes the row as it lies", () => {
  const row = [0, 3, 1, 4, 2].map((x) => [x, 0] as const);
  expect(roundOf(row)).toEqual([0, 2, 4, 1, 3]);
  expect(roundOf([])).toEqual([]);
});

test("no two legs of a round cross", () => {
  let seed = 3;
  const random = (): number => (seed = (seed * 16807) % 2147483647) / 2147483647;
  for (let trial = 0; trial < 20; trial++) {
    const points = Array.from({ length: 9 }, () => [random(), random()] as const);
    const way = roundOf(points);
    expect([...way].sort()).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8]);
    const side = (a: number, b: number, c: number): number => {
      const [p, q, r] = [points[a]!, points[b]!, points[c]!];
      return Math.sign((q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]));
    };
    for (let n = 0; n < 8; n++) {
      for (let m = n + 2; m < 8; m++) {
        const [a, b, c, d] = [way[n]!, way[n + 1]!, way[m]!, way[m + 1]!];
        expect(side(a, b, c) !== side(a, b, d) && side(c, d, a) !== side(c, d, b)).toBe(false);
      }
    }
  }
});
