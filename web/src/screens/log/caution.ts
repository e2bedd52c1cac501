/** The usual caution that goes with what was logged; common practice, no source. */
import type { Key } from "../words/words";

/** Which caution a find calls for, or nothing. */
export const cautionOf = (kind: string, amount: string): Key | null => {
  if (kind === "gnawing" && amount === "cable") return "cautionCable";
  if (kind === "nest material" || (kind === "opened and seen" && amount === "nest")) return "cautionNest";
  if (kind === "carcass") return "cautionCarcass";
  return null;
};
