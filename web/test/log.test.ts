/** What comes next in a row, and which find calls for a caution. */
import { expect, test } from "vitest";
import kinds from "../src/made/kinds.json";
import { cautionOf } from "../src/screens/log/caution";
import { nextOf } from "../src/screens/log/order";

test("the next of a row is the first without an answer, in the direction of the walk", () => {
  expect(nextOf([false, true, true, false], 0, false)).toBe(3);
  expect(nextOf([false, true, true, false], 3, true)).toBe(0);
});

test("a row ends, and what lies behind is not asked for", () => {
  expect(nextOf([false, true, true], 1, false)).toBe(-1);
  expect(nextOf([true, true, false], 1, true)).toBe(-1);
  expect(nextOf([], 0, false)).toBe(-1);
});

test("a gnawed cable, a nest and a carcass call for a caution; each kind and amount is one that there is", () => {
  const all = kinds.signs.flatMap((one) => one.amounts.map((amount) => [one.name, amount] as const));
  const called = all.filter(([kind, amount]) => cautionOf(kind, amount)).map(([kind, amount]) => `${kind}: ${amount}`);
  expect(called.sort()).toEqual([
    "carcass: one", "carcass: remains", "carcass: several", "gnawing: cable",
    "nest material: few", "nest material: heaps", "nest material: many", "opened and seen: nest",
  ]);
});
