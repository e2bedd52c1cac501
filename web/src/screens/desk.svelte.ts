/** What the screens share: the job as held, what is chosen, and how a change is written. */
import { snapGrid, type Tool } from "./draw/tools";
import { runsInto, type Corner } from "../drawing/edit";
import { sceneOf, ofKind, withNames, type Entities, type Scene } from "../drawing/scene";
import type { Target } from "../drawing/places";
import type { Point } from "../geometry/frame";
import type { Fields } from "../record/event";
import type { Job } from "../record/fold";
import {
  canRedo, canUndo, FileError, jobFile, load, newId, nothing, ofFile, open, step, timeOf, write,
  type Database, type Held, type JobLine,
} from "../record/store";
import { reasonOf } from "./asked";
import { Notice, type Said } from "./notice.svelte";
import { Office } from "./office.svelte";
import { Speech } from "./speech.svelte";
import type { Language } from "./words/words";

export type Step = "draw" | "find" | "open" | "work" | "watch" | "hand";
/** What the tray holds: a step's own, or one of what comes up in every step. */
export type Tray = Step | "place" | "job" | "steps" | "log" | "why" | "checks" | "record" | "round" | "note" | "correct" | "point" | "stops" | "traps" | "paper";
export interface Chosen {
  readonly what: "room" | "wall" | "fixture" | "entry" | "run";
  readonly id: string;
}

class Desk {
  private db: Database | null = null;
  held = $state.raw<Held>(nothing(""));
  jobs = $state.raw<readonly JobLine[]>([]);
  ready = $state(false);
  theme = $state<"auto" | "day" | "night">("auto");
  units = $state<"ft-in" | "m">("m");
  step = $state<Step>("draw");
  tray = $state<Tray>("draw");
  /** What the frame shows of the building. */
  shown = $state<"plan" | "cutaway" | "list">("plan");
  storey = $state("");
  tool = $state<Tool>("room");
  piece = $state("");
  chosen = $state.raw<Chosen | null>(null);
  /** Places that the last tap may have meant; the first is the guess. */
  places = $state.raw<readonly Target[]>([]);
  place = $state.raw<Target | null>(null);
  /** The place whose tray was closed last, and those beside it. */
  private left = $state.raw<{ readonly storey: string; readonly places: readonly Target[] }>({ storey: "", places: [] });
  again = $derived<readonly Target[]>(this.place ? [this.place, ...this.places] : this.left.storey === this.storey ? this.left.places : []);
  /** The kind that the next place is tapped for; empty where the kind is asked for. */
  wanted = $state("");
  /** What is being corrected, and the tray that it was asked for in. */
  correcting = $state.raw<{ readonly id: string; readonly from: Tray } | null>(null);
  /** Radius of the zone that is about to be logged; nought where none is. [m] */
  zone = $state(0);
  /** Few large actions in place of a step's tray, and no panning by one finger. */
  gloves = $state(false);
  leftHand = $state(false);
  private notice = new Notice();
  say = this.notice.say;
  hush = this.notice.hush;
  office = new Office();
  /** Other windows on this device: what one writes the others read anew. */
  private windows = new BroadcastChannel("wainscot");
  /** What a tap on the plan may mean, where a step knows more than what was drawn. */
  hits: ((at: Point, reach: number) => readonly Target[]) | null = null;
  private writing: Promise<unknown> = Promise.resolve();

  /** The record on this device; null where the browser keeps nothing. */
  get store(): Database | null {
    return this.db;
  }
  get language(): Language {
    return this.speech.language;
  }
  /** What is said to the person now. */
  get said(): Said | null {
    return this.notice.said;
  }
  get job(): Job {
    return this.held.job;
  }
  get entities(): Entities {
    return this.job.entities as unknown as Entities;
  }
  country = $derived.by((): "UK" | "US" => {
    const told = ofKind(this.entities, "settings")[0]?.[1].country;
    if (told) return told === "UK" ? "UK" : "US";
    return (this.job.id ? this.job.units : this.units) === "m" ? "UK" : "US";
  });
  get grid(): number {
    return snapGrid(this.job.units);
  }
  private speech = new Speech(this);
  speak = this.speech.speak;
  t = this.speech.t;
  word = this.speech.word;
  tell = this.speech.tell;
  typed = this.speech.typed;
  /** The entities as they are shown; what is written is made from {@link entities}. */
  private shownEntities = $derived(withNames(this.entities, this.typed));
  scene = $derived<Scene>(sceneOf(this.shownEntities, this.storey, this.job.units));
  storeys = $derived(
    ofKind(this.shownEntities, "storey").sort((a, b) => (b[1].level ?? 0) - (a[1].level ?? 0)),
  );

