/**
 * Personal texts taken out of what is hashed, and put back when a job is folded: `record/cover.py`
 * does the same.  In the event stands `{"personal": HASH}`, the SHA-256 of 32 random bytes and the
 * canonical text; bytes and text stand beside the event.
 */
import names from "../made/personal.json";
import { canonical, RecordError, type Fields, type Json } from "./event";
import { sha256 } from "./sha256";

const MARK = "personal";
const PERSONAL: ReadonlySet<string> = new Set(names.fields);
/** Salt as 64 figures, and the text. */
export type Opened = readonly [string, string];
export type Opening = Readonly<Record<string, Opened>>;

/** 32 random bytes as figures. */
export const freshSalt = (): string =>
  [...crypto.getRandomValues(new Uint8Array(32))].map((byte) => byte.toString(16).padStart(2, "0")).join("");

/** The hash that stands for a text. */
export const commitment = (salt: string, text: string): string => {
  if (!/^[0-9a-f]{64}$/.test(salt)) throw new RecordError("a salt has 64 figures");
  const front = Uint8Array.from(salt.match(/../g)!, (pair) => parseInt(pair, 16));
  const rest = new TextEncoder().encode(canonical(text));
  const both = new Uint8Array(front.length + rest.length);
  both.set(front);
  both.set(rest, front.length);
  return sha256(both);
};

/** A value with its personal texts covered, and what opens them. */
export const cover = (
  value: Json, field = "", salt: () => string = freshSalt,
): { readonly value: Json; readonly opened: Opening } => {
  const opened: Record<string, Opened> = {};
  const hidden = (one: Json, name: string): Json => {
    if (typeof one === "string" && one && PERSONAL.has(name)) {
      const made = salt();
      const key = commitment(made, one);
      opened[key] = [made, one];
      return { [MARK]: key };
    }
    if (Array.isArray(one)) return one.map((each: Json) => hidden(each, name));
    if (one === null || typeof one !== "object") return one;
    return Object.fromEntries(
      Object.entries(one as Fields).filter(([, each]) => each !== undefined).map(([inner, each]) => [inner, hidden(each, inner)]),
    );
  };
  return { value: hidden(value, field), opened };
};

/** A value with the texts that are there put back; the others read as erased. */
export const uncover = (value: Json, opened: Opening, field = ""): Json => {
  if (Array.isArray(value)) return value.map((each: Json) => uncover(each, opened, field));
  if (value === null || typeof value !== "object") return value;
  const key = hashOf(value as Fields);
  if (key) return opened[key]?.[1] ?? leftOf(field);
  return Object.fromEntries(Object.entries(value as Fields).map(([name, each]) => [name, uncover(each, opened, name)]));
};

/** What stands in a field whose text was erased; a signature is left empty. */
export const leftOf = (field: string): string => (field === "signature" ? "" : names.erased);

/** The hashes of the texts that are covered in a value. */
export const hashesIn = (value: Json | undefined): string[] => {
  if (Array.isArray(value)) return value.flatMap(hashesIn);
  if (!value || typeof value !== "object") return [];
  const key = hashOf(value as Fields);
  return key ? [key] : Object.values(value as Fields).flatMap(hashesIn);
};

const hashOf = (value: Fields): string => {
  const key = Object.keys(value).length === 1 ? value[MARK] : undefined;
  return typeof key === "string" && /^[0-9a-f]{64}$/.test(key) ? key : "";
};
