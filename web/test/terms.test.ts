/** What closing a job writes of the owner's word; docs/score.md: left out, it is no. */
import { expect, test } from "vitest";
import { mayLearn, termsOf, type Standing } from "../src/screens/handover/terms";

const AT = "2026-06-20T10:00:00+00:00";
const said = (terms: Standing, learn: boolean, warranty = "", until = "") =>
  termsOf(terms, { warranty, until, mayLearn: learn }, AT, " L. Brandt ", "new");

test("without a word nothing may be learnt, and nothing is written", () => {
  expect(mayLearn([])).toBe(false);
  expect(mayLearn([["a", { kind: "closing_terms", warranty: "a year" }]])).toBe(false);
  expect(said([], false)).toEqual({});
});

test("a yes is written once, beside the warranty", () => {
  const made = said([], true, " a year ", "2027-06-20");
  expect(made).toEqual({ new: { kind: "closing_terms", at: AT, by: "L. Brandt", warranty: "a year", warranty_until: "2027-06-20", may_learn: true } });
  expect(said([["a", { kind: "closing_terms", may_learn: true }]], true)).toEqual({});
});

test("a yes taken back is taken back wherever it stands, and what else was agreed stays", () => {
  const terms: Standing = [
    ["a", { kind: "closing_terms", may_learn: true, warranty: "a year" }], ["b", { kind: "closing_terms", shared: true }],
    ["c", { kind: "closing_terms", may_learn: true }],
  ];
  const made = said(terms, false);
  expect(made).toEqual({ a: { kind: "closing_terms", may_learn: false, warranty: "a year" }, c: { kind: "closing_terms", may_learn: false } });
  const after = terms.map(([id, one]) => [id, (made[id] ?? one)] as const) as unknown as Standing;
  expect(mayLearn(after)).toBe(false);
});
