import "fake-indexeddb/auto";
import { expect, test } from "vitest";
import { stepsOf } from "../src/record/history";
import { nothing, open, step, write } from "../src/record/store";

const look = (amount: string, more = {}) => ({ kind: "inspection", grade: "seen", finds: [{ kind: "droppings", amount }], ...more });

test("a correction names the word it replaces, and the old value stays to be read", async () => {
  const db = await open("history");
  const at = (n: number): string => `2026-11-26T09:00:0${n}.000+00:00`;
  let held = nothing("job_a");
  held = await write(db, held, { ...held.job, entities: { i: look("a few") } }, at(1), "");
  const first = held.events.at(-1)!;
  held = await write(db, held, { ...held.job, entities: { i: look("many", { note: "behind the pipe" }) } }, at(2), "");
  const corrections = held.events.slice(1);
  expect(corrections.map((one) => [one.kind, one.field])).toEqual([["set", "finds"], ["set", "note"]]);
  for (const one of corrections) expect(one.supersedes).toEqual([first.id]);
  expect(held.events[0]).toEqual(first);
  const steps = stepsOf(held.events, "i");
  expect(steps.map((one) => one.fields)).toEqual([look("a few"), look("many", { note: "behind the pipe" })]);
  expect(steps[0]!.at).toBe(at(1));
  // Taken back, the first stands again and both are still there.
  held = await step(db, held, held.gestures.at(-1)!, "undo", at(3));
  expect(held.job.entities["i"]).toEqual(look("a few"));
  expect(stepsOf([...held.events].reverse(), "i").map((one) => one.fields)).toEqual([...steps.map((one) => one.fields), look("a few")]);
});
