import "fake-indexeddb/auto";
import { expect, test } from "vitest";
import { aboutOf } from "../src/record/about";
import { keep } from "../src/record/blobs";
import { event, lineOf, signedText, type Event } from "../src/record/event";
import { commitment } from "../src/record/cover";
import { photosAt } from "../src/record/finds";
import { fold, type Job } from "../src/record/fold";
import { openKey, signed } from "../src/record/keys";
import { answersOf, eventOf, settled, takeIn } from "../src/record/merge";
import { adopt, canUndo, deviceOf, load, nothing, open, step, write, type Database, type Held } from "../src/record/store";
import { broughtIn, packed } from "../src/screens/jobs/everything";
import { linesOf } from "../src/screens/jobs/lines";
import { roomOf } from "../src/screens/jobs/space";
import { crc32, unzipped, zipped } from "../src/screens/jobs/zip";

const at = (minute: number): string => `2025-03-14T09:${String(minute).padStart(2, "0")}:00.000+01:00`;
const kitchen = { kind: "room", name: "Kitchen", note: "" };

const named = async (db: Database, held: Held, fields: Record<string, string>, minute: number): Promise<Held> =>
  write(db, held, { ...held.job, entities: { ...held.job.entities, kitchen: { ...kitchen, ...held.job.entities["kitchen"], ...fields } } }, at(minute), "");

/** Two phones on one job: both hold its beginning. */
const two = async (name: string): Promise<[Database, Held, Database, Held]> => {
  const [one, other] = [await open(`${name}-one`), await open(`${name}-other`)];
  const begun = await named(one, nothing("job_a"), {}, 1);
  await takeIn(other, begun.events, false);
  return [one, begun, other, await load(other, "job_a")];
};

test("two phones that write apart come to the same, in whatever order they are told", async () => {
  const [one, begun, other, same] = await two("apart");
  const here = await named(one, begun, { name: "Scullery" }, 2);
  const there = await named(other, same, { name: "Galley", note: "wet" }, 3);
  await takeIn(one, [...there.events].reverse(), true);
  await takeIn(one, there.events, true); // again, which changes nothing
  await takeIn(other, here.events, true);
  const [a, b] = [(await load(one, "job_a")).job, (await load(other, "job_a")).job];
  expect(a).toEqual(b);
  expect(a.entities["kitchen"]).toEqual({ kind: "room", name: "Galley", note: "wet" });
  expect(a.conflicts).toHaveLength(1);
  const again = (await load(one, "job_a")).events;
  const answers = answersOf(again, "job_a", a.conflicts[0]!);
  expect(answers.map((said) => said.value)).toEqual(["Galley", "Scullery"]);
  expect(answers[1]!.event.device).toBe(here.events[0]!.device);

  const picked = await write(one, await load(one, "job_a"), settled(a, again, a.conflicts[0]!, answers[1]!), at(4), "");
  await takeIn(other, picked.events, true);
  const after = (await load(other, "job_a")).job;
  expect(after).toEqual(picked.job);
  expect(after.conflicts).toEqual([]);
  expect(after.entities["kitchen"]!["name"]).toBe("Scullery");
});

test("what one takes out while the other changes it is asked as a whole", async () => {
  const [one, begun, other, same] = await two("gone");
  await write(one, begun, { ...begun.job, entities: {} }, at(2), "");
  const there = await named(other, same, { note: "wet" }, 3);
  await takeIn(one, there.events, true);
  const { job, events } = await load(one, "job_a");
  const [whole] = job.conflicts;
  expect(whole).toMatchObject({ entity: "kitchen", field: "" });
  for (const answer of answersOf(events, "job_a", whole!)) {
    const wanted = settled(job, events, whole!, answer);
    const db = await open(`gone-${answer.value === undefined ? "out" : "in"}`);
    await takeIn(db, events, true);
    const after = (await write(db, await load(db, "job_a"), wanted, at(4), "")).job;
    expect(after.conflicts).toEqual([]);
    expect(after.entities["kitchen"]).toEqual(answer.value === undefined ? undefined : { ...kitchen, note: "wet" });
  }
});

test("two phones add a photo to one find: both stay, and nobody is asked", async () => {
  const [one, begun, other, same] = await two("photos");
  const added = (held: Held, id: string): Job => ({
    ...held.job, entities: {
      ...held.job.entities, kitchen: { ...held.job.entities["kitchen"]!, grade: "photographed" },
      [id]: { kind: "photo", of: "kitchen", photo: id, at: at(Number(id)) },
    },
  });
  await write(one, begun, added(begun, "2"), at(2), "");
  await takeIn(one, (await write(other, same, added(same, "1"), at(3), "")).events, true);
  const { job } = await load(one, "job_a");
  expect(photosAt(job.entities, "kitchen")).toEqual(["1", "2"]);
  expect(job.conflicts).toEqual([]);
});