  start = async (): Promise<void> => {
    let language: Language = navigator.language.startsWith("es") ? "es" : "en";
    try {
      this.db = await open();
      const kept = (await this.db.get("settings", "screen")) as Partial<Desk> | undefined;
      language = kept?.language ?? language;
      this.theme = kept?.theme ?? "auto";
      this.gloves = kept?.gloves ?? false;
      this.leftHand = kept?.leftHand ?? false;
      this.units = kept?.units ?? (/US|LR|MM/.test(navigator.language) ? "ft-in" : "m");
      void navigator.storage?.persist?.();
      await this.speak(language);
    } catch (error) {
      await this.speak(language);
      this.say(this.t("storeGone", { why: this.tell(reasonOf(error)) }));
    }
    await this.goto();
    this.windows.onmessage = ({ data }: MessageEvent<string>) => {
      if (data !== this.job.id) return;
      // One that cannot be read takes no later change with it.
      this.writing = this.writing.then(async () => {
        if (this.db) this.held = await load(this.db, this.job.id);
      }).catch(() => undefined);
    };
    this.ready = true;
  };

  keepScreen = (): void => {
    const { language, theme, units, gloves, leftHand } = this;
    const kept = { language, theme, units, gloves, leftHand };
    void this.db?.put("settings", kept, "screen");
  };

  /** Opens what the address names, after what is being written: else older words would stand. */
  goto = (): Promise<void> => {
    const done = this.writing.then(this.opened);
    this.writing = done.catch(() => undefined);
    return done;
  };
  private opened = async (): Promise<void> => {
    const id = /^#\/(?:job|call)\/([\w-]+)$/.exec(location.hash)?.[1];
    if (!id || !this.db) {
      this.held = nothing("");
      await this.relist();
      return;
    }
    // Read before anything is shown: a tray that was opened meanwhile would be shut again.
    const [held, line] = await Promise.all([load(this.db, id), this.db.get("jobs", id)]);
    this.held = held;
    this.step = (line?.step as Step | undefined) ?? "draw";
    this.tray = this.step;
    const ground = this.storeys.find(([, one]) => (one.level ?? 0) === 0) ?? this.storeys.at(-1);
    this.storey = ground?.[0] ?? "";
    this.chosen = null;
    this.place = null;
    this.left = { storey: "", places: [] };
    this.shown = "plan";
    await this.office.start(this.db, id);
    this.office.changed(this.held);
    const draft = (await this.db.get("settings", `draft/${id}`)) as { storey: string; place: Target } | undefined;
    if (draft) {
      this.storey = draft.storey;
      this.openPlace([draft.place]);
    }
  };

  /** Reads the list of jobs anew. */
  relist = async (): Promise<void> => {
    this.jobs = ((await this.db?.getAll("jobs")) ?? []).sort((a, b) => (a.touched < b.touched ? 1 : -1));
  };

  /** Reads the open job anew: somebody else wrote to it. */
  reread = (): Promise<void> => {
    const done = this.writing.then(async () => {
      if (!this.db || !this.job.id) return;
      const held = await load(this.db, this.job.id);
      // First what the figures are of: else what came would be told as newer for a moment.
      await this.office.reread();
      this.held = held;
      if (!this.entities[this.storey]) this.storey = this.storeys[0]?.[0] ?? "";
    });
    this.writing = done.catch(() => undefined);
    return done;
  };

