/** Answers of the first call: lists of words, none and the others, which questions are answered. */
import { expect, test } from "vitest";
import type { Entities } from "../src/drawing/scene";
import { answered, booked, chosen, holds, toggled, toldUnder } from "../src/screens/call/answers";

test("a word is put into a text and taken out again, and nothing else of it changes", () => {
  expect(toggled("", "owner")).toBe("owner");
  expect(toggled("my aunt, owner", "agent")).toBe("my aunt, owner, agent");
  expect(toggled("my aunt, owner, agent", "owner")).toBe("my aunt, agent");
  expect(holds("landowner", "owner")).toBe(false);
});

test("none and the others rule each other out", () => {
  expect(chosen(["pregnancy"], "none")).toEqual(["none"]);
  expect(chosen(["none"], "pregnancy")).toEqual(["pregnancy"]);
  expect(chosen(["none"], "none")).toEqual([]);
});

const told = (kind: string, more: object = {}) => ({ kind: "inspection", grade: "told", finished: false, finds: [{ kind, ...more }] });
const job = {
  a: told("droppings"), b: told("sound"), c: told("gnawing", { amount: "cable" }), d: { ...told("droppings"), grade: "seen" },
  v: { kind: "visit", at: "2026-05-03" }, w: { kind: "visit", at: "2026-04-30" }, x: { kind: "visit", at: "2026-03-01" },
} as unknown as Entities;

test("each told sign stands under one question, and what was seen under none", () => {
  const under = (["signs", "noises", "animals", "harm"] as const).map((one) => toldUnder(job, one).map(([id]) => id));
  expect(under).toEqual([["a"], ["b"], [], ["c"]]);
});

test("the visit that was booked is the first on the day of the call or later", () => {
  expect(booked({ at: "2026-04-28T09:00:00+01:00" }, job)?.[0]).toBe("w");
  expect(booked({}, job)).toBeUndefined();
});

test("a question that was answered with no is answered", () => {
  expect(answered("people", {}, {})).toBe(false);
  expect(answered("people", { people: ["none"] }, {})).toBe(true);
  expect(answered("animals", {}, job)).toBe(false);
  expect(answered("signs", {}, job)).toBe(true);
  expect(answered("visit", { at: "2026-04-28T09:00:00+01:00" }, job)).toBe(true);
});
