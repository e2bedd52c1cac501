import "fake-indexeddb/auto";
import { expect, test } from "vitest";
import { sha256 } from "../src/record/sha256";
import { kept } from "../src/record/blobs";
import { deliver, deliverAll, letGo, mayGo, PART, slipsOf, take, unsent, type Ask } from "../src/record/outbox";
import { open } from "../src/record/store";

/** An office that keeps what arrives, and may lose its answers. */
const office = (size: number) => {
  const there = { bytes: new Uint8Array(size), at: 0, starts: [] as number[], lost: false };
  const ask: Ask = async (_, { method, body, headers }) => {
    const state = (status: number) => new Response(null, {
      status, headers: { "upload-offset": String(there.at), "upload-complete": there.at === size ? "?1" : "?0" },
    });
    if (method === "HEAD") return state(there.at ? 200 : 404);
    const [start, last] = /bytes (\d+)-(\d+)\//.exec((headers as Record<string, string>)["content-range"]!)!.slice(1).map(Number) as [number, number];
    there.starts.push(start);
    there.bytes.set(new Uint8Array(body as ArrayBuffer), start);
    there.at = last + 1;
    if (there.lost) throw new TypeError("no answer");
    return state(there.at === size ? 201 : 202);
  };
  return { there, ask };
};
const photo = (size: number): ArrayBuffer => Uint8Array.from({ length: size }, (_, n) => (n * 7919) >> 3).buffer;

test("a photo goes on where it broke off, and counts only when the office says so", async () => {
  const db = await open("outbox");
  const bytes = photo(2 * PART + 5);
  const slip = await take(db, "job_a", bytes, "image/jpeg");
  const { there, ask } = office(bytes.byteLength);
  there.lost = true;
  const first = await deliver(db, slip, ask);
  expect([first.held, first.answer, first.refused]).toEqual(["", "away", false]);
  there.lost = false;
  const second = await deliver(db, first, ask);
  expect(second.held).not.toBe("");
  expect(there.starts).toEqual([0, PART, 2 * PART]);
  expect(sha256(there.bytes)).toBe(slip.hash);
  expect(await slipsOf(db, "job_a")).toEqual([second]);
  expect((await db.get("blobs", slip.hash))!.bytes.byteLength).toBe(bytes.byteLength);
  await unsent(db, "job_a");
  expect((await slipsOf(db, "job_a"))[0]!.held).toBe("");
});

test("what the office refuses for good is not sent again unasked; what it may take later is", async () => {
  const db = await open("refusing");
  const slip = await take(db, "job_a", photo(9), "image/jpeg");
  for (const [status, code, final] of [[422, "no-photo", true], [507, "disk-full", false], [401, "no-login", false]] as const) {
    const ask: Ask = (_, { method }) =>
      Promise.resolve(method === "HEAD" ? new Response(null, { status: 404 }) : Response.json({ code, title: code }, { status }));
    const after = await deliver(db, slip, ask);
    expect([after.held, after.answer, after.refused]).toEqual(["", code, final]);
  }
});

test("bytes that were damaged on this device are not sent", async () => {
  const db = await open("damaged");
  const slip = await take(db, "job_a", photo(9), "image/jpeg");
  await db.put("blobs", { hash: slip.hash, bytes: photo(8), type: "image/jpeg" });
  const after = await deliver(db, slip, () => Promise.reject(new Error("asked")));
  expect([after.held, after.answer, after.refused]).toEqual(["", "damaged", true]);
});

test("taking the same photo twice keeps what is known of it, and jobs keep apart", async () => {
  const db = await open("twice");
  const slip = await take(db, "job_a", photo(9), "image/jpeg");
  const held = await deliver(db, slip, office(9).ask);
  expect(await take(db, "job_a", photo(9), "image/jpeg")).toEqual(held);
  expect((await take(db, "job_b", photo(9), "image/jpeg")).held).toBe("");
  expect(await slipsOf(db, "job_a")).toHaveLength(1);
});

test("the photos of every job are sent; a job that is refused holds up no other", async () => {
  const db = await open("every job");
  for (const [job, size] of [["job_a", 7], ["job_b", 8], ["job_b", 9], ["job_c", 10]] as const) await take(db, job, photo(size), "image/jpeg");
  const asked: string[] = [];
  const ask: Ask = (path, { method }) => {
    const job = path.split("/")[3]!;
    asked.push(job);
    if (job === "job_b") return Promise.resolve(Response.json({ code: "not-found", title: "no such job" }, { status: method === "HEAD" ? 500 : 404 }));
    return Promise.resolve(new Response(null, { headers: { "upload-offset": "9", "upload-complete": "?1" } }));
  };
  const told: string[] = [];
  await deliverAll(db, "job_c", false, (slip) => told.push(`${slip.job} ${Boolean(slip.held)}`), ask);
  // The open job's first; of the refused job only one is tried.
  expect(told).toEqual(["job_c true", "job_a true", "job_b false"]);
  expect(asked).toEqual(["job_c", "job_a", "job_b"]);
  expect((await slipsOf(db)).filter((one) => !one.held).map((one) => one.job)).toEqual(["job_b", "job_b"]);
  // Where the office is not reached the rest is not tried.
  asked.length = 0;
  await take(db, "job_d", photo(11), "image/jpeg");
  await deliverAll(db, "job_d", false, () => undefined, (path) => {
    asked.push(path);
    return Promise.reject(new TypeError("no network"));
  });
  expect(asked).toHaveLength(1);
});

test("only copies that a verified backup holds now may go, and what another job needs stays", async () => {
  const db = await open("freeing");
  const [one, two, three] = [await take(db, "job_a", photo(7), ""), await take(db, "job_a", photo(8), ""), await take(db, "job_a", photo(9), "")];
  for (const slip of [one, two]) await deliver(db, slip, office(slip.size).ask);
  // The same bytes as the second, of a job that has not sent them.
  await take(db, "job_b", photo(8), "");
  const backedUp = (_: string, hashes: readonly string[]) => Promise.resolve(hashes);
  expect((await mayGo(db, backedUp)).map((slip) => slip.hash).sort()).toEqual([one.hash, two.hash].sort());
  expect(await letGo(db, () => Promise.resolve([]))).toEqual({ n: 0, bytes: 0 });
  await expect(letGo(db, () => Promise.reject(new Error("not reached")))).rejects.toThrow();
  expect(await kept(db, one.hash)).toBeDefined();
  expect(await letGo(db, backedUp)).toEqual({ n: 1, bytes: 7 });
  expect(await kept(db, one.hash)).toBeUndefined();
  for (const { hash } of [two, three]) expect(await kept(db, hash)).toBeDefined();
  // Freed is not lost: the slip says that the office holds it, and a new copy counts again.
  const freed = (await slipsOf(db, "job_a")).find((slip) => slip.hash === one.hash)!;
  expect([Boolean(freed.held), Boolean(freed.freed)]).toEqual([true, true]);
  expect((await take(db, "job_a", photo(7), "")).freed).toBeUndefined();
  expect(await kept(db, one.hash)).toBeDefined();
});
