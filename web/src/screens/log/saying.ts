/** What was logged, in the words of the screen. */
import type { Inspection } from "../../made/job";
import type { Event } from "../../record/event";
import { stepsOf } from "../../record/history";
import { desk } from "../desk.svelte";
import { moment } from "../jobs/when";

/** ``droppings, many, old``. */
export const sayLook = (look: Partial<Inspection>): string => {
  const find = look.finds?.[0];
  if (!find) return desk.t("lookedNothing");
  const age = find.freshness === "fresh" || find.freshness === "old" ? desk.t(find.freshness).toLowerCase() : "";
  return [desk.word(find.kind), find.amount ? desk.word(find.amount) : "", age].filter(Boolean).join(", ");
};

/** What was said before and was said otherwise later; what was only added later is no correction. */
const saidBefore = (before: Partial<Inspection>, after: Partial<Inspection>): string => {
  const [one, next] = [before.finds?.[0], after.finds?.[0]];
  const aged = one?.freshness && one.freshness !== "unsure" && one.freshness !== next?.freshness;
  const other = one?.kind !== next?.kind || one?.amount !== next?.amount || aged;
  const graded = before.grade !== after.grade && after.grade !== "photographed";
  const counted = before.nights && before.nights !== after.nights;
  const moved = before.place && JSON.stringify(before.place) !== JSON.stringify(after.place);
  return [
    other ? sayLook(before) : "",
    graded ? desk.t(before.grade ?? "seen") : "",
    counted ? `${before.nights} ${desk.t("nights")}` : "",
    before.note && before.note !== after.note ? `“${before.note}”` : "",
    moved ? desk.t("elsewhere") : "",
  ].filter(Boolean).join(", ");
};

/** A line for every correction: what stood until when, and who said otherwise. */
export const corrections = (events: readonly Event[], id: string, called: (device: string) => string): string[] => {
  const steps = stepsOf(events, id);
  return steps.slice(1).flatMap((next, n) => {
    const what = saidBefore(steps[n]!.fields as Partial<Inspection>, next.fields as Partial<Inspection>);
    return what ? [desk.t("saidBefore", { what, at: moment(next.at), who: called(next.device) })] : [];
  });
};
