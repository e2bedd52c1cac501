/** A word belongs to one file: where two files give one key, the later would silently win. */
import { readdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { countries, kinds, words } from "../src/screens/words/en";
import * as spanish from "../src/screens/words/es";
import made from "../src/made/kinds.json";

const folder = fileURLToPath(new URL("../src/screens/words", import.meta.url));

/** Keys that more than one of some files give. */
const twice = (files: readonly (readonly string[])[]): string[] => {
  const all = files.flat();
  return [...new Set(all.filter((key, n) => all.indexOf(key) !== n))];
};

test.each(["en", "es"])("no two files of %s give one word", async (language) => {
  const names = readdirSync(`${folder}/${language}`).filter((name) => !["index.ts", "kinds.ts", "countries.ts"].includes(name));
  const files = await Promise.all(
    names.map(async (name) => {
      const held = (await import(/* @vite-ignore */ `${folder}/${language}/${name}`)) as Record<string, object>;
      return Object.values(held).flatMap((words) => Object.keys(words));
    }),
  );
  expect(names.length).toBeGreaterThan(3);
  expect(files.flat().length).toBeGreaterThan(200);
  expect(twice(files)).toEqual([]);
});

test("the rule would tell", () => {
  expect(twice([["why", "open"], ["close", "why"]])).toEqual(["why"]);
});

const NAMES = new Set([
  ...made.fixtures.flatMap((one) => [one.name, one.words, ...one.options.flatMap((option) => [option.words, ...option.choices])]),
  ...made.signs.flatMap((one) => [one.name, ...one.amounts]),
  ...Object.keys(kinds),
]);
const braces = (text: string): string[] => [...text.matchAll(/\{\w+\}/g)].map((one) => one[0]).sort();

test("a country says otherwise only what is said at all, and what differs", () => {
  for (const { words: other, kinds: others } of Object.values(countries)) {
    for (const [key, text] of Object.entries(other)) expect(words[key as keyof typeof words]).not.toBe(text);
    expect(Object.keys(others).filter((name) => !NAMES.has(name))).toEqual([]);
  }
});

test("both languages fill the same braces", () => {
  const all = Object.entries(words) as [keyof typeof words, string][];
  expect(all.filter(([key, text]) => braces(text).join() !== braces(spanish.words[key]).join())).toEqual([]);
});