  /** Makes a job with a ground floor and what else it begins with, and opens it by one of its roads. */
  newJob = async (road: "job" | "call" = "job", more: Record<string, Fields> = {}): Promise<void> => {
    const job = nothing(newId("job"));
    await this.put(job, {
      ...job.job, title: this.t("newJob"), units: this.units,
      entities: { ground: { kind: "storey", name: this.t("ground"), level: 0 }, ...more },
    }, "");
    // The empty job is where undo ends.
    await this.db?.delete("gestures", [job.job.id, 1]);
    location.hash = `#/${road}/${job.job.id}`;
  };

  private put = async (held: Held, wanted: Job, words: string): Promise<Held> => {
    if (!this.db) throw new Error("no store");
    return write(this.db, held, wanted, timeOf(new Date()), words);
  };

  /** Writes one gesture; false where it could not be written. */
  change = (edit: (job: Job) => Job, words: string): Promise<boolean> =>
    this.inTurn(async () => {
      const wanted = edit(this.job);
      if (wanted !== this.job) this.held = await this.put(this.held, wanted, words);
    });

  /** Sets or takes out entities in one gesture. */
  set = (entities: Record<string, Fields | null>, words: string): Promise<boolean> =>
    this.change((job) => {
      const next = { ...job.entities };
      for (const [id, value] of Object.entries(entities)) {
        if (value) next[id] = plain(value);
        else delete next[id];
      }
      return { ...job, entities: next };
    }, words);

  /** Adds entities of one sort that a person may take back within ten seconds. */
  addAll = async (what: string, entities: readonly Fields[], words: string): Promise<boolean> => {
    const made = Object.fromEntries(entities.map((one) => [newId(what), one]));
    if (!(await this.set(made, words))) return false;
    const none = Object.fromEntries(Object.keys(made).map((id) => [id, null]));
    this.say(this.t("writtenDown", { what: words }), [], () => {
      this.hush();
      void this.set(none, this.t("undo")).then(() => this.say(this.t("takenBack", { what: words })));
    });
    return true;
  };
  add = (what: string, entity: Fields, words: string): Promise<boolean> => this.addAll(what, [entity], words);

  /** What the next tap on the plan is for, where it is not for the place tray. */
  onPlace: ((found: readonly Target[]) => void) | null = null;

  /**
   * Adds a room, or gives one that had a name its outline, unless it would run into one that was
   * added meanwhile; gives its id or "".
   */
  addRoom = async (polygon: readonly Corner[], lengths: Record<string, string> = {}, undrawn = ""): Promise<string> => {
    const id = undrawn || newId("room");
    let other = "";
    const good = await this.change((job) => {
      const all = ofKind(job.entities as unknown as Entities, "room").map(([, one]) => one.name);
      const old = job.entities[id] as { name?: string } | undefined;
      const name = old?.name ?? this.t("roomNames").split("|").find((one) => !all.includes(one)) ?? `${this.t("room")} ${all.length + 1}`;
      const room = { ...old, kind: "room", storey: this.storey, name, polygon, ...(Object.keys(lengths).length ? { lengths } : {}) } as const;
      other = runsInto(id, room as never, job.entities as unknown as Entities);
      return other ? job : { ...job, entities: { ...job.entities, [id]: plain(room as never) } };
    }, this.t("room"));
    if (other) this.say(this.t("runsInto", { name: other }));
    if (!good || other) return "";
    this.choose({ what: "room", id });
    return id;
  };

  /** Changes fields of one entity; undefined takes a field out. */
  fields = (id: string, values: Record<string, unknown>, words: string): Promise<boolean> => {
    const entity = { ...this.job.entities[id], ...values } as Record<string, unknown>;
    for (const name of Object.keys(entity)) if (entity[name] === undefined) delete entity[name];
    return this.set({ [id]: entity as Fields }, words);
  };

  undo = (): Promise<boolean> => this.step_("undo");
  redo = (): Promise<boolean> => this.step_("redo");
  canUndo = $derived(canUndo(this.held) !== undefined);
  canRedo = $derived(canRedo(this.held) !== undefined);