test("undo leaves alone what another phone changed since", async () => {
  const [one, begun, other, same] = await two("undo");
  const here = await named(one, begun, { name: "Scullery" }, 2);
  await takeIn(one, (await named(other, same, { note: "wet" }, 3)).events, true);
  const both = await load(one, "job_a");
  expect(canUndo(both)!.n).toBe(canUndo(here)!.n);
  const back = await step(one, both, canUndo(both)!, "undo", at(4));
  expect(back.job.entities["kitchen"]).toEqual({ kind: "room", name: "Kitchen", note: "wet" });
});

test("an altered line is no event", async () => {
  const { events } = await named(await open("altered"), nothing("job_a"), {}, 1);
  const line = lineOf(events[0]!);
  expect(eventOf(line)).toEqual(events[0]);
  for (const bad of [line.replace("Kitchen", "Kitchem"), "[]", "null", "{}", "nothing"]) {
    expect(() => eventOf(bad)).toThrow();
  }
});

test("a device that the office calls otherwise begins to count anew", async () => {
  const db = await open("adopt");
  const before = await named(db, nothing("job_a"), {}, 1);
  await adopt(db, await deviceOf(db)); // its own id: nothing changes
  const same = await named(db, before, { note: "a" }, 2);
  expect(same.events.at(-1)!.seq).toBe(2);
  await adopt(db, "dev_1");
  const after = await named(db, same, { note: "b" }, 3);
  expect(after.events.at(-1)).toMatchObject({ device: "dev_1", seq: 1, prev: "" });
  expect(fold(after.events, "job_a").entities["kitchen"]!["note"]).toBe("b");
  expect(after.job.conflicts).toEqual([]);
});

test("a visit that stood ahead when the job was written is told as over once its day has passed", async () => {
  const db = await open("passed");
  const job = { ...nothing("job_a").job, entities: { a: { kind: "visit", at: "2025-03-14" }, b: { kind: "visit", at: "2025-03-20", next_at: "2025-04-02" } } };
  await write(db, nothing("job_a"), job, at(1), ""); // on 14 March
  const told = async (today: string): Promise<(string | undefined)[]> => (await linesOf(db, today)).flatMap((one) => [one.last, one.next]);
  expect(await told("2025-03-20")).toEqual(["2025-03-14", "2025-03-20"]);
  expect(await told("2025-03-21")).toEqual(["2025-03-20", "2025-04-02"]);
  expect(await told("2025-04-03")).toEqual(["2025-03-20", ""]);
});

test("the list tells the visits before and after a day, who is on it, what was released", () => {
  const job = {
    ...nothing("job_a").job, title: "Mill",
    entities: {
      a: { kind: "visit", at: "2025-03-01", next_at: "2025-03-20" },
      b: { kind: "visit", at: "2025-03-12T09:00:00+01:00" },
      c: { kind: "crew", who: "acc_1" }, d: { kind: "crew", who: "acc_1" },
      e: { kind: "release", hold: "lead/kitchen" },
    },
  };
  expect(aboutOf(job, "2025-03-14")).toEqual({
    title: "Mill", last: "2025-03-12T09:00:00+01:00", next: "2025-03-20", who: ["acc_1"],
    released: ["lead/kitchen"], conflicts: 0, state: "open", ended: "",
  });
  const closed = { ...job, entities: { ...job.entities, f: { kind: "closed", at: "2025-03-13T17:00:00+01:00", by: "L. Brandt" } } };
  expect(aboutOf(closed, "2025-03-14")).toMatchObject({ state: "closed", ended: "2025-03-13" });
  const back = { ...closed, entities: { ...closed.entities, g: { kind: "callback", at: "2025-03-15", because: "smell" } } };
  expect(aboutOf(back, "2025-03-16")).toMatchObject({ state: "called back", ended: "2025-03-15" });
  expect(aboutOf(job, "2025-03-21")).toMatchObject({ last: "2025-03-12T09:00:00+01:00", next: "" });
});

test("CRC-32 gives the check value of the catalogues of such sums", () => {
  // 0xCBF43926 for "123456789": ITU-T V.42, from memory.
  expect(crc32(new TextEncoder().encode("123456789"))).toBe(0xcbf43926);
});

test("everything goes into one file and comes back; what is here already is counted, not doubled", async () => {
  const from = await open("from");
  const held = await named(from, nothing("job_a"), {}, 1);
  await keep(from, new TextEncoder().encode("bytes of a photo").buffer as ArrayBuffer, "image/jpeg");
  const { file, ...told } = await packed(from, at(2));
  expect(told).toEqual({ events: held.events.length, photos: 1, jobs: 1 });
  const to = await open("to");
  const n = held.events.length;
  expect(await broughtIn(to, file)).toEqual({ added: n, known: 0, photos: 1, bad: 0 });
  expect((await load(to, "job_a")).job).toEqual(held.job);
  expect((await to.get("jobs", "job_a"))?.title).toBe("");
  expect(await broughtIn(to, file)).toEqual({ added: 0, known: n, photos: 0, bad: 0 });
});

