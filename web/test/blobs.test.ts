/** Known answers: FIPS 180-4, "abc". */
import "fake-indexeddb/auto";
import { openDB } from "idb";
import { expect, test } from "vitest";
import { BlobError, keep, kept } from "../src/record/blobs";
import { sha256 } from "../src/record/sha256";
import { load, nothing, open, write } from "../src/record/store";

const ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
const abc = (): ArrayBuffer => new TextEncoder().encode("abc").buffer as ArrayBuffer;

test("bytes are kept under their hash, once", async () => {
  const db = await open("blobs one");
  expect(await keep(db, abc(), "image/png")).toBe(ABC);
  expect(await keep(db, abc(), "image/png")).toBe(ABC);
  expect(await db.count("blobs")).toBe(1);
  expect(new Uint8Array((await kept(db, ABC))!.bytes)).toEqual(new Uint8Array([97, 98, 99]));
  expect(sha256(new Uint8Array(abc()))).toBe(ABC);
});

test("damaged bytes are told, not shown", async () => {
  const db = await open("blobs two");
  await db.put("blobs", { hash: ABC, bytes: new ArrayBuffer(3), type: "image/png" });
  await expect(kept(db, ABC)).rejects.toThrow(BlobError);
});

test("a device of the first layout keeps its record", async () => {
  const old = await openDB("blobs old", 1, {
    upgrade(db) {
      db.createObjectStore("events", { keyPath: "id" }).createIndex("job", "job");
      db.createObjectStore("gestures", { keyPath: ["job", "n"] });
      db.createObjectStore("jobs", { keyPath: "id" });
      db.createObjectStore("receipts", { keyPath: "id" }).createIndex("job", "job");
      db.createObjectStore("settings");
    },
  });
  const empty = nothing("job_a");
  const entities = { kitchen: { kind: "room", name: "Kitchen" } };
  await write(old as never, empty, { ...empty.job, entities }, "2025-03-14T09:30:00.000+01:00", "room");
  old.close();
  const db = await open("blobs old");
  expect((await load(db, "job_a")).job.entities).toEqual(entities);
  expect(await keep(db, abc(), "")).toBe(ABC);
});