  private step_ = (way: "undo" | "redo"): Promise<boolean> =>
    this.inTurn(async () => {
      const gesture = way === "undo" ? canUndo(this.held) : canRedo(this.held);
      if (!gesture || !this.db) return;
      this.held = await step(this.db, this.held, gesture, way, timeOf(new Date()));
      if (this.chosen && !this.entities[this.chosen.id] && this.chosen.what !== "wall") this.chosen = null;
      if (!this.entities[this.storey]) this.storey = this.storeys[0]?.[0] ?? "";
    });

  /** How many changes are not yet written. */
  waiting = $state(0);
  private inTurn = (what: () => Promise<void>): Promise<boolean> => {
    this.waiting += 1;
    const done = this.writing.then(what).then(
      () => true,
      (error: unknown) => {
        this.say(this.t("storeFull", { why: this.tell(reasonOf(error)) }));
        return false;
      },
    );
    this.writing = done;
    void done.then((good) => {
      this.waiting -= 1;
      if (!good) return;
      this.windows.postMessage(this.job.id);
      this.office.changed(this.held);
    });
    return done;
  };

  go = (to: Step): void => {
    this.step = to;
    this.tray = to;
    this.chosen = null;
    void this.keepStep(this.job.id, to);
  };

  private keepStep = async (id: string, to: Step): Promise<void> => {
    const writing = this.db?.transaction("jobs", "readwrite");
    const line = await writing?.store.get(id);
    if (line) void writing?.store.put({ ...line, step: to, touched: timeOf(new Date()) });
  };

  choose = (chosen: Chosen | null): void => {
    this.chosen = chosen;
    this.tray = "draw";
  };

  /** Opens the place tray on a tap's candidates, and keeps the first as a draft. */
  openPlace = (places: readonly Target[]): void => {
    this.places = places;
    this.pick(places[0] ?? null);
    this.tray = places.length ? "place" : "log";
  };
  pick = (place: Target | null): void => {
    this.place = place;
    if (place) void this.db?.put("settings", { storey: this.storey, place: $state.snapshot(place) }, `draft/${this.job.id}`);
  };
  /** Opens the form of what was logged, filled in. */
  correct = (id: string): void => {
    this.hush();
    this.correcting = { id, from: this.tray };
    this.tray = "correct";
  };
  /** Opens the place that was shown last on this storey once more. */
  openAgain = (): void => {
    const [first, ...rest] = this.again;
    this.openPlace(first ? [first, ...rest.filter((one) => one.key !== first.key)] : []);
  };
  endPlace = (): void => {
    if (this.place) this.left = { storey: this.storey, places: [this.place, ...this.places] };
    this.place = null;
    void this.db?.delete("settings", `draft/${this.job.id}`);
    this.tray = this.step;
  };

  /** What was logged is no draft any more; the place stays, for "here again". */
  endPlaceDraft = (): void => {
    void this.db?.delete("settings", `draft/${this.job.id}`);
  };

  saveFile = (): void => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([jobFile(this.job)], { type: "application/json" }));
    link.download = `${this.job.title.replace(/[^\p{L}\p{N}]+/gu, "-") || "job"}.json`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
  };

  openFile = async (file: File): Promise<void> => {
    try {
      const wanted = ofFile(await file.text());
      if (!this.db) return;
      const held = await load(this.db, wanted.id);
      const after = await this.put(held, { ...wanted, conflicts: [] }, file.name);
      const n = after.events.length - held.events.length;
      location.hash = `#/job/${wanted.id}`;
      await this.goto();
      this.say(this.t(n ? "fileIn" : "fileSame", { name: file.name, n: Object.keys(wanted.entities).length }));
    } catch (error) {
      const bad = error instanceof FileError;
      this.say(bad ? this.t("fileBad", { name: file.name }) : this.t("storeFull", { why: this.tell(reasonOf(error)) }));
    }
  };
}

const plain = (value: Fields): Fields => JSON.parse(JSON.stringify(value)) as Fields;

export const desk = new Desk();
