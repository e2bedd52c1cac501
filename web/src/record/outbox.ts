/**
 * Photos that wait for the office machine: a slip each, and the sending that goes on where it broke off.
 *
 * The phone's own copy is not touched here: it stays whatever the office says.
 */
import { BlobError, keep, kept } from "./blobs";
import { timeOf, type Database } from "./store";

export interface Slip {
  readonly job: string;
  readonly hash: string;
  /** [B] */
  readonly size: number;
  /** When it was taken. */
  readonly at: string;
  /** When the office told that it holds all of it; empty until then. */
  readonly held: string;
  readonly tried: string;
  /** What came of the last try; empty where nothing went wrong. */
  readonly answer: string;
  /** Sending it again would end in the same way. */
  readonly refused: boolean;
}
export type Ask = (path: string, with_: RequestInit) => Promise<Response>;

/** How much goes in one request. [B] */
export const PART = 1 << 20;
const PATIENCE = 60_000;
const keyOf = ({ job, hash }: Pick<Slip, "job" | "hash">): string => `photo/${job}/${hash}`;

/** A job's photos on this device, oldest first. */
export const slipsOf = async (db: Database, job: string): Promise<Slip[]> => {
  const range = IDBKeyRange.bound(`photo/${job}/`, `photo/${job}/\uffff`);
  const found = (await db.getAll("settings", range)) as Slip[];
  return found.sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
};

/** Keeps a photo's bytes as they came, and the slip under which they wait. */
export const take = async (db: Database, job: string, bytes: ArrayBuffer, type: string): Promise<Slip> => {
  const hash = await keep(db, bytes, type);
  const before = (await db.get("settings", keyOf({ job, hash }))) as Slip | undefined;
  if (before) return before;
  return note(db, {
    job, hash, size: bytes.byteLength, at: timeOf(new Date()), held: "", tried: "", answer: "", refused: false,
  });
};

const note = async (db: Database, slip: Slip): Promise<Slip> => {
  const writing = db.transaction("settings", "readwrite", { durability: "strict" });
  void writing.store.put(slip, keyOf(slip));
  await writing.done;
  return slip;
};

/** What the office held counts no more: a backup was put in its place. */
export const unsent = async (db: Database, job: string): Promise<void> => {
  for (const slip of await slipsOf(db, job)) await note(db, { ...slip, held: "" });
};

class Answer extends Error {
  constructor(message: string, readonly final: boolean) {
    super(message);
  }
}

/** Sends what the office lacks of one photo and writes down what came of it. */
export const deliver = async (db: Database, slip: Slip, ask: Ask = (path, with_) => fetch(path, with_)): Promise<Slip> => {
  const tried = timeOf(new Date());
  try {
    const found = await kept(db, slip.hash);
    if (!found) throw new Answer("gone", true);
    await sendRest(slip, found.bytes, ask);
    return await note(db, { ...slip, tried, held: tried, answer: "", refused: false });
  } catch (error) {
    const damaged = error instanceof BlobError;
    const answer = damaged ? "damaged" : error instanceof Error ? error.message : String(error);
    return note(db, { ...slip, tried, answer, refused: damaged || (error instanceof Answer && error.final) });
  }
};

const sendRest = async ({ job, hash }: Slip, bytes: ArrayBuffer, ask: Ask): Promise<void> => {
  const path = `/api/jobs/${encodeURIComponent(job)}/photos/${hash}`;
  const size = bytes.byteLength;
  const told = await ask(path, { method: "HEAD", signal: AbortSignal.timeout(PATIENCE) });
  if (!told.ok && told.status !== 404) throw await answerOf(told);
  let [at, whole] = stateOf(told);
  while (!whole) {
    // A part that is longer than the photo cannot be of it: it is written over.
    if (at >= size) at = 0;
    const stop = Math.min(at + PART, size);
    const answer = await ask(path, {
      method: "PUT", body: bytes.slice(at, stop), signal: AbortSignal.timeout(PATIENCE),
      headers: { "content-type": "application/octet-stream", "content-range": `bytes ${at}-${stop - 1}/${size}` },
    });
    if (!answer.ok) throw await answerOf(answer);
    const before = at;
    [at, whole] = stateOf(answer);
    if (!whole && at <= before) throw new Answer("nothing arrived", false);
  }
};

/** How many bytes the office holds, and whether it has looked at the whole. */
const stateOf = (told: Response): [number, boolean] => [
  Number(told.headers.get("upload-offset") ?? 0), told.headers.get("upload-complete") === "?1",
];

/** What the office finds wrong with the picture itself stays wrong; all else may pass. */
const FINAL = ["no-photo", "too-large", "too-many-pixels"];
const answerOf = async (told: Response): Promise<Answer> => {
  const problem = (await told.json().catch(() => ({}))) as { code?: string; title?: string; detail?: string };
  const words = [problem.title, problem.detail].filter(Boolean).join("; ") || String(told.status);
  return new Answer(words, FINAL.includes(problem.code ?? ""));
};
