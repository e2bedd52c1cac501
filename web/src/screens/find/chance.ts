import type { Key } from "../words/words";

/** A rounded number and one of five classes; the bounds are those of the program's own `chance`. */
export const percent = (chance: number): string => {
  const hundredths = 100 * chance;
  if (hundredths < 2.5) return "<5";
  if (hundredths >= 97.5) return ">95";
  return String(Math.min(95, Math.max(5, 5 * Math.floor(hundredths / 5 + 0.5))));
};

export type ClassOf = 1 | 2 | 3 | 4 | 5;
/** The class of a chance, 1 to 5; its words are ``chance_1`` to ``chance_5``.  On a bound it is the class nearer to even. */
export const wordOf = (chance: number): { n: ClassOf } => {
  const n = [chance >= 0.1, chance >= 0.33, chance > 0.66, chance > 0.9].filter(Boolean).length;
  return { n: (n + 1) as ClassOf };
};

/** Whole numbers, where an error stands beside them: never 0 or 100. */
export const whole = (chance: number): string =>
  chance < 0.005 ? "<1" : chance >= 0.995 ? ">99" : String(Math.round(100 * chance));

/** A figure and its error to the same place: the first figure of the error, at most two behind the point. */
export const withError = (value: number, error: number): readonly [string, string] => {
  const first = error > 0 ? Math.floor(Math.log10(error)) : 0;
  const places = Math.min(2, Math.max(0, -first));
  const step = 10 ** Math.max(first, -places);
  const to = (one: number): string => (Math.round(one / step) * step).toFixed(places);
  return [to(value), to(Math.max(error, error > 0 ? step : 0))];
};

/** What to do with a void, as a key of words; "leave" tells as well where nobody looked: it is not "clean" there.
    Not after later entries, for how far a place was looked at is the office's figure. */
export const adviceOf = (said: { readonly band: string; readonly looked?: number }, since: boolean): Key =>
  said.band === "leave" && said.looked === 0 && !since ? "leaveUnseen" : (`band_${said.band}` as Key);

export const inTen = (share: number): number => Math.max(1, Math.min(9, Math.round(10 * share)));
/** Whether a void counts as looked at in full; the bound of the office's own words. */
export const wholly = (looked: number): boolean => looked > 0.9;
