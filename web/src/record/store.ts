/**
 * The record on this device: events, and the gestures that can be undone, in IndexedDB.
 *
 * Every change is written in one transaction with strict durability, and what is shown is what was
 * written.  The number and the event before are read in the same transaction, so that two windows
 * never write the same number.
 */
import { openDB, type DBSchema, type IDBPDatabase } from "idb";
import { aboutOf, type About } from "./about";
import { diff } from "./diff";
import { canonical, type Event, type Fields, type Json } from "./event";
import { emptyJob, fold, type Job } from "./fold";

/** What a gesture did to each entity it touched; null: was not there. */
export interface Gesture {
  readonly job: string;
  readonly n: number;
  readonly words: string;
  readonly before: Record<string, Fields | null>;
  readonly after: Record<string, Fields | null>;
  readonly title?: readonly [string, string];
  readonly undone: boolean;
}
export interface JobLine extends Partial<About> {
  readonly id: string;
  readonly title: string;
  readonly step: string;
  readonly touched: string;
}
/** What the office has told it holds, by its own receipt. */
export interface Receipt {
  readonly id: string;
  readonly job: string;
  /** Its number of receipt at the office is at most this; absent where the office did not tell. */
  readonly through?: number;
}
/** The bytes of a photo or a paper plan, as they came. */
export interface Kept {
  readonly hash: string;
  readonly bytes: ArrayBuffer;
  readonly type: string;
}
export interface Layout extends DBSchema {
  events: { key: string; value: Event; indexes: { job: string } };
  gestures: { key: [string, number]; value: Gesture };
  jobs: { key: string; value: JobLine };
  receipts: { key: string; value: Receipt; indexes: { job: string } };
  settings: { key: string; value: unknown };
  blobs: { key: string; value: Kept };
}
export type Database = IDBPDatabase<Layout>;

/** A receipt with what is told now: the lower bound of its number stands. */
export const received = (before: Receipt | undefined, id: string, job: string, through = Infinity): Receipt => {
  const least = Math.min(before?.through ?? Infinity, through);
  return { id, job, ...(least < Infinity ? { through: least } : {}) };
};

interface Chain {
  readonly device: string;
  readonly seq: number;
  readonly prev: string;
}

export const open = (name = "wainscot"): Promise<Database> =>
  openDB<Layout>(name, 2, {
    upgrade(db, before) {
      if (before < 2) db.createObjectStore("blobs", { keyPath: "hash" });
      if (before >= 1) return;
      db.createObjectStore("events", { keyPath: "id" }).createIndex("job", "job");
      db.createObjectStore("gestures", { keyPath: ["job", "n"] });
      db.createObjectStore("jobs", { keyPath: "id" });
      db.createObjectStore("receipts", { keyPath: "id" }).createIndex("job", "job");
      db.createObjectStore("settings");
    },
  });

export interface Held {
  readonly job: Job;
  readonly events: readonly Event[];
  readonly gestures: readonly Gesture[];
}

export const load = async (db: Database, job: string): Promise<Held> => {
  const events = await db.getAllFromIndex("events", "job", job);
  return { job: fold(events, job), events, gestures: await gesturesOf(db, job) };
};

const gesturesOf = (db: Database, job: string): Promise<Gesture[]> =>
  db.getAll("gestures", IDBKeyRange.bound([job, -Infinity], [job, Infinity]));

/** Writes what turns the job as held into `wanted`, and the gesture; gives what is held then. */
export const write = async (
  db: Database, held: Held, wanted: Job, at: string, words: string,
): Promise<Held> => {
  const kept = held.gestures.filter((one) => !one.undone);
  const gesture = gestureOf(held.job, wanted, (kept.at(-1)?.n ?? 0) + 1, words);
  return commit(db, held, wanted, at, [...kept, gesture], held.gestures);
};

export const canUndo = (held: Held): Gesture | undefined => held.gestures.findLast((one) => !one.undone);
export const canRedo = (held: Held): Gesture | undefined => held.gestures.find((one) => one.undone);

/** Takes one gesture back, or does it again: by new events, for nothing is ever taken out. */
export const step = async (
  db: Database, held: Held, gesture: Gesture, way: "undo" | "redo", at: string,
): Promise<Held> => {
  const entities = { ...held.job.entities };
  const [from, to] = way === "undo" ? [gesture.after, gesture.before] : [gesture.before, gesture.after];
  for (const [id, value] of Object.entries(to)) {
    if (value) entities[id] = back(entities[id], from[id], value);
    else delete entities[id];
  }
  const title = gesture.title?.[way === "undo" ? 0 : 1] ?? held.job.title;
  const marked = held.gestures.map((one) =>
    one.n === gesture.n ? { ...one, undone: way === "undo" } : one,
  );
  return commit(db, held, { ...held.job, entities, title }, at, marked, held.gestures);
};

