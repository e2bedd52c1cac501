/** The band of a void: the cheapest of leaving, checking first and opening, as `diagnosis/bands.py`. */
import type { Prices } from "./pocket";

export type Band = "leave" | "check first" | "open" | "can't tell yet";

/** `chances` of light soil, heavy soil (both without a nest) and a nest. */
export const bandOf = (chances: readonly number[], prices: Prices, hidden: boolean): Band => {
  const loss = (of: readonly number[]): number => of.reduce((sum, chance, n) => sum + chance * prices.left[n]!, 0);
  const all = (of: readonly number[]): number => of.reduce((sum, chance) => sum + chance, 0);
  const missed = chances.map((chance, n) => chance * (1 - prices.shows[n]!));
  const shown = all(chances) - all(missed);
  const after = Math.min(prices.open * (1 - shown), loss(missed));
  const [leave, check, open] = [loss(chances), prices.check + shown * prices.open + after, prices.open];
  if (leave <= check && (!hidden || leave <= open)) return "leave";
  return !hidden || check <= open ? "check first" : "open";
};
