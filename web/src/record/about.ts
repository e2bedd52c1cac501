/** What the list of jobs tells of a job, kept beside it so that no job is folded for the list. */
import { standing, type State } from "./ended";
import type { Job } from "./fold";

export interface About {
  readonly title: string;
  /** Dates of the last visit and of the next one, as written; empty where there is none. */
  readonly last: string;
  readonly next: string;
  /** Who is on it: ids of accounts, or names. */
  readonly who: readonly string[];
  /** Hold points that somebody settled. */
  readonly released: readonly string[];
  /** Facts that two devices said differently. */
  readonly conflicts: number;
  /** Whether it is open, and the day since which it is not. */
  readonly state: State;
  readonly ended: string;
}

/** What is told of a job on a day, `2025-03-14`. */
export const aboutOf = (job: Job, today: string): About => {
  const of = (kind: string): (typeof job.entities)[string][] =>
    Object.values(job.entities).filter((one) => one["kind"] === kind);
  const text = (value: unknown): string => (typeof value === "string" ? value : "");
  const dates = of("visit").flatMap((one) => [text(one["at"]), text(one["next_at"])]).filter(Boolean).sort();
  const { state, closed, callbacks } = standing(job.entities);
  const last = { open: undefined, closed: closed.at(-1), "called back": callbacks.at(-1) }[state];
  return {
    title: job.title,
    last: of("visit").map((one) => text(one["at"])).filter((at) => at && at.slice(0, 10) <= today).sort().at(-1) ?? "",
    next: dates.find((at) => at.slice(0, 10) > today) ?? dates.find((at) => at.slice(0, 10) === today) ?? "",
    who: [...new Set(of("crew").map((one) => text(one["who"])).filter(Boolean))],
    released: of("release").map((one) => text(one["hold"])),
    conflicts: job.conflicts.length,
    state, ended: text(last?.["at"]).slice(0, 10),
  };
};
