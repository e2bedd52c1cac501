/**
 * Events to a job, whatever order they arrive in.
 *
 * Every event is a word about one or more slots: a field of an entity, or whether the entity stands
 * at all (slot "").  A word falls where a later word of the same device, or one that names it as
 * superseded, speaks about the same slot.  Of the words left standing the newest wins; where two
 * devices left different words standing, that is a conflict and both stay visible.  Personal texts
 * are put back; what an event of kind "erased" names reads as erased.
 */
import type { Units } from "../geometry/quantity";
import { uncover } from "./cover";
import {
  canonical, compare, eventId, instant, RecordError, type Event, type Fields, type Json,
} from "./event";

export const HEADER = ["title", "units"] as const;
export const STANDS = "";

export interface Conflict {
  readonly entity: string;
  readonly field: string;
  readonly winner: string;
  readonly others: readonly string[];
  readonly lost?: readonly string[];
}

export interface Job {
  readonly id: string;
  readonly title: string;
  readonly units: Units;
  readonly entities: { readonly [id: string]: Fields };
  readonly conflicts: readonly Conflict[];
}

/** What one event says about one slot; undefined: it is not there. */
export interface Word {
  readonly event: Event;
  readonly value: Json | undefined;
}
export type Slots = Map<string, Word[]>;

const checked = new WeakSet<Event>();

export const emptyJob = (id: string): Job => ({
  id, title: "", units: "m", entities: {}, conflicts: [],
});

export const fold = (events: Iterable<Event>, job: string): Job => {
  const entities: Record<string, Fields> = {};
  const conflicts: Conflict[] = [];
  let header: Fields = {};
  const grouped = wordsByEntity(events, job);
  for (const key of [...grouped.keys()].sort(compare)) {
    const slots = grouped.get(key)!;
    if (key && !slots.get(STANDS)!.some((word) => word.event.kind === "add")) continue;
    const { values, found } = resolved(key, slots);
    const { [STANDS]: stands, ...rest } = values;
    if (!key) header = rest;
    else if (stands === true) entities[key] = rest;
    conflicts.push(...(key && stands !== true ? found.filter((one) => !one.field) : found));
  }
  return {
    id: job,
    title: (header["title"] as string | undefined) ?? "",
    units: (header["units"] as Units | undefined) ?? "m",
    entities,
    conflicts,
  };
};

/** Every word by entity and slot; the job's own fields stand under the empty id. */
export const wordsByEntity = (events: Iterable<Event>, job: string): Map<string, Slots> => {
  const seen = new Map<string, Event>();
  for (const one of events) {
    if (one.job !== job || seen.get(one.id) === one) continue;
    if (!checked.has(one)) {
      if (eventId(one) !== one.id) throw new RecordError(`event ${one.id.slice(0, 12)} was altered`);
      checked.add(one);
    }
    seen.set(one.id, one);
  }
  const grouped = new Map<string, Word[]>();
  const gone = new Set(erasedBy(seen.values()));
  for (const one of seen.values()) {
    const word = { event: one, value: told(one, gone) };
    const group = grouped.get(one.entity);
    if (group) group.push(word);
    else grouped.set(one.entity, [word]);
  }
  return new Map([...grouped].map(([key, group]) => [key, slotsOf(key, group)]));
};

/** What an event says, its personal texts put back but for those that were erased. */
export const told = (one: Event, gone: ReadonlySet<string> = new Set()): Json => {
  const opened = one.beside?.opened ?? {};
  const left = gone.size ? Object.fromEntries(Object.entries(opened).filter(([key]) => !gone.has(key))) : opened;
  return uncover(one.value, left, one.field);
};

/** The hashes of what events say was erased. */
export const erasedBy = (events: Iterable<Event>, what: "texts" | "photos" = "texts"): string[] =>
  [...events].flatMap((one) => {
    const named = one.kind === "add" && (one.value as Fields)["kind"] === "erased" ? (one.value as Fields)[what] : [];
    return Array.isArray(named) ? named.filter((each: Json): each is string => typeof each === "string") : [];
  });

/** The words of one slot that no other word replaces, the winner first. */
export const heads = (words: readonly Word[]): Word[] => {
  const replaced = new Set(words.flatMap((word) => word.event.supersedes));
  const newest = new Map<string, number>();
  for (const { event } of words) {
    newest.set(event.device, Math.max(newest.get(event.device) ?? event.seq, event.seq));
  }
  const left = words.filter(
    ({ event }) => !replaced.has(event.id) && event.seq === newest.get(event.device),
  );
  // Only a device whose counter ran backwards can leave none; then every word stands.
  return [...(left.length ? left : words)].sort((a, b) => -order(a.event, b.event));
};

const order = (a: Event, b: Event): number =>
  instant(a.at) - instant(b.at) ||
  compare(a.device, b.device) ||
  a.seq - b.seq ||
  compare(a.id, b.id);

const slotsOf = (key: string, words: readonly Word[]): Slots => {
  const slots: Slots = new Map();
  if (!key) {
    for (const name of HEADER) {
      const said = words.filter((one) => one.event.field === name);
      if (said.length) slots.set(name, said);
    }
    return slots;
  }
  const names = new Set(words.map((one) => one.event.field).filter(Boolean));
  for (const one of words) {
    if (one.event.kind === "add") Object.keys(one.value as Fields).forEach((name) => names.add(name));
  }
  for (const name of [STANDS, ...names].sort(compare)) slots.set(name, []);
  for (const { event: one, value: said } of words) {
    const gone = one.kind === "withdraw" && !one.field;
    slots.get(STANDS)!.push({ event: one, value: gone ? undefined : true });
    if (one.kind === "add") {
      for (const name of names) {
        slots.get(name)!.push({ event: one, value: (said as Fields)[name] });
      }
    } else if (one.field) {
      const value = one.kind === "withdraw" ? undefined : said;
      slots.get(one.field)!.push({ event: one, value });
    }
  }
  return slots;
};

const resolved = (key: string, slots: Slots): { values: Fields; found: Conflict[] } => {
  const values: Record<string, Json> = {};
  const found: Conflict[] = [];
  for (const [name, words] of slots) {
    const [winner, ...rest] = heads(words);
    if (winner!.value !== undefined) values[name] = winner!.value;
    const others = rest
      .filter((word) => textOf(word.value) !== textOf(winner!.value))
      .sort((a, b) => compare(a.event.id, b.event.id));
    if (others.length) {
      found.push({
        entity: key, field: name, winner: winner!.event.id,
        others: others.map((word) => word.event.id),
        lost: others.map((word) => textOf(word.value)),
      });
    }
  }
  return { values, found };
};

const textOf = (value: Json | undefined): string => (value === undefined ? "" : canonical(value));
