import "fake-indexeddb/auto";
import { expect, test } from "vitest";
import { sha256 } from "../src/record/sha256";
import { deliver, PART, slipsOf, take, unsent, type Ask } from "../src/record/outbox";
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
  expect([first.held, first.answer, first.refused]).toEqual(["", "no answer", false]);
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
