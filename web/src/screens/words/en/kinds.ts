/** Screen words of kinds and amounts; one that is not named here is shown by its own name. */
export const kinds: Record<string, string> = {
  "urine stain": "stain", "trap night": "trap", few: "a few", "looked and saw nothing": "looked, nothing",
  all: "all of it", part: "part of it", peep: "a peep",
};
