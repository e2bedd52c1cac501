/** What the office is told of a person who is forgotten. */
import { expect, test } from "vitest";
import personal from "../src/made/personal.json";
import { countsOf } from "../src/screens/office/told";
import { words } from "../src/screens/words/en";
import * as spanish from "../src/screens/words/es";

test("places are counted by what stands there, the most first", () => {
  expect(countsOf(["seal_1.by", "c.note", "seal_2.by", "job.title"])).toEqual([["by", 2], ["note", 1], ["title", 1]]);
  expect(countsOf([])).toEqual([]);
});

test("whatever may hold a person's words has a word of its own in both languages", () => {
  for (const field of personal.fields) for (const spoken of [words, spanish.words]) expect(spoken, field).toHaveProperty(`field_${field}`);
});
