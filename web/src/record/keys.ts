/**
 * The key by which this device signs what it writes: Ed25519 of the browser's own, made here; its private part
 * leaves neither the browser nor the device.  A browser that has no such key signs nothing, and the office says so.
 *
 * An event is written first and signed when it leaves the device: a signature takes no part in its id, and no
 * transaction of the record waits for one.
 */
import { signedText, type Event } from "./event";
import type { Database } from "./store";

interface Kept {
  readonly secret: CryptoKey;
  /** The public key, as figures. */
  readonly open: string;
}

const figures = (bytes: ArrayBuffer): string =>
  [...new Uint8Array(bytes)].map((byte) => byte.toString(16).padStart(2, "0")).join("");

/** This device's key; made where there is none, null where the browser cannot. */
const keyOf = async (db: Database): Promise<Kept | null> => {
  const kept = (await db.get("settings", "device-key")) as Kept | undefined;
  if (kept) return kept;
  try {
    const made = (await crypto.subtle.generateKey({ name: "Ed25519" }, false, ["sign", "verify"])) as CryptoKeyPair;
    const fresh = { secret: made.privateKey, open: figures(await crypto.subtle.exportKey("raw", made.publicKey)) };
    // Two windows may make one each: the first that is written stays.
    const writing = db.transaction("settings", "readwrite", { durability: "strict" });
    const first = (await writing.store.get("device-key")) as Kept | undefined;
    if (!first) void writing.store.put(fresh, "device-key");
    await writing.done;
    return first ?? fresh;
  } catch {
    return null;
  }
};

/** The public key of this device, as figures; empty where it has none. */
export const openKey = async (db: Database): Promise<string> => (await keyOf(db))?.open ?? "";

/** The events, those of this device signed; what was not signed yet is kept so. */
export const signed = async (db: Database, events: readonly Event[]): Promise<Event[]> => {
  const chain = (await db.get("settings", "chain")) as { readonly device: string } | undefined;
  const mine = (one: Event): boolean => one.device === chain?.device && !one.beside?.key;
  const key = events.some(mine) ? await keyOf(db) : null;
  if (!key) return [...events];
  const made = new Map<string, { key: string; signature: string }>();
  for (const one of events.filter(mine)) {
    const signature = figures(await crypto.subtle.sign("Ed25519", key.secret, signedText(one.id)));
    made.set(one.id, { key: key.open, signature });
  }
  const writing = db.transaction("events", "readwrite", { durability: "strict" });
  for (const [id, add] of made) {
    // What is kept counts: texts may have been erased since the events were read.
    const here = await writing.store.get(id);
    if (here) void writing.store.put({ ...here, beside: { ...here.beside, ...add } });
  }
  await writing.done;
  return events.map((one) => (made.has(one.id) ? { ...one, beside: { ...one.beside, ...made.get(one.id)! } } : one));
};
