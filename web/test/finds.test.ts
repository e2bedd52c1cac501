import { expect, test } from "vitest";
import { photosOf, withAllPhotos, withPhotos } from "../src/record/finds";

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

test("picking one of two answers loses no photo that only the other has", () => {
  const mine = [{ kind: "droppings", amount: "many", photos: ["a", "b"] }];
  const theirs = [{ kind: "droppings", amount: "few", photo: "a", photos: ["c"] }];
  expect(withAllPhotos(mine, [theirs])).toEqual([{ kind: "droppings", amount: "many", photos: ["a", "b", "c"] }]);
  expect(withAllPhotos(theirs, [mine])).toEqual([{ kind: "droppings", amount: "few", photos: ["a", "c", "b"] }]);
  // Nothing to add: it stays as it was written.
  const old = [{ kind: "stain", photo: "a" }];
  expect(withAllPhotos(old, [old, []])[0]).toBe(old[0]);
});
