/**
 * Photos that wait for the office machine: a slip each, and the sending that goes on where it broke off.
 *
 * The phone's own copy stays whatever the office says, but for those that somebody lets go once a
 * verified backup of the office holds them.
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
  /** When this device let its copy go; a backup of the office held it then. */
  readonly freed?: string;
}
export type Ask = (path: string, with_: RequestInit) => Promise<Response>;

/** How much goes in one request. [B] */
export const PART = 1 << 20;
const PATIENCE = 60_000;
const keyOf = ({ job, hash }: Pick<Slip, "job" | "hash">): string => `photo/${job}/${hash}`;

/** Photos on this device, of one job or of all, oldest first. */
export const slipsOf = async (db: Database, job = ""): Promise<Slip[]> => {
  const of = job ? `photo/${job}/` : "photo/";
  const range = IDBKeyRange.bound(of, `${of}\uffff`);
  const found = (await db.getAll("settings", range)) as Slip[];
  return found.sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
};

/** Keeps a photo's bytes as they came, and the slip under which they wait. */
export const take = async (db: Database, job: string, bytes: ArrayBuffer, type: string): Promise<Slip> => {
  const hash = await keep(db, bytes, type);
  const before = (await db.get("settings", keyOf({ job, hash }))) as Slip | undefined;
  if (before?.freed) {
    const { freed: _, ...again } = before;
    return note(db, again);
  }
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

/** Says in a word of ours that the office was not reached; what the browser says of it is English. */
const reaching = (ask: Ask): Ask => (path, with_) =>
  ask(path, with_).catch(() => {
    throw new Error("away");
  });

const byFetch: Ask = (path, with_) => fetch(path, with_);

/** Sends what the office lacks of one photo and writes down what came of it. */
export const deliver = async (db: Database, slip: Slip, ask: Ask = byFetch): Promise<Slip> => (await tryOne(db, slip, ask)).slip;

/**
 * Sends what waits of all jobs, those of one job first; what the office refused only where `all` says so.
 *
 * A job that the office does not take holds up no other; an office that is not reached ends it.
 */
export const deliverAll = async (
  db: Database, first: string, all: boolean, told: (slip: Slip) => void, ask: Ask = byFetch,
): Promise<void> => {
  const slips = (await slipsOf(db)).filter((one) => !one.held && (all || !one.refused));
  const closed = new Set<string>();
  for (const one of [...slips.filter(({ job }) => job === first), ...slips.filter(({ job }) => job !== first)]) {
    if (closed.has(one.job)) continue;
    const { slip, reached } = await tryOne(db, one, ask);
    told(slip);
    if (!reached) return;
    if (!slip.held && !slip.refused) closed.add(slip.job);
  }
};

const tryOne = async (db: Database, slip: Slip, ask: Ask): Promise<{ slip: Slip; reached: boolean }> => {
  const tried = timeOf(new Date());
  try {
    const found = await kept(db, slip.hash);
    if (!found) throw new Answer("gone", true);
    await sendRest(slip, found.bytes, reaching(ask));
    return { slip: await note(db, { ...slip, tried, held: tried, answer: "", refused: false }), reached: true };
  } catch (error) {
    const damaged = error instanceof BlobError;
    const answer = damaged ? "damaged" : error instanceof Error ? error.message : String(error);
    const said = damaged || error instanceof Answer;
    const refused = damaged || (error instanceof Answer && error.final);
    return { slip: await note(db, { ...slip, tried, answer, refused }), reached: said };
  }
};

/** What the office says of photos of a job: those that a verified backup holds. */
export type BackedUp = (job: string, hashes: readonly string[]) => Promise<readonly string[]>;
const ASKED = 200;

/** Photos whose copies this device may let go: the office's verified backup holds each, by its word now. */
export const mayGo = async (db: Database, backedUp: BackedUp): Promise<Slip[]> => {
  const slips = (await slipsOf(db)).filter((one) => one.held && !one.freed);
  const good: Slip[] = [];
  for (const job of new Set(slips.map((one) => one.job))) {
    const mine = slips.filter((one) => one.job === job);
    for (let at = 0; at < mine.length; at += ASKED) {
      const some = mine.slice(at, at + ASKED);
      const told = new Set(await backedUp(job, some.map((one) => one.hash)));
      good.push(...some.filter((one) => told.has(one.hash)));
    }
  }
  return good;
};

/** Lets the copies of photos go that the office's backup holds, asked anew; gives how many and their bytes. */
export const letGo = async (db: Database, backedUp: BackedUp): Promise<{ n: number; bytes: number }> => {
  const good = new Set((await mayGo(db, backedUp)).map(keyOf));
  const all = (await slipsOf(db)).filter((one) => !one.freed);
  // The same bytes may be of another job too: then all of their slips must be good.
  const stay = new Set(all.filter((one) => !good.has(keyOf(one))).map((one) => one.hash));
  const going = all.filter((one) => !stay.has(one.hash));
  const writing = db.transaction(["settings", "blobs"], "readwrite", { durability: "strict" });
  const freed = timeOf(new Date());
  for (const slip of going) {
    void writing.objectStore("settings").put({ ...slip, freed }, keyOf(slip));
    void writing.objectStore("blobs").delete(slip.hash);
  }
  await writing.done;
  const sizes = new Map(going.map((one) => [one.hash, one.size]));
  return { n: sizes.size, bytes: [...sizes.values()].reduce((sum, one) => sum + one, 0) };
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
