/**
 * One line of a job's record, and its id: SHA-256 of the canonical JSON (RFC 8785) without the id.
 * Beside it, outside the hash, stand the device's signature and the personal texts.
 */
import { sha256 } from "./sha256";

export const SCHEMA = 1;
export type EventKind = "add" | "set" | "withdraw";
export type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json };
export type Fields = { readonly [key: string]: Json };

/** What travels with an event and is no part of its id. */
export interface Beside {
  /** The device's public Ed25519 key and its signature over the id, as figures; absent: not signed. */
  readonly key?: string;
  readonly signature?: string;
  /** Personal texts by the hash that the event names, each with its salt. */
  readonly opened?: Readonly<Record<string, readonly [string, string]>>;
}

export interface Event {
  readonly id: string;
  readonly schema: number;
  readonly job: string;
  readonly device: string;
  readonly seq: number;
  readonly prev: string;
  /** When it was written, ISO 8601 with offset. */
  readonly at: string;
  readonly kind: EventKind;
  readonly entity: string;
  readonly field: string;
  readonly value: Json;
  readonly supersedes: readonly string[];
  readonly elapsed?: number;
  readonly beside?: Beside;
}

export class RecordError extends Error {}

/** The canonical JSON of a plain value (RFC 8785). */
export const canonical = (value: Json | undefined): string => {
  if (typeof value === "number" && !Number.isFinite(value)) {
    throw new RecordError("a number that JSON cannot carry");
  }
  if (typeof value === "string" && !wellFormed(value)) {
    throw new RecordError("text that JSON cannot carry");
  }
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (value !== null && typeof value === "object") {
    const fields = value as Fields;
    const parts = Object.keys(fields)
      .filter((key) => fields[key] !== undefined)
      .sort()
      .map((key) => `${canonical(key)}:${canonical(fields[key])}`);
    return `{${parts.join(",")}}`;
  }
  if (value === undefined) throw new RecordError("a value that JSON cannot carry");
  return JSON.stringify(value);
};

export const eventId = (event: Omit<Event, "id"> & { id?: string }): string => {
  const { id: _, beside: __, ...body } = event;
  return sha256(canonical(body as unknown as Json));
};

/** An event as it is sent: what stands beside it in front, then its line of canonical JSON. */
export const lineOf = ({ beside, ...event }: Event): string => {
  const line = canonical(event as unknown as Json);
  const front = beside ? canonical(beside as unknown as Json) : "{}";
  return front === "{}" ? line : `{"beside":${front},${line.slice(1)}`;
};

/** The bytes that a device signs for an event. */
export const signedText = (id: string): Uint8Array<ArrayBuffer> => new TextEncoder().encode(`wainscot event 1\n${id}\n`);

export interface Change {
  readonly kind: EventKind;
  readonly entity: string;
  readonly field?: string;
  readonly value?: Json;
}

/** Who writes next: a device, its number, the event before, the time. */
export interface Pen {
  readonly job: string;
  readonly device: string;
  readonly seq: number;
  readonly prev: string;
  readonly at: string;
}

export const event = (
  change: Change, pen: Pen, supersedes: readonly string[] = [], opened: NonNullable<Beside["opened"]> = {},
): Event => {
  const body = {
    schema: SCHEMA, job: pen.job, device: pen.device, seq: pen.seq, prev: pen.prev, at: pen.at,
    kind: change.kind, entity: change.entity, field: change.field ?? "",
    value: change.value ?? null, supersedes: [...supersedes].sort(),
  };
  const made = { id: eventId(body), ...body };
  return Object.keys(opened).length ? { ...made, beside: { opened } } : made;
};

/** Microseconds since 1970 of a time with offset. */
export const instant = (at: string): number => {
  const parts =
    /^(\d{4}-\d\d-\d\d)[T ](\d\d:\d\d)(?::(\d\d)(?:[.,](\d{1,6}))?)?(Z|[+-]\d\d:?\d\d)$/.exec(at);
  if (!parts) throw new RecordError(`${at} is no time with offset`);
  const [, day, clock, seconds = "00", part = "", zone] = parts;
  const offset = zone === "Z" ? "Z" : zone!.length === 5 ? `${zone!.slice(0, 3)}:${zone!.slice(3)}` : zone;
  const milliseconds = Date.parse(`${day}T${clock}:${seconds}${offset}`);
  if (Number.isNaN(milliseconds)) throw new RecordError(`${at} is no time with offset`);
  return milliseconds * 1000 + Number(part.padEnd(6, "0"));
};

const wellFormed = (text: string): boolean =>
  !/[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/.test(text);

/** By code points, as the office machine sorts. */
export const compare = (a: string, b: string): number => {
  const [one, two] = [[...a], [...b]];
  for (let n = 0; n < Math.min(one.length, two.length); n++) {
    const less = one[n]!.codePointAt(0)! - two[n]!.codePointAt(0)!;
    if (less) return less;
  }
  return one.length - two.length;
};
