/**
 * What the office machine has and says.  Only its own receipt, written after it read the entry back,
 * marks an entry as held; the network flag of the browser is never asked.
 */
import type {
  Check, EntryAnswer, EventReceipt, Finding, HoldPoint, Misfit, Result, Trouble, VoidAnswer, WalkAnswer, WalkState,
} from "../made/office";
import { Carried, type FigureState } from "./carried.svelte";
import { lineOf, type Event } from "../record/event";
import { openKey, signed } from "../record/keys";
import { deviceOf, received, type Database, type Held, type Receipt } from "../record/store";
import { asked, OfficeError } from "./asked";
import type { ChoiceTold } from "./open/told";

/** What is always read of an answer; the rest an answer that was kept from before may lack. */
type Told<T, Always extends keyof T> = Fixed<Pick<T, Always> & Partial<T>>;
type Fixed<T> = { readonly [Key in keyof T]: Fixed<T[Key]> };
export type VoidSaid = Told<
  VoidAnswer, "id" | "label" | "words" | "storey" | "hidden" | "soiled" | "now" | "band" | "reason" | "settled"
>;
type EntrySaid = Told<EntryAnswer, "id" | "words" | "used">;
type MisfitSaid = Told<Misfit, "words" | "near">;
export type CheckSaid = Told<Check, "words" | "first" | "holds">;
/** What must be settled before a check may start. */
export function stopsOf(check: CheckSaid): readonly HoldPoint[] {
  return check.holds.filter(
    (hold) => hold.standing === "stop" || (hold.standing === "find out" && check.first.includes(hold.first)),
  );
}
export interface Answer {
  readonly diagnosis: {
    readonly verdict: string;
    readonly voids: readonly VoidSaid[];
    readonly entries: readonly EntrySaid[];
    readonly misfits: readonly MisfitSaid[];
  };
  readonly checks: Readonly<Partial<Omit<Result, "checks">> & { readonly checks?: readonly CheckSaid[] }> | null;
  readonly openings?: ChoiceTold | null;
  readonly find?: Finding;
  /** Answers that were kept from before lack these. */
  readonly work?: WalkAnswer["work"];
  readonly sealing?: WalkAnswer["sealing"];
  readonly all_clear?: WalkAnswer["all_clear"];
  readonly drying?: WalkAnswer["drying"];
  readonly closing_waits?: WalkAnswer["closing_waits"];
  readonly papers?: WalkAnswer["papers"];
  readonly estimate?: WalkAnswer["estimate"];
  readonly programme?: WalkAnswer["programme"];
}
export interface Figures {
  readonly answer: Answer;
  /** The office's name for the calculation. */
  readonly walk?: string;
  readonly at: string;
  /** How many of the entries on this device they are of. */
  readonly events: number;
  /** Reweighed only; a full diagnosis is due. */
  readonly rough?: boolean;
  /** How they came about; without it they are the office's, of everything up to `events`. */
  readonly state?: FigureState;
}

/** What the figures are of: all that had reached the office by one of its numbers. */
interface Counted {
  readonly walk: string;
  readonly through: number;
}

const BATCH = 200;

export class Office {
  /** The figures on the phone, between two answers of the office. */
  carried = new Carried(
    (figures) => (this.figures = figures),
    (receipt) => void this.db?.put("settings", receipt, `receipt/${this.job}`),
  );
  held = $state(0);
  refused = $state(0);
  at = $state("");
  asking = $state(false);
  share = $state(0);
  /** What came against the last calculation. */
  failed = $state.raw<unknown>(null);
  faults = $state.raw<readonly Trouble[]>([]);
  figures = $state.raw<Figures | null>(null);
  /** Openings that are not wanted, by their ids; a wish of this device, not yet the owner's word. */
  without = $state.raw<readonly string[]>([]);
  private db: Database | null = null;
  private job = "";
  private now: Held | null = null;
  private known = new Set<string>();
  private wanted: readonly Event[] = [];
  private running: Promise<void> | null = null;
  private queued: Promise<void> | null = null;

