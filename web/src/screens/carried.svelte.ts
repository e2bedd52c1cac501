/**
 * The figures on the phone: what was logged since the office's answer, weighed at once and then
 * diagnosed in full by the same kernel, in workers.  Loaded only where an answer and a pocket are kept.
 */
import type { Fields } from "../record/event";
import type { Held } from "../record/store";
import type { Numbers, Receipt, Since } from "../kernel/diagnose";
import type { Phone } from "../kernel/phone";
import type { Answer, Figures } from "./office.svelte";

/** How the figures of now came about, wherever they came from. */
export interface FigureState {
  readonly how: "full" | "weighed" | "rough";
  readonly from: "office" | "phone";
  /** When the office gave the answer beneath; its verdict, runs, checks and openings are of then. */
  readonly at: string;
  /** Looks since that are in the figures. */
  readonly signs: number;
  /** Looks that wait for the office, and why. */
  readonly waits: Since["waits"];
  /** What was drawn or changed since: not calculated. */
  readonly drawn: readonly string[];
}

export class Carried {
  /** How far a full diagnosis on the phone is, 0 to 1; null where none is under way. */
  share = $state<number | null>(null);
  why = $state("");
  private phone: Phone | null = null;
  private office: Figures | null = null;
  private loaded: Promise<boolean> = Promise.resolve(false);
  private turn = 0;

  /** `tell` takes the figures of now, `keep` what they were drawn from, for the office to run again. */
  constructor(private readonly tell: (figures: Figures) => void, private readonly keep: (receipt: Receipt) => void) {}

  /** Takes up an answer of the office and the pocket that came with it. */
  load = (office: Figures | null, pocket: string | undefined): void => {
    this.stop();
    this.phone?.close();
    this.phone = null;
    this.office = office;
    this.why = "";
    const turn = ++this.turn;
    this.loaded = office && pocket && pocket !== "null" ? this.unpack(pocket, turn) : Promise.resolve(false);
  };

  /** What the office's answer is of was counted anew. */
  counted = (events: number): void => {
    if (this.office) this.office = { ...this.office, events };
  };

  private unpack = async (pocket: string, turn: number): Promise<boolean> => {
    const [{ Phone: Made }, { most, spawn }] = await Promise.all([import("../kernel/phone"), import("../kernel/hands")]);
    if (turn !== this.turn) return false;
    this.phone = new Made(spawn, most(), {
      atOnce: (numbers) => {
        this.share = 0;
        this.told(numbers, numbers.holds ? "weighed" : "rough");
      },
      share: (share) => { this.share = share; },
      inFull: (numbers, receipt) => {
        this.share = null;
        this.keep(receipt);
        this.told(numbers, "full");
      },
      failed: (why) => {
        this.share = null;
        this.why = why;
      },
    });
    return this.phone.load(pocket);
  };

  /** After every change: the figures follow by themselves. */
  changed = async (held: Held): Promise<void> => {
    const { office, turn } = this;
    if (!office) return;
    if (office.events === held.events.length) {
      this.stop();
      this.tell(office);
      return;
    }
    if (!(await this.loaded) || turn !== this.turn) return;
    this.why = "";
    await this.phone?.changed(held.job.entities as unknown as Readonly<Record<string, Fields>>);
  };

  stop = (): void => {
    this.phone?.stop();
    this.share = null;
  };

  private told = (numbers: Numbers, how: FigureState["how"]): void => {
    if (!this.office) return;
    const { news, gone, waits, drawn } = numbers.since;
    const none = news.length === 0 && gone.length === 0;
    const state: FigureState = {
      how: none ? "full" : how, from: none ? "office" : "phone", at: this.office.at, signs: news.length + gone.filter((id) => !news.includes(id)).length,
      waits, drawn,
    };
    const answer = none ? this.office.answer : applied(this.office.answer, numbers);
    if (none) this.stop();
    this.tell({ ...this.office, answer, rough: state.how === "rough", state });
  };
}

/** The office's answer with the numbers of now; words that carry numbers stay those of then. */
export const applied = (answer: Answer, numbers: Numbers): Answer => {
  const voids = new Map(numbers.voids.map((one) => [one.id, one]));
  const ways = new Map(numbers.ways);
  return {
    ...answer,
    diagnosis: {
      ...answer.diagnosis,
      voids: answer.diagnosis.voids.map((one) => {
        const now = voids.get(one.id);
        if (!now) return one;
        const { error, band, ...rest } = now;
        return { ...one, ...rest, soiled_error: error, band: one.band === "seen" ? one.band : band };
      }).sort((a, b) => b.soiled - a.soiled),
      entries: answer.diagnosis.entries.map((one) => ({ ...one, ...ways.get(one.id) })).sort((a, b) => b.used - a.used),
    },
  };
};
