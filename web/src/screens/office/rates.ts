/** The firm's rates as they are typed in a table, and as the office takes them. */
import type { RateRow } from "../../made/office";

export interface Group {
  readonly name: string;
  readonly rows: readonly RateRow[];
}
/** The rows by the table that they stand in; what stands in none comes first. */
export const groupsOf = (rows: readonly RateRow[]): Group[] => {
  const groups = new Map<string, RateRow[]>([["", []]]);
  for (const row of rows) {
    const name = row.path.split(".").slice(0, -1).join(".");
    groups.set(name, [...(groups.get(name) ?? []), row]);
  }
  return [...groups].map(([name, held]) => ({ name, rows: held }));
};

/** ``repair.tile`` as words. */
export const wordsOf = (path: string): string => path.split(".").join(", ").replaceAll("_", " ");

type Typed = { [name: string]: string | number | Typed };
/**
 * What was typed, as a file of rates has it; an empty field is left to the default.  A decimal comma is one; what is
 * no number goes to the office as it was typed, which says what is wrong with it.
 */
export const typedRates = (own: Readonly<Record<string, string>>, rows: readonly RateRow[]): Typed => {
  const made: Typed = {};
  for (const { path, unit } of rows) {
    const text = (own[path] ?? "").trim();
    if (!text) continue;
    const names = path.split(".");
    const number = Number(text.replace(/^(\d+),(\d+)$/, "$1.$2"));
    let table = made;
    for (const name of names.slice(0, -1)) table = (table[name] ??= {}) as Typed;
    table[names.at(-1)!] = unit && Number.isFinite(number) ? number : text;
  }
  return made;
};
