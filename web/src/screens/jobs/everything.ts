/**
 * All jobs of this device as one file, and back: the same form that the office machine writes and
 * reads (`wainscot import FILE.zip`).  Reading is a union; what is here stays.
 */
import { keep, kept } from "../../record/blobs";
import { lineOf, type Event } from "../../record/event";
import { signed } from "../../record/keys";
import { takeIn } from "../../record/merge";
import { sha256 } from "../../record/sha256";
import type { Database } from "../../record/store";
import { sound } from "./pull";
import { unzipped, ZipError, zipped, type Listed, type Member } from "./zip";

export interface Packed {
  readonly file: Blob;
  readonly events: number;
  readonly photos: number;
  readonly jobs: number;
}
export interface Brought {
  readonly added: number;
  readonly known: number;
  readonly photos: number;
  /** Lines and bytes that could not be read. */
  readonly bad: number;
}

const EVENTS = "events.jsonl";
/** Bytes that a file may unpack to on a device (judgement). */
const MOST = 2 ** 30;

export const packed = async (db: Database, at: string): Promise<Packed> => {
  const events = await signed(db, await db.getAll("events"));
  const hashes = (await db.getAllKeys("blobs")).sort();
  const text = new TextEncoder();
  const members: Member[] = [{ name: EVENTS, bytes: text.encode(events.map((one) => `${lineOf(one)}\n`).join("")) }];
  for (const hash of hashes) {
    const found = await kept(db, hash);
    if (found) members.push({ name: `blobs/${hash}`, bytes: new Uint8Array(found.bytes) });
  }
  const list = {
    form: 1, kind: "everything", taken: at,
    head: setOf(events.map((one) => one.id)), blob_head: setOf(hashes),
    members: Object.fromEntries(members.map((one) => [one.name, { size: one.bytes.length, sha256: sha256(one.bytes) }])),
    events: events.length, blobs: hashes.length,
  };
  const manifest = { name: "manifest.json", bytes: text.encode(JSON.stringify(list, null, 1)) };
  const jobs = new Set(events.map((one) => one.job)).size;
  return { file: zipped([...members, manifest]), events: events.length, photos: hashes.length, jobs };
};

/** The name of a set: SHA-256 over its sorted ids, a line each. */
const setOf = (ids: readonly string[]): string => sha256([...ids].sort().map((id) => `${id}\n`).join(""));

export const broughtIn = async (db: Database, file: Blob): Promise<Brought> => {
  const members = await unzipped(file);
  const list = await manifestOf(members);
  if (Object.values(list).reduce((sum, one) => sum + one.size, 0) > MOST) throw new ZipError("large");
  // All of it is looked at before any of it is written.
  for (const name of Object.keys(list)) await whole(members, list, name);
  let [photos, bad] = [0, 0];
  for (const name of Object.keys(list).filter((one) => one.startsWith("blobs/"))) {
    const hash = name.slice("blobs/".length);
    if ((await db.getKey("blobs", hash)) !== undefined) continue;
    const bytes = await whole(members, list, name);
    if (sha256(bytes) !== hash) bad += 1;
    else await keep(db, bytes.buffer, kindOf(bytes)).then(() => (photos += 1));
  }
  const text = new TextDecoder().decode(await whole(members, list, EVENTS));
  const lines = text.split("\n").filter(Boolean);
  const events = lines.map(sound).filter((one): one is Event => one !== null);
  const { added } = await takeIn(db, events, false);
  return { added, known: events.length - added, photos, bad: bad + lines.length - events.length };
};

type Lengths = Readonly<Record<string, { readonly size: number; readonly sha256: string }>>;
const manifestOf = async (members: Map<string, Listed>): Promise<Lengths> => {
  const found = members.get("manifest.json");
  if (!found) throw new ZipError("none");
  let list: { form?: number; kind?: string; members?: Lengths };
  try {
    list = JSON.parse(new TextDecoder().decode(await found.read())) as typeof list;
  } catch {
    throw new ZipError("damaged");
  }
  if (list.form !== 1 || list.kind !== "everything" || !list.members?.[EVENTS]) throw new ZipError("none");
  return list.members;
};

const whole = async (members: Map<string, Listed>, list: Lengths, name: string): Promise<Uint8Array<ArrayBuffer>> => {
  const [found, told] = [members.get(name), list[name]];
  if (!found || found.size !== told?.size) throw new ZipError("damaged");
  const bytes = await found.read();
  if (sha256(bytes) !== told.sha256) throw new ZipError("damaged");
  return bytes;
};

/** What kind of picture bytes are, by how they begin. */
const kindOf = (bytes: Uint8Array): string => {
  if (bytes[0] === 0xff && bytes[1] === 0xd8) return "image/jpeg";
  if (bytes[0] === 0x89 && bytes[1] === 0x50) return "image/png";
  return bytes[8] === 0x57 && bytes[9] === 0x45 ? "image/webp" : "application/octet-stream";
};
