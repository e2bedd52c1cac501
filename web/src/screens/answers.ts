/** Answers to what was assumed: one tap, one event, on the entity that the fact belongs to. */
import type { Assumed, Question } from "../made/office";
import type { Fields } from "../record/event";
import { settled, withFact } from "../drawing/assumed";
import { known } from "../drawing/scene";
import { newId } from "../record/store";
import type { Key } from "./words/words";
import { desk } from "./desk.svelte";

type Loose = Record<string, unknown>;

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

/** Writes an answer and says so, with ten seconds to take it back. */
export const write = async (changed: Record<string, Loose | null>, what: string): Promise<void> => {
  if (!(await desk.set(changed as Record<string, Fields | null>, what))) return;
  desk.say(desk.t("answerSaved", { what }), [], () => { desk.hush(); void desk.undo(); });
};

export const answer = async (one: Assumed, choice: string, basis: "seen" | "measured" = "seen"): Promise<void> => {
  const id = idOf(one) ?? newId("wall");
  const [room, side] = one.side.split("/");
  const old = (desk.job.entities[id] as Loose | undefined) ?? { kind: "wall", room, side };
  const value = plainValue(one, choice);
  await write({ [id]: withFact(old, one.field.split("."), value, basis) }, `${sayWhat(one)}: ${choiceWords(value)}`);
};

/** Settles a question of framing: the facts are set, the guesses go. */
export const settle = (words: string, sets: Loose, guesses: readonly string[]): Promise<void> =>
  write(settled(desk.entities, sets, guesses), `${words}: ${setsWords(sets)}`);

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
  return FIELDS.includes(name) ? desk.t(`about_${name}` as Key) : desk.tell(one.words.split(" assumed ")[0]!);
};
export const choiceWords = (value: string): string =>
  CHOICES.includes(value) ? desk.t(`is_${value}` as Key) : value;
/** What a way says, in words: ``joists run east to west``. */
export const setsWords = (sets: Loose): string =>
  Object.values(sets)
    .map((value) => choiceWords(String(known(value as never) ?? "")))
    .filter((words, n, all) => all.indexOf(words) === n)
    .join(", ");
