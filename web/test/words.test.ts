/** A word belongs to one file: where two files give one key, the later would silently win. */
import { readdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";

const folder = fileURLToPath(new URL("../src/screens/words", import.meta.url));

/** Keys that more than one of some files give. */
const twice = (files: readonly (readonly string[])[]): string[] => {
  const all = files.flat();
  return [...new Set(all.filter((key, n) => all.indexOf(key) !== n))];
};

test.each(["en", "es"])("no two files of %s give one word", async (language) => {
  const names = readdirSync(`${folder}/${language}`).filter((name) => !["index.ts", "kinds.ts"].includes(name));
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
