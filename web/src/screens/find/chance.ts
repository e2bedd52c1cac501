/** A rounded number and one of five words; the bounds are those of the program's own `chance`. */
export const percent = (chance: number): string => {
  const hundredths = 100 * chance;
  if (hundredths < 2.5) return "<5";
  if (hundredths >= 97.5) return ">95";
  return String(Math.min(95, Math.max(5, 5 * Math.floor(hundredths / 5 + 0.5))));
};

const WORDS = ["very unlikely", "unlikely", "even chance", "likely", "very likely"] as const;

export const wordOf = (chance: number): { n: number; words: string } => {
  const n = [0.1, 0.33, 0.66, 0.9].filter((bound) => chance >= bound).length;
  return { n: n + 1, words: WORDS[n]! };
};
