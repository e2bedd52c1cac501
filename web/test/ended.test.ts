/** Open, closed, called back: as the program counts it (tests/papers/test_signed.py has the same cases). */
import { expect, test } from "vitest";
import { standing } from "../src/record/ended";

const CLOSED = { kind: "closed", at: "2026-06-20", by: "L. Brandt" };
const CALLED = { kind: "callback", at: "2026-08-01", because: "smell" };

test("what is dated last counts, and a callback before any closing is none", () => {
  const told = (entities: Record<string, typeof CLOSED | typeof CALLED>): [string, number] => {
    const { state, callbacks } = standing(entities);
    return [state, callbacks.length];
  };
  expect(told({})).toEqual(["open", 0]);
  expect(told({ b: CALLED })).toEqual(["open", 0]);
  expect(told({ a: CLOSED })).toEqual(["closed", 0]);
  expect(told({ a: CLOSED, b: CALLED })).toEqual(["called back", 1]);
  expect(told({ a: CLOSED, b: CALLED, c: { ...CLOSED, at: "2026-09-01" } })).toEqual(["closed", 1]);
});
