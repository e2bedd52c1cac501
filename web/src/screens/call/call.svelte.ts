/** The first call: which question is asked, and where its answers are written. */
import words from "../../made/call.json";
import type { Call } from "../../made/job";
import { ofKind } from "../../drawing/scene";
import type { Fields } from "../../record/event";
import { newId, timeOf } from "../../record/store";
import { desk } from "../desk.svelte";
import { firm } from "../jobs/firm.svelte";

/** In the order of the call: who rings, the twelve questions of the call sheet, the visit. */
export const QUESTIONS = [
  "caller", "stops", "who", "since", "signs", "noises", "animals", "poison", "pets", "people", "house", "harm", "way_in", "visit",
] as const;
export type Question = (typeof QUESTIONS)[number];

/** Rest between two strokes of a key after which what was typed is written (judgement). [ms] */
export const REST = 1500;

type Said = Readonly<Record<string, string | readonly string[]>>;
/** Which kinds of told signs answer which question. */
export const TOLD = {
  signs: ["droppings", "gnawing", "nest material", "odour", "rub mark", "tracks"],
  noises: ["sound"],
  animals: ["live animal", "carcass"],
  harm: ["gnawing"],
} as const;

class CallSheet {
  at = $state(0);
  /** What waits to be written: an answer that is being typed. */
  private pending = new Map<string, () => unknown>();
  readonly id = $derived(ofKind(desk.entities, "call")[0]?.[0] ?? "");
  readonly call = $derived((desk.job.entities[this.id] ?? {}) as unknown as Partial<Call>);
  readonly question = $derived<Question>(QUESTIONS[this.at] ?? "caller");

  /** A word of the call sheet, as its paper says it. */
  say = (key: string): string => {
    const said = (words[desk.language] as Said)[key];
    return typeof said === "string" ? said : (said?.[0] ?? "");
  };

  /** Begins a job with a call, or opens the call of a job that has none yet. */
  begin = async (): Promise<void> => {
    await firm.recall();
    await desk.newJob("call", { [newId("call")]: this.fresh() });
  };
  private fresh = (): Fields => {
    const by = firm.me?.name ?? "";
    return { kind: "call", at: timeOf(new Date()), ...(by ? { by } : {}) } as unknown as Fields;
  };

  open = async (): Promise<void> => {
    const kept = (await desk.store?.get("settings", `call/${desk.job.id}`)) as number | undefined;
    this.at = Math.min(Math.max(kept ?? 0, 0), QUESTIONS.length - 1);
    if (!this.id) await desk.set({ [newId("call")]: this.fresh() }, desk.t("call"));
  };
  go = (to: number): void => {
    this.flush();
    this.at = Math.min(Math.max(to, 0), QUESTIONS.length - 1);
    void desk.store?.put("settings", this.at, `call/${desk.job.id}`);
  };

  /** Writes answers; empty ones are taken out. */
  set = (values: Record<string, unknown>): Promise<boolean> => {
    const bare = (value: unknown): boolean => value === "" || (Array.isArray(value) && !value.length);
    return desk.fields(this.id, Object.fromEntries(Object.entries(values).map(([name, value]) => [name, bare(value) ? undefined : value])), desk.t("call"));
  };

  /** Keeps what is being typed until it rests, the question is left or the page is hidden. */
  later = (name: string, write: () => unknown): void => {
    this.pending.set(name, write);
  };
  flush = (): void => {
    const all = [...this.pending.values()];
    this.pending.clear();
    for (const write of all) write();
  };

  /** The address names the job, until somebody gives it a name of its own. */
  address = async (address: string): Promise<void> => {
    const before = nameOf(this.call.address ?? "");
    const own = desk.job.title !== desk.t("newJob") && desk.job.title !== before;
    await this.set({ address });
    if (!own && address) await desk.change((job) => ({ ...job, title: nameOf(address) }), desk.t("job"));
  };
}

const nameOf = (address: string): string => (address.split(/[,\n]/)[0] ?? "").trim().slice(0, 60);
export const callSheet = new CallSheet();
