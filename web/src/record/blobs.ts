/**
 * Bytes on this device by their SHA-256: photos and paper plans, as they came.
 *
 * They are written with strict durability, read back and hashed again before they count as kept.
 */
import { sha256 } from "./sha256";
import type { Database, Kept } from "./store";

/** Bytes that are not what they should be: read back otherwise than `written`, or `damaged` since. */
export class BlobError extends Error {
  constructor(readonly why: "written" | "damaged") {
    super(why === "written" ? "what was written reads back otherwise" : "the bytes were damaged on this device");
  }
}

/** Keeps bytes and gives their hash; what reads back otherwise is taken out again and told. */
export const keep = async (db: Database, bytes: ArrayBuffer, type: string): Promise<string> => {
  const hash = await hashOf(bytes);
  const writing = db.transaction("blobs", "readwrite", { durability: "strict" });
  void writing.store.put({ hash, bytes, type });
  await writing.done;
  const back = await db.get("blobs", hash);
  if (back && (await hashOf(back.bytes)) === hash) return hash;
  await db.delete("blobs", hash);
  throw new BlobError("written");
};

/** What is kept under a hash; undefined where there is nothing, an error where it was damaged. */
export const kept = async (db: Database, hash: string): Promise<Kept | undefined> => {
  const found = await db.get("blobs", hash);
  if (found && (await hashOf(found.bytes)) !== hash) throw new BlobError("damaged");
  return found;
};

/** By the browser where it may (a secure context), else by our own. */
const hashOf = async (bytes: ArrayBuffer): Promise<string> => {
  if (!globalThis.crypto?.subtle) return sha256(new Uint8Array(bytes));
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
};
