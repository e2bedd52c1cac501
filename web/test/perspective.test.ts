/** Figures by hand. */
import { expect, test } from "vitest";
import { after, perspective, SAME, shifted, through, turned } from "../src/geometry/perspective";

const near = (point: readonly [number, number], x: number, y: number): void => {
  expect(point[0]).toBeCloseTo(x, 9);
  expect(point[1]).toBeCloseTo(y, 9);
};

test("four points go to four, and lines stay lines", () => {
  const seen = [[0, 0], [4, 1], [3, 3], [1, 2]] as const;
  const room = [[0, 0], [5, 0], [5, 4], [0, 4]] as const;
  const made = perspective(seen, room)!;
  seen.forEach((one, n) => near(through(made, one), room[n]![0], room[n]![1]));
  // The diagonals cross in the middle of a rectangle, whatever the camera saw.
  near(through(made, [1.75, 1.75]), 2.5, 2);
});

test("four in a line make no plane", () => {
  expect(perspective([[0, 0], [1, 1], [2, 2], [3, 3]], [[0, 0], [1, 0], [1, 1], [0, 1]])).toBeNull();
});

test("turning by a quarter, doubling, shifting", () => {
  near(through(turned([1, 1], Math.PI / 2, 2), [2, 1]), 1, 3);
  near(through(after(shifted(3, 0), turned([0, 0], 0, 2)), [1, 1]), 5, 2);
  near(through(SAME, [7, 8]), 7, 8);
});
