/** The pages of papers on this device: those that can still be opened, and no others. */
import type { Database } from "./store";

/** What the list of made papers holds of each, the newest first. */
export interface Made {
  readonly kind: string;
  readonly language: string;
  readonly digest: string;
}
const PAGES = "papers/pages/";
const MADE = "papers/made/";
/** Every key that begins so. */
const under = (prefix: string): IDBKeyRange => IDBKeyRange.bound(prefix, `${prefix}\uffff`);

export const pagesOf = async (db: Database, digest: string): Promise<readonly string[] | undefined> =>
  (await db.get("settings", PAGES + digest)) as readonly string[] | undefined;

export const keepPages = async (db: Database, digest: string, pages: readonly string[]): Promise<void> => {
  await db.put("settings", pages, PAGES + digest);
};

/** The papers whose pages are here. */
export const pagesHere = async (db: Database): Promise<Set<string>> =>
  new Set((await db.getAllKeys("settings", under(PAGES))).map((key) => key.slice(PAGES.length)));

/** The newest of each kind and language: an older one is shown nowhere. */
export const newestOf = <T extends Made>(made: readonly T[]): T[] =>
  made.filter((one, n) => made.findIndex((other) => other.kind === one.kind && other.language === one.language) === n);

/** Lets go of pages that no job on this device lists as its newest of a kind; gives the papers they were of. */
export const letPagesGo = async (db: Database): Promise<string[]> => {
  const writing = db.transaction("settings", "readwrite");
  const lists = (await writing.store.getAll(under(MADE))) as (readonly Made[])[];
  const wanted = new Set(lists.flatMap((made) => newestOf(made).map((one) => PAGES + one.digest)));
  const gone = (await writing.store.getAllKeys(under(PAGES))).filter((key) => !wanted.has(key));
  for (const key of gone) void writing.store.delete(key);
  await writing.done;
  return gone.map((key) => key.slice(PAGES.length));
};
