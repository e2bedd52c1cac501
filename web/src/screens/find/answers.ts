/** Answers to what was assumed: one tap, one event, on the entity that the fact belongs to. */
import type { Answer, Assumed, Question } from "../../made/office";
import type { Fields } from "../../record/event";
import { newId } from "../../record/store";
import type { Key } from "../words/words";
import { desk } from "../desk.svelte";

type Loose = Record<string, unknown>;

/** The entity with a fact written as seen, also into a part of it (``floor.joists_run``). */
export const withFact = (entity: Loose, field: string, value: unknown): Loose => {
  const [first, inner] = field.split(".") as [string, string | undefined];
  const fact = { value, basis: "seen" };
  return { ...entity, [first]: inner ? { ...(entity[first] as Loose | undefined), [inner]: fact } : fact };
};

const factOf = (entity: Loose | undefined, field: string): unknown =>
  field.split(".").reduce<unknown>((held, name) => (held as Loose | undefined)?.[name], entity);

/** The wall entity that describes a side, if there is one. */
const wallOf = (side: string): string | undefined =>
  Object.entries(desk.job.entities).find(([, one]) => one["kind"] === "wall" && `${String(one["room"])}/${String(one["side"])}` === side)?.[0];

const idOf = (one: Assumed): string | undefined => one.entity || wallOf(one.side);

/** What somebody answered since it was assumed; empty where nobody did. */
export const answered = (one: Assumed): string => {
  const id = idOf(one);
  const fact = factOf(id ? (desk.job.entities[id] as Loose) : undefined, one.field);
  if (fact === undefined || fact === null) return "";
  if (typeof fact !== "object") return String(fact);
  const { value, basis } = fact as { value?: unknown; basis?: string };
  return basis === "default" ? "" : String(value);
};

/** What the assumed value is as a job file holds it: ``depth 850 mm`` names its field. */
export const plainValue = (one: Assumed, choice: string): string =>
  choice.replace(new RegExp(`^${one.field.split(".").at(-1)} `), "");

export const answer = async (one: Assumed, choice: string): Promise<void> => {
  const id = idOf(one) ?? newId("wall");
  const [room, side] = one.side.split("/");
  const old = (desk.job.entities[id] as Loose | undefined) ?? { kind: "wall", room, side };
  const words = sayWhat(one);
  if (!(await desk.set({ [id]: withFact(old, one.field, plainValue(one, choice)) as Fields }, words))) return;
  desk.say(desk.t("answerSaved", { what: `${words}: ${choiceWords(plainValue(one, choice))}` }), [], () => { desk.hush(); void desk.undo(); });
};

/** Settles a question of framing: the facts are set, the guesses go. */
export const settle = async (question: Question, chosen: Answer): Promise<void> => {
  const changed: Record<string, Fields | null> = {};
  for (const [path, value] of Object.entries(chosen.sets as Loose)) {
    const [id, ...field] = path.split(".") as [string, ...string[]];
    const before = (changed[id] ?? desk.job.entities[id]) as Loose | undefined;
    if (before) changed[id] = withFact(before, field.join("."), value) as Fields;
  }
  for (const key of question.guesses) if (desk.job.entities[key]) changed[key] = null;
  if (!(await desk.set(changed, question.question))) return;
  desk.say(desk.t("answerSaved", { what: `${question.question}: ${setsWords(chosen)}` }), [], () => { desk.hush(); void desk.undo(); });
};
/** Whether a question still stands in the job. */
export const open = (question: Question): boolean =>
  question.guesses.length
    ? question.guesses.some((key) => desk.job.entities[key])
    : question.answers.some((one) => Object.keys(one.sets as Loose).some((path) => {
        const [id, ...field] = path.split(".") as [string, ...string[]];
        return !factOf(desk.job.entities[id] as Loose | undefined, field.join("."));
      }));

const FIELDS = ["framing", "build", "blocked", "ceiling", "joists_run", "below"];
const CHOICES = ["platform", "balloon", "stud", "cavity", "solid", "yes", "no", "storey", "loft", "roof", "joists", "slab", "x", "y", "short", "long", "crawl space", "ground"];
/** What a fact is about, in words; the office's own words where the app has none. */
export const sayWhat = (one: Assumed): string => {
  const name = one.field.split(".").at(-1)!;
  return FIELDS.includes(name) ? desk.t(`about_${name}` as Key) : one.words.split(" assumed ")[0]!;
};
export const choiceWords = (value: string): string =>
  CHOICES.includes(value) ? desk.t(`is_${value}` as Key) : value;
/** An answer in words: ``joists run east to west``. */
export const setsWords = (one: Answer): string =>
  Object.values(one.sets as Loose)
    .map((value) => choiceWords(String(value)))
    .filter((words, n, all) => all.indexOf(words) === n)
    .join(", ");
