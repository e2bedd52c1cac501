/** Contrasts by the relative luminance of WCAG 2.2; lightness steps by OKLab (B. Ottosson, 2020). */
import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";

const css = readFileSync(new URL("../src/drawing/tokens.css", import.meta.url), "utf8");
type Tokens = Record<string, string>;

const tokens = (theme: string): Tokens => {
  const block = new RegExp(`\\[data-theme="${theme}"\\] \\{([^}]*)\\}`).exec(css)![1]!;
  return Object.fromEntries(
    [...block.matchAll(/--([\w-]+): (#[0-9a-f]{6});/g)].map((one) => [one[1]!, one[2]!]),
  );
};

const channels = (hex: string): number[] =>
  [1, 3, 5]
    .map((at) => parseInt(hex.slice(at, at + 2), 16) / 255)
    .map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));

const luminance = (hex: string): number => {
  const [r, g, b] = channels(hex);
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
};

const contrast = (one: string, two: string): number => {
  const [low, high] = [luminance(one), luminance(two)].sort((a, b) => a - b);
  return (high! + 0.05) / (low! + 0.05);
};

/** Share of a fill that lines of 1.5 px cover: none, each 19, each 9, crossed each 12, none. */
const COVER = [0, 1.5 / 19, 1.5 / 9, 1 - (1 - 1.5 / 12) ** 2, 0];

/** Fill and hatch as they look from afar: mixed in linear light. */
const mixed = (fill: string, hatch: string, share: number): number[] => {
  const lines = channels(hatch);
  return channels(fill).map((value, n) => value * (1 - share) + lines[n]! * share);
};

const lab = (linear: readonly number[]): number[] => {
  const [r, g, b] = linear as [number, number, number];
  const l = Math.cbrt(0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b);
  const m = Math.cbrt(0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b);
  const s = Math.cbrt(0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b);
  return [
    0.2104542553 * l + 0.793617785 * m - 0.0040720468 * s,
    1.9779984951 * l - 2.428592205 * m + 0.4505937099 * s,
    0.0259040371 * l + 0.7827717662 * m - 0.808675766 * s,
  ];
};

test("the contrast of black on white is 21, as WCAG says", () => {
  expect(contrast("#000000", "#ffffff")).toBeCloseTo(21, 6);
});

describe.each(["day", "night"])("%s", (theme) => {
  const has = tokens(theme);

  test.each(["paper", "tray", "well"])("text on %s has 7:1", (ground) => {
    for (const text of ["ink", "ink-2"]) expect(contrast(has[text]!, has[ground]!)).toBeGreaterThanOrEqual(7);
    if (ground !== "well") expect(contrast(has["copper"]!, has[ground]!)).toBeGreaterThanOrEqual(7);
  });

  test("text on copper and on an ink block has 7:1", () => {
    expect(contrast(has["on-copper"]!, has["copper"]!)).toBeGreaterThanOrEqual(7);
    expect(contrast(has["paper"]!, has["ink"]!)).toBeGreaterThanOrEqual(7);
  });

  test("borders and icons have 4.5:1 everywhere", () => {
    for (const ground of ["paper", "tray", "well"]) {
      expect(contrast(has["line"]!, has[ground]!)).toBeGreaterThanOrEqual(4.5);
      expect(contrast(has["route"]!, has[ground]!)).toBeGreaterThanOrEqual(4.5);
    }
  });

  test("fill and hatch seen together fall or rise in even steps, neighbours well apart", () => {
    const seen = [1, 2, 3, 4, 5].map((n) => lab(mixed(has[`chance-${n}`]!, has["hatch"]!, COVER[n - 1]!)));
    const way = theme === "day" ? -1 : 1;
    seen.slice(1).forEach((one, n) => {
      expect((one[0]! - seen[n]![0]!) * way).toBeGreaterThan(0.1);
      const apart = Math.hypot(...one.map((value, m) => value - seen[n]![m]!));
      expect(apart).toBeGreaterThan(0.12);
      expect(apart).toBeLessThan(0.16);
    });
  });

  test("hatch can be told from its fill", () => {
    for (const n of [2, 3, 4]) {
      expect(contrast(has["hatch"]!, has[`chance-${n}`]!)).toBeGreaterThanOrEqual(3.06);
    }
  });
});
