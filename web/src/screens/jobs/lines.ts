/** What the list of jobs tells of each job on this device. */
import type { Database, JobLine } from "../../record/store";
import { tell } from "../../record/merge";
import { slipsOf } from "../../record/outbox";
import { stopsOf, type Figures } from "../office.svelte";

export interface Line extends JobLine {
  /** Entries and photos that the office has not acknowledged, and when the oldest of them was written. */
  readonly waiting: number;
  readonly since: string;
  /** When the office last told what it holds. */
  readonly at: string;
  /** Hold points of the next checks and of the balanced openings that nobody settled. */
  readonly stops: number;
  readonly names: readonly string[];
}

export const linesOf = async (db: Database, today: string): Promise<Line[]> => {
  // What stood ahead when the job was last written may lie behind by now.
  const passed = (await db.getAll("jobs")).filter((one) => one.next && one.next.slice(0, 10) < today);
  await Promise.all(passed.map((one) => tell(db, one.id, today)));
  const jobs = await db.getAll("jobs");
  const lines = await Promise.all(jobs.map((one) => lineOf(db, one)));
  return lines.sort((a, b) => (a.touched < b.touched ? 1 : -1));
};

const lineOf = async (db: Database, job: JobLine): Promise<Line> => {
  const [all, held, at, figures, people, slips] = await Promise.all([
    db.countFromIndex("events", "job", job.id),
    db.countFromIndex("receipts", "job", job.id),
    db.get("settings", `office/${job.id}`),
    db.get("settings", `figures/${job.id}`),
    db.get("settings", `people/${job.id}`),
    slipsOf(db, job.id),
  ]);
  const accounts = (people as { accounts?: { id: string; name: string }[] } | undefined)?.accounts ?? [];
  const names = (job.who ?? []).map((id) => accounts.find((one) => one.id === id)?.name ?? id);
  return {
    ...job, waiting: all - held + slips.filter((one) => !one.held).length, at: (at as string | undefined) ?? "", names,
    since: all > held ? await oldest(db, job.id) : "",
    stops: stopsIn(figures as Figures | undefined, job.released ?? []),
  };
};

const oldest = async (db: Database, job: string): Promise<string> => {
  const held = new Set(await db.getAllKeysFromIndex("receipts", "job", job));
  const waiting = (await db.getAllFromIndex("events", "job", job)).filter((one) => !held.has(one.id));
  return waiting.map((one) => one.at).sort((a, b) => Date.parse(a) - Date.parse(b))[0] ?? "";
};

/** How many hold points of the figures nobody has settled, each once. */
export const stopsIn = (figures: Figures | undefined, released: readonly string[]): number => {
  const checks = (figures?.answer.checks?.checks ?? []).flatMap((one) => stopsOf(one).map((hold) => hold.key));
  const choice = figures?.answer.openings;
  const wanted = new Set(choice?.balanced.openings);
  const openings = (choice?.openings ?? [])
    .filter((one) => wanted.has(one.id))
    .flatMap((one) => one.holds.filter((hold) => hold.standing !== "care").map((hold) => hold.key));
  const keys = [...checks, ...openings];
  return new Set(keys.filter((key) => !released.includes(key))).size;
};
