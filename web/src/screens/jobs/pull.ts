/** Brings what others wrote to a job, page by page, from where the last page ended. */
import type { EventPage } from "../../made/office";
import { eventOf, takeIn } from "../../record/merge";
import { SCHEMA, type Event } from "../../record/event";
import { unsent } from "../../record/outbox";
import type { Database } from "../../record/store";
import { asked } from "../asked";

interface Place {
  readonly record: string;
  readonly through: number;
}
export interface Pulled {
  /** Events that were not here. */
  readonly added: number;
  /** Lines that are no events, or of a newer form than this app knows. */
  readonly bad: number;
  /** The office's record is another than before; what it holds was asked anew. */
  readonly restored: boolean;
}

export const clock = (): string =>
  new Date().toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hour12: false });

export const pull = async (db: Database, job: string): Promise<Pulled> => {
  const key = `pulled/${job}`;
  let at = ((await db.get("settings", key)) as Place | undefined) ?? { record: "", through: 0 };
  let [added, bad, restored] = [0, 0, false];
  for (;;) {
    // One page ends where the figures do: what it brings they are of, what comes after it is newer.
    const counted = (await db.get("settings", `counted/${job}`)) as { readonly through: number } | undefined;
    const until = counted && counted.through > at.through ? counted.through : 0;
    const page = await asked<EventPage>(
      `/api/jobs/${encodeURIComponent(job)}/events?after=${at.through}&record=${encodeURIComponent(at.record)}${until ? `&until=${until}` : ""}`,
    );
    const other = at.record !== "" && page.record !== at.record;
    if (other) {
      // A backup was put in its place: what the other record acknowledged counts no more.
      await forget(db, job);
      restored = true;
    }
    const events = page.lines.map(sound).filter((one) => one !== null);
    bad += page.lines.length - events.length;
    at = { record: page.record, through: until && !page.more && !other ? until : page.through };
    added += (await takeIn(db, events, true, { [key]: at, [`office/${job}`]: clock() }, page.through)).added;
    if (!page.more && !until) return { added, bad, restored };
  }
};

/** The event of a line, or null where this app cannot read it. */
export const sound = (line: string): Event | null => {
  try {
    const one = eventOf(line);
    return one.schema === SCHEMA ? one : null;
  } catch {
    return null;
  }
};

const forget = async (db: Database, job: string): Promise<void> => {
  const writing = db.transaction(["receipts", "settings"], "readwrite", { durability: "strict" });
  const receipts = writing.objectStore("receipts");
  for (const id of await receipts.index("job").getAllKeys(job)) void receipts.delete(id);
  // Its numbers are another record's: what the figures are of cannot be told anew by them.
  void writing.objectStore("settings").delete(`counted/${job}`);
  await writing.done;
  await unsent(db, job);
};
