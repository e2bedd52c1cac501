/** Where a room's name stands on the screen: in whole, where nothing hides it, if there is such a place. */
import type { Box } from "./view.svelte";

export interface Named {
  readonly lines: readonly string[];
  readonly x: number;
  readonly y: number;
}
/** Width of a letter, height of half a line, what stays free beside a name. [px] */
const [LETTER, HALF, FREE] = [9.8, 12, 8];
const DEEP = 48;

/** Fewer letters than this name no room. */
const FEW = 5;
/** The ways to write a name, the best first: in one line, in two, cut short and shorter. */
const formsOf = (name: string, most: number, deep: boolean): string[][] => {
  const two = deep
    ? [...name.matchAll(/ /g)].map(({ index }) => [name.slice(0, index), name.slice(index + 1)]).filter((lines) => lines.every((one) => one.length <= most))
    : [];
  const whole = name.length <= most ? [[name], ...two] : two;
  const longest = Math.min(most, name.length - 1);
  const cut = Array.from({ length: Math.max(0, longest - FEW + 1) }, (_, n) => [`${name.slice(0, longest - n - 1)}…`]);
  const all = [...whole, ...cut];
  return all.length ? all : most > 3 ? [[`${name.slice(0, most - 1)}…`]] : [[]];
};

/** Steps of a share of the room, the middle first. */
const around = (step: number, n: number): number[] => [0, ...Array.from({ length: n }, (_, i) => [-(i + 1) * step, (i + 1) * step]).flat()];

export const namedAt = (name: string, [left, top, right, bottom]: Box, [x, y]: readonly [number, number], hides: readonly Box[]): Named => {
  const most = Math.floor((right - left - FREE) / LETTER);
  const forms = formsOf(name, most, bottom - top > DEEP);
  for (const lines of forms) {
    const half = (Math.max(0, ...lines.map((line) => line.length)) * LETTER) / 2;
    const high = HALF + 10 * Math.max(0, lines.length - 1);
    const [low, deep] = [left + half + FREE / 2, right - half - FREE / 2];
    const columns = [x, ...around(1 / 8, 4).map((part) => (left + right) / 2 + part * (right - left))].filter((one) => one >= low && one <= deep);
    const rows = around(1 / 16, 7).map((part) => y + part * (bottom - top)).filter((one) => one - high >= top && one + high <= bottom);
    // The nearest to the middle wins.
    const spots = rows.flatMap((cy) => columns.map((cx) => [cx, cy] as const)).sort((a, b) => Math.hypot(a[0] - x, a[1] - y) - Math.hypot(b[0] - x, b[1] - y));
    const free = spots.find(([cx, cy]) => hides.every(([l, t, r, b]) => cx + half < l || cx - half > r || cy + high < t || cy - high > b));
    if (free) return { lines, x: free[0], y: free[1] };
  }
  return { lines: forms[0]!, x, y };
};
