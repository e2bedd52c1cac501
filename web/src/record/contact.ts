/**
 * What came of an application, by the rule of the office (`cleaning/applied.py`): wet long enough without a
 * break, too short, or still wet.  Cases that both answer stand in `tests/shared/contact.json`.
 */
import kinds from "../made/kinds.json";
import type { Application, ContactMoment, ProductLabel } from "../made/job";

/** Why an application failed, as far as the screen says it in words of its own. */
export type Why = "" | "label" | "surface" | "before" | "short" | "dried";
export interface Judged {
  readonly standing: "done" | "failed" | "running";
  /** Longest time without a break. [min] */
  readonly wet: number;
  /** Contact time of the label; null where the label has none. [min] */
  readonly needed: number | null;
  readonly why: Why;
  /** Since when it is wet now, where it is. [ms] */
  readonly since: number | null;
}

const SECONDS: Readonly<Record<string, number>> = { s: 1, min: 60, h: 3600, hour: 3600, day: 86_400, night: 86_400, week: 604_800 };

/** A time as a label says it, with its unit; null where it is none. [min] */
export const minutes = (typed: string | undefined): number | null => {
  const found = /^\s*(?:(\d+)\s+(?=\d+\/))?(\d+(?:\.\d+)?)(?:\/(\d+))?\s*([a-z]+)\.?\s*$/i.exec(typed ?? "");
  if (!found) return null;
  const unit = found[4]!.toLowerCase();
  const seconds = SECONDS[unit] ?? SECONDS[unit.replace(/s$/, "")];
  const value = Number(found[1] ?? 0) + Number(found[2]) / Number(found[3] ?? 1);
  return seconds === undefined || !Number.isFinite(value) ? null : (value * seconds) / 60;
};

/** What a label is judged by: its contact time, or null where it lacks something that a plan stands on. [min] */
export const contactOf = (label: ProductLabel | undefined): number | null => {
  const kind = kinds.products.find((one) => one.name === label?.product);
  const needed = minutes(label?.contact_time);
  const allowed = label?.surfaces ?? [];
  if (!label || !kind || !label.registration?.trim() || needed === null) return null;
  if (kind.disinfects && needed <= 0) return null;
  if (!allowed.length || allowed.some((one) => !kinds.materials.includes(one))) return null;
  const dilution = (label.dilution || "none").trim();
  if (dilution !== "none" && !/^(\d+(\.\d+)?)\s*:\s*(\d+(\.\d+)?)$/.test(dilution)) return null;
  return needed;
};

const SAME = 1e-9;

/** Judges an application by its label and what was logged of it since, at a moment. [ms] */
export const judged = (
  one: Application, label: ProductLabel | undefined, later: readonly ContactMoment[], now: number,
): Judged => {
  const needed = contactOf(label);
  const failed = (why: Why, by: number | null): Judged => ({ standing: "failed", wet: 0, needed: by, why, since: null });
  if (needed === null) return failed("label", null);
  if (one.surface && !(label!.surfaces as string[]).includes(one.surface)) return failed("surface", needed);
  const start = Date.parse(one.at);
  const moments = later
    .map((each) => ({ minute: (Date.parse(each.at) - start) / 60_000, what: each.what as string }))
    .sort((a, b) => a.minute - b.minute);
  if (moments.some((each) => each.minute < 0)) return failed("before", needed);
  moments.unshift({ minute: 0, what: "start" });
  const last = moments.at(-1)!;
  const gone = (now - start) / 60_000;
  if (!moments.some((each) => each.what === "end") && last.what !== "dry seen" && gone > last.minute) {
    moments.push({ minute: gone, what: "so far" });
  }
  let wetSince: number | null = null;
  let wet = 0;
  for (const each of moments) {
    if (wetSince !== null) wet = Math.max(wet, each.minute - wetSince);
    if (each.what === "dry seen" || each.what === "end") wetSince = null;
    else if (each.what !== "so far") wetSince ??= each.minute;
  }
  const enough = wet >= needed - SAME;
  const ended = moments.at(-1)!.what === "end";
  const standing = enough ? "done" : ended ? "failed" : "running";
  const dried = moments.some((each) => each.what === "dry seen");
  return {
    standing, wet, needed, since: ended || wetSince === null ? null : start + wetSince * 60_000,
    why: standing === "failed" ? (dried ? "dried" : "short") : "",
  };
};