/** An entity as it was, but for the fields that somebody changed since. */
export const back = (now: Fields | undefined, from: Fields | null | undefined, to: Fields): Fields => {
  if (!now || !from) return to;
  const fields: Record<string, Json> = { ...now };
  for (const name of new Set([...Object.keys(from), ...Object.keys(to)])) {
    if (!alike(now[name], from[name])) continue;
    if (to[name] === undefined) delete fields[name];
    else fields[name] = to[name];
  }
  return fields;
};
const alike = (one: Json | undefined, two: Json | undefined): boolean =>
  one === two || (one !== undefined && two !== undefined && canonical(one) === canonical(two));

const commit = async (
  db: Database, held: Held, wanted: Job, at: string,
  gestures: readonly Gesture[], before: readonly Gesture[],
): Promise<Held> => {
  const stores = ["events", "gestures", "jobs", "settings"] as const;
  const writing = db.transaction(stores, "readwrite", { durability: "strict" });
  const chain = ((await writing.objectStore("settings").get("chain")) as Chain | undefined) ?? newChain();
  const made = diff(held.job, wanted, { ...chain, seq: chain.seq + 1, at }, held.events);
  const last = made.at(-1);
  for (const one of made) void writing.objectStore("events").put(one);
  for (const one of before) void writing.objectStore("gestures").delete([one.job, one.n]);
  for (const one of gestures) void writing.objectStore("gestures").put(one);
  const events = [...held.events, ...made];
  const job = fold(events, wanted.id);
  const line = await writing.objectStore("jobs").get(wanted.id);
  void writing.objectStore("jobs").put({
    ...aboutOf(job, at.slice(0, 10)), id: wanted.id, step: line?.step ?? "draw", touched: at,
  });
  if (last) {
    void writing.objectStore("settings").put({ ...chain, seq: last.seq, prev: last.id }, "chain");
  }
  await writing.done;
  return { job, events, gestures };
};

const newChain = (): Chain => ({ device: newId("device"), seq: 0, prev: "" });

/** The id under which this device writes. */
export const deviceOf = async (db: Database): Promise<string> => {
  const writing = db.transaction("settings", "readwrite", { durability: "strict" });
  const chain = ((await writing.store.get("chain")) as Chain | undefined) ?? newChain();
  void writing.store.put(chain, "chain");
  await writing.done;
  return chain.device;
};

/** Writes under another id from now on, the one that the office gave; its numbers begin anew. */
export const adopt = async (db: Database, device: string): Promise<void> => {
  const writing = db.transaction("settings", "readwrite", { durability: "strict" });
  const chain = (await writing.store.get("chain")) as Chain | undefined;
  if (chain?.device !== device) void writing.store.put({ device, seq: 0, prev: "" } satisfies Chain, "chain");
  await writing.done;
};

/** A new id that nobody else makes. */
export const newId = (what: string): string => {
  const bytes = crypto.getRandomValues(new Uint8Array(10));
  return `${what}_${[...bytes].map((byte) => "0123456789abcdefghjkmnpqrstvwxyz"[byte & 31]).join("")}`;
};

const gestureOf = (old: Job, wanted: Job, n: number, words: string): Gesture => {
  const before: Record<string, Fields | null> = {};
  const after: Record<string, Fields | null> = {};
  for (const id of new Set([...Object.keys(old.entities), ...Object.keys(wanted.entities)])) {
    if (old.entities[id] !== wanted.entities[id]) {
      before[id] = old.entities[id] ?? null;
      after[id] = wanted.entities[id] ?? null;
    }
  }
  const title = old.title === wanted.title ? {} : { title: [old.title, wanted.title] as const };
  return { job: old.id, n, words, before, after, ...title, undone: false };
};

export const nothing = (job: string): Held => ({ job: emptyJob(job), events: [], gestures: [] });

/** The job file, as the program reads it. */
export const jobFile = (job: Job): string =>
  `${JSON.stringify(
    {
      wainscot: 1, id: job.id, title: job.title, units: job.units, entities: job.entities,
      ...(job.conflicts.length ? { conflicts: job.conflicts } : {}),
    },
    null, 1,
  )}\n`;

export class FileError extends Error {}

/** The job that a file holds; what it means is looked at where it is calculated. */
export const ofFile = (text: string): Job => {
  let content: Partial<Job> & { wainscot?: number };
  try {
    content = JSON.parse(text) as typeof content;
  } catch {
    throw new FileError("no JSON");
  }
  const { wainscot, id, title = "", units = "m", entities } = content ?? {};
  const sound =
    wainscot === 1 && typeof id === "string" && id && typeof title === "string" &&
    ["m", "ft-in"].includes(units) && entities && typeof entities === "object" &&
    Object.values(entities).every((one) => one && typeof one === "object" && "kind" in one);
  if (!sound) throw new FileError("no job file");
  return { id, title, units, entities, conflicts: content.conflicts ?? [] };
};

/** A time with this device's offset. */
export const timeOf = (date: Date): string => {
  const offset = -date.getTimezoneOffset();
  const local = new Date(date.getTime() + offset * 60_000).toISOString().slice(0, 23);
  const [hours, minutes] = [Math.floor(Math.abs(offset) / 60), Math.abs(offset) % 60];
  const two = (value: number): string => String(value).padStart(2, "0");
  return `${local}${offset < 0 ? "-" : "+"}${two(hours)}:${two(minutes)}`;
};
