/** Two states of a job to the events between them; a nested value changes as a whole. */
import { canonical, compare, event, RecordError, type Change, type Event, type Fields, type Json, type Pen } from "./event";
import { cover, freshSalt } from "./cover";
import { heads, HEADER, STANDS, wordsByEntity, type Job, type Slots } from "./fold";

/** The events that turn one state of a job into another; `prior` is what the record holds. */
export const diff = (
  old: Job, now: Job, pen: Omit<Pen, "job">, prior: readonly Event[] = [], salt: () => string = freshSalt,
): Event[] => {
  if (old.id !== now.id) throw new RecordError("two jobs, not two states of one");
  const slots = wordsByEntity(prior, now.id);
  const events: Event[] = [];
  for (const change of changes(old, now)) {
    const next: Pen = {
      job: now.id, device: pen.device, at: pen.at,
      seq: pen.seq + events.length, prev: events.at(-1)?.id ?? pen.prev,
    };
    const { value, opened } = cover(change.value ?? null, change.field, salt);
    events.push(event({ ...change, value }, next, replaced(change, slots), opened));
  }
  return events;
};

const changes = (old: Job, now: Job): Change[] => {
  const slot = (one: { entity: string; field: string }): string => JSON.stringify([one.entity, one.field]);
  const still = new Set(now.conflicts.map(slot));
  const settled = old.conflicts.filter((one) => !still.has(slot(one)));
  const isSettled = (entity: string, field: string): boolean =>
    settled.some((one) => one.entity === entity && one.field === field);
  const found: Change[] = [];
  for (const name of HEADER) {
    if (old[name] !== now[name] || isSettled("", name)) {
      found.push({ kind: "set", entity: "", field: name, value: now[name] });
    }
  }
  const keys = new Set([
    ...Object.keys(old.entities), ...Object.keys(now.entities), ...settled.map((one) => one.entity),
  ]);
  for (const key of [...keys].sort(compare)) {
    if (key) found.push(...ofEntity(key, old.entities[key], now.entities[key], isSettled, settled));
    else if (now.entities[key]) throw new RecordError("an entity has an empty id");
  }
  return found;
};

const ofEntity = (
  key: string,
  old: Fields | undefined,
  now: Fields | undefined,
  isSettled: (entity: string, field: string) => boolean,
  settled: readonly { entity: string; field: string }[],
): Change[] => {
  if (!now) {
    return old || isSettled(key, STANDS) ? [{ kind: "withdraw", entity: key }] : [];
  }
  if (!old || isSettled(key, STANDS)) return [{ kind: "add", entity: key, value: now }];
  const found: Change[] = [];
  for (const name of [...new Set([...Object.keys(old), ...Object.keys(now)])].sort(compare)) {
    if (!(name in now)) found.push({ kind: "withdraw", entity: key, field: name });
    else if (!(name in old) || !same(old[name], now[name]) || isSettled(key, name)) {
      found.push({ kind: "set", entity: key, field: name, value: now[name]! });
    }
  }
  const gone = settled.filter((one) => one.entity === key).map((one) => one.field).sort(compare);
  for (const name of gone) {
    if (!(name in old) && !(name in now)) found.push({ kind: "withdraw", entity: key, field: name });
  }
  return found;
};

/** The ids of the standing words in every slot that a change speaks about. */
const replaced = (change: Change, slots: Map<string, Slots>): string[] => {
  const mine: Slots = slots.get(change.entity) ?? new Map();
  const names =
    change.kind === "add"
      ? [...new Set([...mine.keys(), ...Object.keys(change.value as Fields)])]
      : [change.field || STANDS];
  const found = new Set<string>();
  for (const name of names) {
    // Every `add` says of an unknown field that it is absent.
    const words =
      mine.get(name) ?? (mine.get(STANDS) ?? []).filter((word) => word.event.kind === "add");
    for (const word of words.length ? heads(words) : []) found.add(word.event.id);
  }
  return [...found];
};

const same = (one: Json | undefined, two: Json | undefined): boolean =>
  one === two || canonical(one) === canonical(two);
