/**
 * What the figures are of, on a phone that sends and pulls by itself: an office by the rules of docs/server.md, where every
 * event gets the next number and a calculation is of all that came by its own `through`.
 */
import "fake-indexeddb/auto";
import { afterEach, expect, test, vi } from "vitest";
import { lineOf, type Event } from "../src/record/event";
import { load, nothing, open, write, type Database, type Held } from "../src/record/store";
import { pull } from "../src/screens/jobs/pull";
import { Office } from "../src/screens/office.svelte";

const JOB = "job_a";
const at = (minute: number): string => `2025-03-14T09:${String(minute).padStart(2, "0")}:00.000+01:00`;
const rooms = async (db: Database, held: Held, ...names: readonly string[]): Promise<Held> => {
  for (const name of names) held = await write(db, held, { ...held.job, entities: { ...held.job.entities, [name]: { kind: "room", name } } }, at(1), "");
  return held;
};

class Machine {
  record = "record_one";
  readonly log: Event[] = [];
  /** What happens between a calculation's beginning and its answer. */
  meanwhile: () => Promise<void> = async () => undefined;
  /** What it takes not, by name. */
  barred: readonly string[] = [];
  private walks = 0;
  private newest = { id: "", job: JOB, state: "done", share: 1, through: 0, current: true };

  take = (lines: readonly string[]) => {
    const told = { added: [] as string[], known: [] as string[], refused: [], barred: [] as { id: string; reason: string }[] };
    for (const one of lines.map((line) => JSON.parse(line) as Event)) {
      if (this.barred.includes(one.entity)) told.barred.push({ id: one.id, reason: "no" });
      else if (this.log.some(({ id }) => id === one.id)) told.known.push(one.id);
      else this.log.push(one), told.added.push(one.id);
    }
    return { ...told, record: this.record, through: this.log.length };
  };

  answer = async (path: string, body: string): Promise<unknown> => {
    const { pathname, searchParams } = new URL(path, "http://office");
    if (pathname.endsWith("/events") && body) return this.take((JSON.parse(body) as { lines: string[] }).lines);
    if (pathname.endsWith("/events")) {
      const from = searchParams.get("record") === this.record ? Number(searchParams.get("after")) : 0;
      const all = this.log.slice(0, Number(searchParams.get("until")) || undefined);
      const some = all.slice(from, from + 3);
      return { record: this.record, through: from + some.length, more: from + some.length < all.length, lines: some.map(lineOf) };
    }
    if (pathname.endsWith("/walks")) {
      this.begin();
      await this.meanwhile();
      return this.newest;
    }
    if (pathname.endsWith("/answer")) return { diagnosis: { verdict: "", voids: [], entries: [], misfits: [] }, checks: null };
    return null;
  };
  /** Begins a calculation of all that has come, in the place of the one before. */
  begin = (): void => {
    this.newest = { ...this.newest, id: `walk_${++this.walks}`, through: this.log.length };
  };
}

const begin = async (name: string) => {
  const [machine, office, db] = [new Machine(), new Office(), await open(name)];
  vi.stubGlobal("fetch", async (path: string, { body = "" }: { body?: string } = {}) => {
    const told = await machine.answer(path, body);
    return new Response(JSON.stringify(told ?? { code: "no-device" }), { status: told ? 200 : 404 });
  });
  await office.start(db, JOB);
  /** Writes elsewhere, and the office has it. */
  const others = async (...names: readonly string[]): Promise<void> => {
    const there = await open(`${name}-${names[0]}`);
    machine.take((await rooms(there, nothing(JOB), ...names)).events.map(lineOf));
  };
  const newer = async (): Promise<number> => {
    expect(office.failed).toBeNull();
    return (await load(db, JOB)).events.length - office.figures!.events;
  };
  return { machine, office, db, others, newer };
};
afterEach(() => vi.unstubAllGlobals());

test("what the office had counted is not newer where the phone pulls it only after it asked", async () => {
  const { office, db, others, newer } = await begin("after");
  await others("loft", "hall", "stair", "cellar");
  const held = await rooms(db, nothing(JOB), "kitchen");
  await office.calculate(held.events);
  expect(await newer()).toBe(0);
  expect(await pull(db, JOB)).toEqual({ added: 4, bad: 0, restored: false });
  await office.reread();
  expect(await newer()).toBe(0);
  // Nor after the app was begun anew.
  const again = new Office();
  await again.start(db, JOB);
  expect(again.figures!.events).toBe(5);
});

test("what this phone or another wrote since is newer, sent and pulled or not", async () => {
  const { office, db, others, newer } = await begin("since");
  await others("loft", "hall", "stair");
  const held = await rooms(db, nothing(JOB), "kitchen");
  await office.calculate(held.events);
  const more = await rooms(db, held, "bathroom");
  await others("cellar");
  expect(await newer()).toBe(1);
  await office.send(more.events);
  await pull(db, JOB);
  await office.reread();
  expect(await newer()).toBe(2);
  await office.calculate((await load(db, JOB)).events);
  expect(await newer()).toBe(0);
});

test("what the office had counted is not newer where it comes together with what is", async () => {
  const { office, db, others, newer } = await begin("together");
  const held = await rooms(db, nothing(JOB), "kitchen");
  await office.send(held.events);
  await others("loft");
  await office.calculate(held.events);
  await office.send((await rooms(db, held, "bathroom")).events);
  await pull(db, JOB);
  await office.reread();
  expect(await newer()).toBe(1);
});

test("what came while the office calculated is counted or newer by its number", async () => {
  const { machine, office, db, others, newer } = await begin("while");
  await others("loft", "hall", "stair");
  const held = await rooms(db, nothing(JOB), "kitchen");
  machine.meanwhile = async () => {
    await pull(db, JOB);
    await rooms(db, await load(db, JOB), "bathroom");
  };
  await office.calculate(held.events);
  expect(await newer()).toBe(1);
  // What is sent in time for the calculation that takes the place of the one that was asked for is in it.
  machine.meanwhile = async () => {
    const all = await rooms(db, await load(db, JOB), "porch");
    await office.send(all.events);
    machine.begin();
  };
  await office.calculate((await load(db, JOB)).events);
  expect(await newer()).toBe(0);
});

test("what the office did not take is not in its figures", async () => {
  const { machine, office, db, newer } = await begin("barred");
  machine.barred = ["bathroom"];
  const held = await rooms(db, nothing(JOB), "kitchen", "bathroom");
  await office.calculate(held.events);
  expect(await newer()).toBe(1);
});

test("numbers of a record that was put in its place say nothing of figures from before", async () => {
  const { machine, office, db, others, newer } = await begin("restored");
  await others("loft", "hall", "stair");
  const held = await rooms(db, nothing(JOB), "kitchen");
  await office.calculate(held.events);
  await pull(db, JOB);
  await office.reread();
  expect(await newer()).toBe(0);
  machine.record = "record_two";
  machine.log.length = 0;
  await others("attic");
  expect((await pull(db, JOB)).restored).toBe(true);
  await office.reread();
  expect(await newer()).toBe(1);
});

test("an answer that comes after another job was opened is kept for its own", async () => {
  const { machine, office, db, others } = await begin("switched");
  await others("loft");
  const held = await rooms(db, nothing(JOB), "kitchen");
  machine.meanwhile = () => office.start(db, "job_b");
  await office.calculate(held.events);
  expect([office.figures, office.failed]).toEqual([null, null]);
  await office.start(db, JOB);
  expect(office.figures!.events).toBe(1);
  await pull(db, JOB);
  await office.reread();
  expect(office.figures!.events).toBe(2);
});
