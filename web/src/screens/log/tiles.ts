/** Tiles in the order that hands learn; a kind that is not named here comes after them. */
export const FIRST_TILES: readonly string[] = [
  "droppings", "urine stain", "rub mark", "gnawing", "nest material", "tracks", "sound", "odour",
  "trap night", "carcass", "burrow",
];

