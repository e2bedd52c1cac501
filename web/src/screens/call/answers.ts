/** Which questions of the first call are answered, and answers as lists of words. */
import { ofKind, type Entities } from "../../drawing/scene";
import type { Call, Inspection } from "../../made/job";
import { TOLD, type Question } from "./call.svelte";

/** Adds a word to a text of words apart by commas, or takes it out. */
export const toggled = (text: string, word: string): string => {
  const words = text.split(",").map((one) => one.trim()).filter(Boolean);
  return (words.includes(word) ? words.filter((one) => one !== word) : [...words, word]).join(", ");
};
export const holds = (text: string, word: string): boolean => text.split(",").some((one) => one.trim() === word);

/** Adds an answer to a list; none and the others rule each other out. */
export const chosen = (list: readonly string[], one: string): string[] => {
  if (list.includes(one)) return list.filter((other) => other !== one);
  return one === "none" ? ["none"] : [...list.filter((other) => other !== "none"), one];
};

/** What was told under a question, the newest first. */
export const toldUnder = (entities: Entities, question: keyof typeof TOLD): [string, Inspection][] =>
  ofKind(entities, "inspection")
    .filter(([, one]) => one.grade === "told" && belongs(one, question))
    .sort((a, b) => ((a[1].at ?? "") < (b[1].at ?? "") ? 1 : -1));
const belongs = (one: Inspection, question: keyof typeof TOLD): boolean => {
  const cable = one.finds?.[0]?.kind === "gnawing" && one.finds[0].amount === "cable";
  if (question === "harm") return cable;
  return !cable && (TOLD[question] as readonly string[]).includes(one.finds?.[0]?.kind ?? "");
};

const FIELDS: Readonly<Partial<Record<Question, readonly (keyof Call)[]>>> = {
  caller: ["caller", "telephone", "address"], stops: ["stops"], who: ["may_order", "pays"], since: ["since"], poison: ["poison"],
  pets: ["pets"], people: ["people", "reads"], house: ["built_of"], harm: ["harm"], way_in: ["access", "keys", "left_alone"],
  visit: ["urgency"],
};
/** Whether anything stands under a question. */
export const answered = (question: Question, call: Partial<Call>, entities: Entities): boolean => {
  if ((FIELDS[question] ?? []).some((name) => (call[name] as string | readonly string[] | undefined)?.length)) return true;
  if (question in TOLD) return toldUnder(entities, question as keyof typeof TOLD).length > 0;
  if (question === "poison") return ofKind(entities, "bait_left").length > 0;
  if (question === "house") return ofKind(entities, "settings").some(([, one]) => one.year_built !== undefined && one.year_built !== null);
  return question === "visit" && booked(call, entities) !== undefined;
};

/** The first visit on the day of the call or after it. */
export const booked = (call: Partial<Call>, entities: Entities): [string, { readonly at: string; readonly who?: readonly string[] }] | undefined =>
  ofKind(entities, "visit").filter(([, one]) => call.at && one.at.slice(0, 10) >= call.at.slice(0, 10)).sort((a, b) => (a[1].at < b[1].at ? -1 : 1))[0];
