import "fake-indexeddb/auto";
import { expect, test } from "vitest";
import { eventId } from "../src/record/event";
import { fold } from "../src/record/fold";
import { canRedo, canUndo, jobFile, load, nothing, ofFile, open, step, timeOf, write } from "../src/record/store";

const AT = "2025-03-14T09:30:00.000+01:00";
const kitchen = { kind: "room", name: "Kitchen" };

test("what was drawn is there after the page was opened anew, and so is undo", async () => {
  const db = await open("one");
  const empty = nothing("job_a");
  const drawn = await write(db, empty, { ...empty.job, title: "Mill", entities: { kitchen } }, AT, "room");
  db.close();
  const again = await open("one");
  const held = await load(again, "job_a");
  expect(held.job).toEqual(drawn.job);
  expect(held.job.entities["kitchen"]).toEqual(kitchen);
  const back = await step(again, held, canUndo(held)!, "undo", AT);
  expect(back.job.entities).toEqual({});
  expect(canUndo(back)).toBeUndefined();
  const later = await load(again, "job_a");
  const redone = await step(again, later, canRedo(later)!, "redo", AT);
  expect(redone.job.entities).toEqual({ kitchen });
});

test("a new gesture after an undo drops what could be done again", async () => {
  const db = await open("two");
  const empty = nothing("job_a");
  const one = await write(db, empty, { ...empty.job, entities: { kitchen } }, AT, "room");
  const back = await step(db, one, canUndo(one)!, "undo", AT);
  const other = await write(db, back, { ...back.job, entities: { hall: kitchen } }, AT, "room");
  expect(canRedo(other)).toBeUndefined();
  expect((await load(db, "job_a")).gestures).toHaveLength(1);
});

test("the chain of a device counts on over jobs, every event names the one before", async () => {
  const db = await open("three");
  const a = await write(db, nothing("job_a"), { ...nothing("job_a").job, entities: { kitchen } }, AT, "");
  const b = await write(db, nothing("job_b"), { ...nothing("job_b").job, entities: { kitchen } }, AT, "");
  const all = [...a.events, ...b.events];
  expect(all.map((one) => one.seq)).toEqual(all.map((_, n) => n + 1));
  all.forEach((one, n) => {
    expect(one.id).toBe(eventId(one));
    expect(one.prev).toBe(n ? all[n - 1]!.id : "");
  });
  expect(fold(b.events, "job_b").entities).toEqual({ kitchen });
});

test("a job file comes back as it went", () => {
  const job = { ...nothing("job_a").job, title: "Mill", entities: { kitchen } };
  expect(ofFile(jobFile(job))).toEqual(job);
  for (const text of ["", "[]", "null", '{"wainscot": 2}', '{"wainscot": 1, "id": "a", "entities": {"r": 1}}']) {
    expect(() => ofFile(text)).toThrow();
  }
});

test("a time says its offset", () => {
  expect(timeOf(new Date())).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}[+-]\d\d:\d\d$/);
  expect(Math.abs(Date.parse(timeOf(new Date())) - Date.now())).toBeLessThan(1000);
});