  start = async (db: Database, job: string): Promise<void> => {
    this.db = db;
    this.job = job;
    this.at = "";
    this.figures = ((await db.get("settings", `figures/${job}`)) as Figures | undefined) ?? null;
    await this.reread();
    this.without = ((await db.get("settings", `without/${job}`)) as string[] | undefined) ?? [];
    this.carried.load(this.figures, (await db.get("settings", `pocket/${job}`)) as string | undefined);
    this.refused = 0;
    this.failed = null;
    this.faults = [];
  };

  /** Reads anew what the office holds, and how much of that the figures are of: somebody else asked it. */
  reread = async (): Promise<void> => {
    if (!this.db) return;
    const receipts = await this.db.getAllFromIndex("receipts", "job", this.job);
    this.known = new Set(receipts.map((one) => one.id));
    this.held = this.known.size;
    const counted = (await this.db.get("settings", `counted/${this.job}`)) as Counted | undefined;
    if (this.figures && counted && counted.walk === this.figures.walk) {
      const events = receipts.filter((one) => isOf(one, counted.through)).length;
      this.figures = { ...this.figures, events };
      this.carried.counted(events);
    }
    this.at = ((await this.db.get("settings", `office/${this.job}`)) as string | undefined) ?? this.at;
  };

  /** After every change: the figures follow on the phone, and what is new goes to the office, if there is one. */
  changed = (held: Held): void => {
    this.now = held;
    void this.send(held.events).catch(() => undefined);
    void this.carried.changed(held);
  };

  /** Sends what is new; who asks while something is under way waits for it, and for what came since. */
  send = (events: readonly Event[]): Promise<void> => {
    this.wanted = events;
    if (!this.running) return this.begin();
    this.queued ??= this.running.catch(() => undefined).then(() => {
      this.queued = null;
      return this.begin();
    });
    return this.queued;
  };
  private begin = (): Promise<void> => {
    this.running = this.sendNew(this.wanted).finally(() => (this.running = null));
    return this.running;
  };
  private sendNew = async (events: readonly Event[]): Promise<void> => {
    if (!this.db) return;
    const waiting = events.filter((one) => one.job === this.job && !this.known.has(one.id));
    for (let at = 0; at < waiting.length; at += BATCH) {
      await this.sendSome(waiting.slice(at, at + BATCH));
    }
  };

