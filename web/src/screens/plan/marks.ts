/** Where the marks of signs stand on the screen: side by side where several were logged at one place, beside a way in. */
import type { Scene, SignShape } from "../../drawing/scene";
import type { Point } from "../../geometry/frame";

export interface Mark {
  readonly one: SignShape;
  readonly x: number;
  readonly y: number;
}
const AROUND = [[0, 0], [1, 0], [-1, 0], [0, 1], [0, -1], [1, 1], [-1, -1], [1, -1], [-1, 1], [2, 0], [-2, 0]] as const;

export const marksOf = ({ signs, entries }: Pick<Scene, "signs" | "entries">, px: (at: Point) => [number, number]): Mark[] => {
  const taken: [number, number][] = entries.map((one) => px(one.at));
  return signs.map((one) => {
    const [middleX, middleY] = px(one.at);
    const spots = AROUND.map(([dx, dy]): [number, number] => [middleX + 26 * dx, middleY + 26 * dy]);
    const free = ([x, y]: [number, number]): boolean =>
      taken.every(([left, top]) => Math.abs(left - x) >= 24 || Math.abs(top - y) >= 24);
    const [x, y] = spots.find(free) ?? [middleX, middleY];
    taken.push([x, y]);
    return { one, x, y };
  });
};