test("a file that is damaged or none of this kind is refused whole", async () => {
  const from = await open("from");
  const bytes = new Uint8Array(await (await packed(from, at(2))).file.arrayBuffer());
  for (let place = 0; place < bytes.length; place += 37) {
    const bad = bytes.slice();
    bad[place]! ^= 0x20;
    const db = await open(`damaged-${place}`);
    const told = await broughtIn(db, new Blob([bad])).catch((error: Error) => error.message);
    const kept = await db.getAll("events");
    db.close();
    // A bit that says nothing, such as a date, may fall; what comes in is then what went out.
    if (typeof told === "string") expect(kept).toEqual([]);
    else expect(kept.map(lineOf).sort()).toEqual((await from.getAll("events")).map((one: Event) => lineOf(one)).sort());
  }
  for (const text of ["", "nothing", "PK"]) {
    await expect(broughtIn(await open("none"), new Blob([text]))).rejects.toMatchObject({ why: "none" });
  }
  const other = zipped([{ name: "a.txt", bytes: new TextEncoder().encode("a") }]);
  expect([...(await unzipped(other)).keys()]).toEqual(["a.txt"]);
  await expect(broughtIn(await open("none"), other)).rejects.toMatchObject({ why: "none" });
});

test("little room is told before it is too late", () => {
  const told = [null, 2 ** 31, 2 ** 29, 2 ** 26].map((left) => roomOf({ left, lasting: true }));
  expect(told).toEqual(["", "", "roomLow", "roomFull"]);
});

test("a device signs what it wrote with its own key, and nobody else's", async () => {
  const [one, begun, other] = await two("signed");
  const made = await signed(one, begun.events);
  const key = await openKey(one);
  expect(key).toMatch(/^[0-9a-f]{64}$/);
  const open = await crypto.subtle.importKey("raw", Uint8Array.from(Buffer.from(key, "hex")), "Ed25519", true, ["verify"]);
  for (const each of made) {
    expect(each.beside?.key).toBe(key);
    const signature = Uint8Array.from(Buffer.from(each.beside!.signature!, "hex"));
    expect(await crypto.subtle.verify("Ed25519", open, signature, signedText(each.id))).toBe(true);
    expect(eventOf(lineOf(each))).toEqual(each);
  }
  expect((await load(one, "job_a")).events.every((each) => each.beside?.key === key)).toBe(true);
  expect(await signed(one, made)).toEqual(made); // once is enough
  await deviceOf(other);
  expect((await signed(other, begun.events)).some((each) => each.beside?.key)).toBe(false);
  await takeIn(other, made, true); // the signature comes after the event
  expect((await load(other, "job_a")).events.every((each) => each.beside?.key === key)).toBe(true);
  const kept = (await one.get("settings", "device-key")) as { secret: CryptoKey };
  await expect(crypto.subtle.exportKey("pkcs8", kept.secret)).rejects.toThrow();
});

test("what the office erased is gone from the phone, whatever is sent again", async () => {
  const [, begun, other] = await two("erased");
  const here = await named(other, await load(other, "job_a"), { note: "Quilla Canary, back door" }, 2);
  const hash = await keep(other, new TextEncoder().encode("a photo").buffer as ArrayBuffer, "image/jpeg");
  for (const name of ["figures/job_a", "papers/made/job_a", `papers/pages/${hash}`]) await other.put("settings", "Quilla Canary", name);
  const texts = here.events.flatMap((each) => Object.keys(each.beside?.opened ?? {}));
  const gone = event(
    { kind: "add", entity: "x", value: { kind: "erased", texts, photos: [hash] } },
    { job: "job_a", device: "office", seq: 1, prev: "", at: at(5) },
  );
  const everything = async (): Promise<string> =>
    JSON.stringify(await Promise.all((["events", "gestures", "jobs", "settings"] as const).map((name) => other.getAll(name))));
  expect(await everything()).toContain("Quilla");
  await takeIn(other, [gone], true);
  await takeIn(other, [...begun.events, ...here.events], true);
  expect(await everything()).not.toContain("Quilla");
  expect(await other.get("blobs", hash)).toBeUndefined();
  expect((await load(other, "job_a")).job.entities["kitchen"]).toMatchObject({ name: "(erased)", note: "(erased)" });
});

test("a personal text that is not the one which was hashed is refused", async () => {
  const [, begun] = await two("other-text");
  const line = lineOf(begun.events.find((each) => each.entity === "kitchen")!);
  expect(() => eventOf(line.replace(`"Kitchen"`, `"Kitchem"`))).toThrow();
  expect(() => eventOf(line)).not.toThrow();
  expect(() => commitment("short", "Kitchen")).toThrow();
});