  private keyTold = "";
  private sendSome = async (batch: readonly Event[]): Promise<void> => {
    await this.tellKey();
    const lines = (await signed(this.db!, batch)).map(lineOf);
    const body = JSON.stringify({ lines, now: new Date().toISOString() });
    const receipt = await asked<EventReceipt>(
      `/api/jobs/${this.job}/events`, body,
    );
    const good = new Set([...receipt.added, ...receipt.known]);
    const writing = this.db!.transaction(["receipts", "settings"], "readwrite", { durability: "strict" });
    for (const one of batch) {
      if (!good.has(one.id)) continue;
      const receipts = writing.objectStore("receipts");
      void receipts.put(received(await receipts.get(one.id), one.id, this.job, receipt.through));
    }
    const at = new Date().toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hour12: false });
    void writing.objectStore("settings").put(at, `office/${this.job}`);
    await writing.done;
    for (const one of batch) if (good.has(one.id)) this.known.add(one.id);
    this.held = this.known.size;
    this.refused = receipt.barred.length + receipt.refused.length;
    this.at = at;
  };

  /** Tells the office by which key this device signs, once; an office without devices asks for none. */
  private tellKey = async (): Promise<void> => {
    const device = await deviceOf(this.db!);
    if (this.keyTold === device) return;
    const key = await openKey(this.db!);
    const told = { device, key };
    const before = (await this.db!.get("settings", "key-told")) as typeof told | undefined;
    if (key && (before?.device !== told.device || before.key !== key)) {
      try {
        await asked("/api/device-key", JSON.stringify({ key }), "PUT");
        await this.db!.put("settings", told, "key-told");
      } catch (error) {
        if (!(error instanceof OfficeError) || error.code !== "no-device") throw error;
      }
    }
    this.keyTold = device;
  };

  /**
   * Notes what the figures of a calculation are of, and gives how many of this device's entries these are: those that
   * it was asked with, and those that came meanwhile but had reached the office before; not what was written since.
   */
  private count = async (asked: readonly Event[], { id, job, through }: WalkState): Promise<number> => {
    const with_ = new Set(asked.map((one) => one.id));
    const writing = this.db!.transaction(["receipts", "settings"], "readwrite", { durability: "strict" });
    const receipts = writing.objectStore("receipts");
    let events = 0;
    for (const one of await receipts.index("job").getAll(job)) {
      if (with_.has(one.id) && !isOf(one, through)) void receipts.put(received(one, one.id, one.job, through));
      if (with_.has(one.id) || isOf(one, through)) events += 1;
    }
    void writing.objectStore("settings").put({ walk: id, through } satisfies Counted, `counted/${job}`);
    await writing.done;
    return events;
  };

  /** Keeps what the phone carries of an answer; without it the figures are the office's alone. */
  private pack = async ({ id, job }: WalkState, figures: Figures): Promise<void> => {
    const told = await fetch(`/api/jobs/${job}/walks/${id}/pocket`, { signal: AbortSignal.timeout(20_000) });
    const text = told.ok ? await told.text() : "null";
    await this.db?.put("settings", text, `pocket/${job}`);
    if (job !== this.job) return;
    this.carried.load(figures, text);
    if (this.now) void this.carried.changed(this.now);
  };

  /** Asks the office to calculate, follows it and keeps the answer, which may come after another job was opened. */
  calculate = async (events: readonly Event[], ranges = false): Promise<void> => {
    if (this.asking) return;
    const { job } = this;
    [this.asking, this.share, this.failed, this.faults] = [true, 0, null, []];
    try {
      await this.send(events);
      const walk = await this.follow(
        await asked<WalkState>(`/api/jobs/${job}/walks`, JSON.stringify({ ...(ranges ? { ranges } : {}), without: this.without })),
      );
      if (job === this.job) this.faults = walk.faults ?? [];
      if (walk.state !== "done") throw new Error(walk.reason || walk.faults?.map((one) => one.what).join("; ") || walk.state);
      const answer = await asked<WalkAnswer>(`/api/jobs/${job}/walks/${walk.id}/answer`);
      const at = new Date().toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hour12: false });
      const figures: Figures = { answer, at, events: await this.count(events, walk), walk: walk.id };
      if (job === this.job) this.figures = figures;
      await this.db?.put("settings", figures, `figures/${job}`);
      await this.pack(walk, figures);
    } catch (error) {
      if (job === this.job) this.failed = error;
    } finally {
      this.asking = false;
    }
  };

  /** Waits until a calculation has ended; one that took its place is followed instead. */
  private follow = async (begun: WalkState): Promise<WalkState> => {
    let walk = begun;
    while (walk.state === "waiting" || walk.state === "running" || walk.state === "superseded") {
      this.share = Math.round(100 * walk.share);
      await new Promise((done) => setTimeout(done, 300));
      walk = await asked(`/api/jobs/${walk.job}/walks/${walk.by || walk.id}`);
    }
    return walk;
  };

  /** Leaves openings out of the choice, or takes them in again, and has the choice made anew. */
  leaveOut = (ids: readonly string[], events: readonly Event[]): void => {
    const rest = this.without.filter((one) => !ids.includes(one));
    this.without = rest.length < this.without.length ? rest : [...rest, ...ids];
    void this.db?.put("settings", [...this.without], `without/${this.job}`);
    void this.calculate(events);
  };

  /** Has the opening sheet made; gives its address.  Throws what the office says against it. */
  sheet = async (events: readonly Event[], which: "least" | "balanced" | "all"): Promise<string> => {
    // The office makes sheets of the job as it stands: what is newer here is calculated first.
    if (!this.figures?.walk || this.figures.events !== events.length) await this.calculate(events);
    if (this.failed) throw this.failed;
    const begun = await asked<WalkState>(`/api/jobs/${this.job}/sheets`, JSON.stringify({ walk: this.figures?.walk, which }));
    const made = await this.follow(begun);
    if (made.state !== "done") throw new Error(made.reason || made.state);
    return `/api/jobs/${this.job}/walks/${made.id}/paper`;
  };
}

/** Whether what an event's receipt tells is enough to say that it had come by a number. */
const isOf = (one: Receipt, through: number): boolean => (one.through ?? Infinity) <= through;
