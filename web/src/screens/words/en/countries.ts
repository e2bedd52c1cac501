/**
 * Words that the trades of one country use where the others' differ; what is not named here is said
 * alike.  Common practice, no source.
 */
import type { Overlay } from "../words";

/** United States. */
export const US: Overlay = {
  words: {
    ground: "First floor", cellar: "Basement", storeyN: "Floor {up}",
    storeys: "Stories", storeyAbove: "Add a story above", storeyBelow: "Add a story below", storey: "a story",
    emptyList: "Nothing is drawn on this story yet.",
    noneAssumed: "Nothing is assumed on this story.",
    fact_loft_height: "attic {value} high", loft: "attic", level_over_more: "Attic, roof", is_loft: "an attic",
    is_platform: "platform: plates close each story", is_balloon: "balloon: bays run through stories", is_storey: "a story",
  },
  kinds: {
    odour: "odor", "built-in wardrobe": "built-in closet", cooker: "range", "suspended ceiling": "drop ceiling",
    "wash-basin cabinet": "vanity cabinet", wc: "toilet", "height of the kick board": "height of the toe kick",
  },
};

/** United Kingdom. */
export const UK: Overlay = {
  words: { "crawl space": "underfloor void", "is_crawl space": "underfloor void" },
  kinds: { "height of the kick board": "height of the plinth", refrigerator: "fridge" },
};
