import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
// @ts-expect-error: a script without types of its own
import { MADE, typesOf } from "../types.mjs";

test.each(Object.keys(MADE))("the types of %s are those of the shipped schema", async (name) => {
  const written = readFileSync(new URL(`../src/made/${name}.ts`, import.meta.url), "utf8");
  expect(written).toBe(await typesOf(name));
});
