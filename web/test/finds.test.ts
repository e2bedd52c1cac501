import { expect, test } from "vitest";
import { photosAt, photosOf, withAllPhotos, withPhotos } from "../src/record/finds";

test("a find carries several photos, and one from before counts as the first", () => {
  expect(photosOf(undefined)).toEqual([]);
  expect(photosOf({ photo: "a" })).toEqual(["a"]);
  expect(photosOf({ photo: "a", photos: ["b", "a", "c"] })).toEqual(["a", "b", "c"]);
  const old = { kind: "droppings", photo: "a" };
  const more = withPhotos(old, [...photosOf(old), "b"]);
  expect(more).toEqual({ kind: "droppings", photos: ["a", "b"] });
  expect(photosOf(more)).toEqual(["a", "b"]);
  // Without any the field is not there: the job file says nothing empty.
  expect(withPhotos(more, [])).toEqual({ kind: "droppings" });
});

test("photos that were added follow those of the find, by time, each once; those of others are left out", () => {
  const beside = (of: string, photo: string, at: string, more = {}) => ({ kind: "photo", of, photo, at, ...more });
  const entities = {
    look: { kind: "inspection", finds: [{ kind: "droppings", photo: "a", photos: ["b"] }] },
    one: beside("look", "d", "2025-03-14T11:00Z"), two: beside("look", "c", "2025-03-14T10:00Z"),
    same: beside("look", "a", "2025-03-14T09:00Z"), second: beside("look", "e", "", { find: 1 }), other: beside("gone", "f", ""),
  };
  expect(photosAt(entities, "look")).toEqual(["a", "b", "c", "d"]);
  expect(photosAt(entities, "none")).toEqual([]);
});

test("picking one of two answers loses no photo that only the other has", () => {
  const mine = [{ kind: "droppings", amount: "many", photos: ["a", "b"] }];
  const theirs = [{ kind: "droppings", amount: "few", photo: "a", photos: ["c"] }];
  expect(withAllPhotos(mine, [theirs])).toEqual([{ kind: "droppings", amount: "many", photos: ["a", "b", "c"] }]);
  expect(withAllPhotos(theirs, [mine])).toEqual([{ kind: "droppings", amount: "few", photos: ["a", "c", "b"] }]);
  // Nothing to add: it stays as it was written.
  const old = [{ kind: "stain", photo: "a" }];
  expect(withAllPhotos(old, [old, []])[0]).toBe(old[0]);
});
