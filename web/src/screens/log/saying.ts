/** What was logged, in the words of the screen. */
import type { Inspection } from "../../made/job";
import { desk } from "../desk.svelte";

/** ``droppings, many, old``. */
export const sayLook = (look: Partial<Inspection>): string => {
  const find = look.finds?.[0];
  if (!find) return desk.t("lookedNothing");
  const age = find.freshness === "fresh" || find.freshness === "old" ? desk.t(find.freshness) : "";
  return [desk.word(find.kind), find.amount ? desk.word(find.amount) : "", age].filter(Boolean).join(", ");
};
