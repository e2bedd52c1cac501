/** The kinds of sign as they are asked for: tiles in their order, and what a look at each is made by. */
import kinds from "../../made/kinds.json";
import { FIRST_TILES } from "./tiles";

export interface Sign {
  readonly name: string;
  readonly form: string;
  readonly ages: boolean;
  readonly told: boolean;
  readonly amounts: readonly string[];
  readonly methods: readonly string[];
}
export const SIGNS: readonly Sign[] = kinds.signs;
export const signOf = (name: string): Sign | null => SIGNS.find((one) => one.name === name) ?? null;

export const SILENCE = SIGNS.filter((one) => one.form === "silence");
export const OPENED = SIGNS.filter((one) => one.methods.includes("opened") && one.methods.length === 1);
const order = (one: Sign): number => (FIRST_TILES.includes(one.name) ? FIRST_TILES.indexOf(one.name) : 99);
export const TILES = SIGNS.filter((one) => !SILENCE.includes(one) && !OPENED.includes(one) && !one.told).sort((a, b) => order(a) - order(b));

export const methodOf = (one: Sign): string =>
  one.methods.includes("eye and lamp") || !one.methods.length ? "eye and lamp" : one.methods[0]!;
/** Whether the method was laid out and speaks of the nights since. */
export const isLaid = (method: string): boolean => kinds.methods.some((one) => one.name === method && one.since_laid);

/** How a look is told to have been made, where it showed a sign of this kind. */
export const madeBy = (sign: Sign, nights: number): { method: string; finished?: false; nights?: number } => {
  const method = methodOf(sign);
  const laid = isLaid(method);
  return { method, ...(laid || sign.form === "silence" ? {} : { finished: false as const }), ...(laid ? { nights } : {}) };
};
