import { expect, test } from "vitest";
import { photosOf, withPhotos } from "../src/record/finds";

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
