/** The table of rates: by the table that they stand in, and as the office takes them. */
import { expect, test } from "vitest";
import { groupsOf, typedRates, wordsOf } from "../src/screens/office/rates";
import type { RateRow } from "../src/made/office";

const row = (path: string, unit: string): RateRow => ({ path, unit, usual: "1", usual_unit: unit, own: "", why: "", standing: "judgement" });
const rows = [row("currency", ""), row("hour", "currency/h"), row("repair.tile.corner", "h/m2"), row("team.days", ""), row("work.kick_board", "h")];

test("rates stand under their table, those of no table first", () => {
  expect(groupsOf(rows).map((one) => [one.name, one.rows.length])).toEqual([["", 2], ["repair.tile", 1], ["team", 1], ["work", 1]]);
  expect(wordsOf("repair.lath_and_plaster")).toBe("repair, lath and plaster");
});

test("what was typed goes as numbers and tables, an empty field not at all", () => {
  const own = { currency: "EUR", hour: "85,5", "repair.tile.corner": " 2.5 ", "team.days": "mon tue", "work.kick_board": "" };
  expect(typedRates(own, rows)).toEqual({ currency: "EUR", hour: 85.5, repair: { tile: { corner: 2.5 } }, team: { days: "mon tue" } });
});

test("what is no number goes as it was typed, for the office to say what is wrong", () => {
  expect(typedRates({ hour: "1,234.5" }, rows)).toEqual({ hour: "1,234.5" });
  expect(typedRates({ hour: "many" }, rows)).toEqual({ hour: "many" });
});
