/**
 * What other devices wrote, taken in: a union of two sets, so it does not matter in which order, how
 * often, or from whom an event comes.
 */
import { aboutOf } from "./about";
import { commitment, hashesIn } from "./cover";
import { canonical, eventId, RecordError, type Event, type Fields, type Json } from "./event";
import { erasedBy, fold, heads, STANDS, wordsByEntity, type Conflict, type Job, type Word } from "./fold";
import { received, timeOf, type Database } from "./store";

/** An event of a line of JSON; an error where it was altered or is no event. */
export const eventOf = (line: string): Event => {
  const found = JSON.parse(line) as Event;
  if (!found || typeof found !== "object" || typeof found.job !== "string" || !found.job || eventId(found) !== found.id) {
    throw new RecordError("a line that is no event");
  }
  const named = new Set(hashesIn(found.value));
  for (const [key, [salt, text]] of Object.entries(found.beside?.opened ?? {})) {
    if (!named.has(key) || commitment(salt, text) !== key) throw new RecordError("a personal text that is not the one it was");
  }
  return found;
};

/** What stands beside an event that is here and came again: the signature that was first, the texts of both. */
export const joined = (here: Event, come: Event): Event => {
  const first = here.beside?.key ? here.beside : come.beside;
  const opened = { ...come.beside?.opened, ...here.beside?.opened };
  const beside = { ...(first?.key ? { key: first.key, signature: first.signature! } : {}), ...(Object.keys(opened).length ? { opened } : {}) };
  return Object.keys(beside).length ? { ...here, beside } : here;
};

/** An event without the texts that are gone. */
export const without = (one: Event, gone: ReadonlySet<string>): Event => {
  const opened = Object.entries(one.beside?.opened ?? {});
  if (!opened.some(([key]) => gone.has(key))) return one;
  return { ...one, beside: { ...one.beside, opened: Object.fromEntries(opened.filter(([key]) => !gone.has(key))) } };
};

export interface Taken {
  /** Events that this device did not hold. */
  readonly added: number;
  /** Jobs that they speak of. */
  readonly jobs: readonly string[];
}

/**
 * Takes events in, in one transaction.  `held`: the office holds them, by its own word; where it told the
 * number that none of them is above, `through` is that.  Whatever else has to be written with them, `also` writes.
 */
export const takeIn = async (
  db: Database, events: readonly Event[], held: boolean, also: Readonly<Record<string, unknown>> = {}, through?: number,
): Promise<Taken> => {
  const writing = db.transaction(["events", "receipts", "settings"], "readwrite", { durability: "strict" });
  const [store, receipts] = [writing.objectStore("events"), writing.objectStore("receipts")];
  const jobs = new Set<string>();
  let added = 0;
  for (const one of events) {
    const here = await store.get(one.id);
    if (!here) {
      added += 1;
      jobs.add(one.job);
      void store.put(one);
    } else if (one.beside) {
      const both = joined(here, one);
      if (canonical(both.beside as Json) !== canonical((here.beside ?? {}) as Json)) void store.put(both);
    }
    if (held) void receipts.put(received(await receipts.get(one.id), one.id, one.job, through));
  }
  for (const [key, value] of Object.entries(also)) void writing.objectStore("settings").put(value, key);
  await writing.done;
  for (const job of new Set(events.map((one) => one.job))) await forgetErased(db, job);
  for (const job of jobs) await tell(db, job);
  return { added, jobs: [...jobs] };
};

/**
 * Drops what events say was erased: the texts beside events, photos, papers, what can be undone (it holds the
 * texts), and what the office answered before.
 */
const forgetErased = async (db: Database, job: string): Promise<void> => {
  const events = await db.getAllFromIndex("events", "job", job);
  const [texts, photos] = [new Set(erasedBy(events)), erasedBy(events, "photos")];
  if (!texts.size && !photos.length) return;
  const cut = events.map((one) => without(one, texts)).filter((one, n) => one !== events[n]);
  const stores = ["events", "gestures", "settings", "blobs"] as const;
  const writing = db.transaction(stores, "readwrite", { durability: "strict" });
  for (const one of cut) void writing.objectStore("events").put(one);
  for (const hash of photos) {
    void writing.objectStore("blobs").delete(hash);
    void writing.objectStore("settings").delete(`photo/${job}/${hash}`);
    void writing.objectStore("settings").delete(`papers/pages/${hash}`);
  }
  if (cut.length) {
    void writing.objectStore("gestures").delete(IDBKeyRange.bound([job, -Infinity], [job, Infinity]));
    for (const name of ["figures", "pocket", "receipt", "papers/made"]) void writing.objectStore("settings").delete(`${name}/${job}`);
  }
  await writing.done;
};

/** Writes anew what the list tells of a job. */
export const tell = async (db: Database, id: string, today = timeOf(new Date()).slice(0, 10)): Promise<Job> => {
  const events = await db.getAllFromIndex("events", "job", id);
  const job = fold(events, id);
  const touched = events.reduce((newest, one) => (one.at > newest ? one.at : newest), "");
  const line = await db.get("jobs", id);
  await db.put("jobs", { step: "draw", touched, ...line, ...aboutOf(job, today), id });
  return job;
};

/** One of the answers that stand beside each other. */
export interface Answer {
  readonly event: Event;
  /** undefined: it is taken out. */
  readonly value: Json | undefined;
}

/** The answers of a conflict, the one that stands now first; what says the same stands once. */
export const answersOf = (events: readonly Event[], job: string, one: Conflict): Answer[] => {
  const words: readonly Word[] = heads(wordsByEntity(events, job).get(one.entity)?.get(one.field) ?? []);
  const seen = new Set<string>();
  return words.filter(({ value }) => {
    const text = value === undefined ? "" : canonical(value);
    return !seen.has(text) && seen.add(text);
  });
};

/** The job with one answer of a conflict picked; the events between are what settles it. */
export const settled = (job: Job, events: readonly Event[], one: Conflict, answer: Answer): Job => {
  const conflicts = job.conflicts.filter((other) => other.entity !== one.entity || other.field !== one.field);
  if (!one.entity) return { ...job, conflicts, [one.field]: answer.value };
  const entities = { ...job.entities };
  if (one.field !== STANDS) {
    const { [one.field]: _, ...rest } = entities[one.entity] ?? {};
    entities[one.entity] = answer.value === undefined ? rest : { ...rest, [one.field]: answer.value };
  } else if (answer.value === undefined) {
    delete entities[one.entity];
  } else {
    entities[one.entity] ??= lastOf(events, job.id, one.entity);
  }
  // Where a whole entity goes or comes, nothing of it is left to settle.
  const left = one.field === STANDS ? conflicts.filter((other) => other.entity !== one.entity) : conflicts;
  return { ...job, entities, conflicts: left };
};

/** The fields of an entity as they stand, whether it stands or not. */
const lastOf = (events: readonly Event[], job: string, entity: string): Fields => {
  const fields: Record<string, Json> = {};
  for (const [name, words] of wordsByEntity(events, job).get(entity) ?? []) {
    const value = name === STANDS ? undefined : heads(words)[0]?.value;
    if (value !== undefined) fields[name] = value;
  }
  return fields;
};
