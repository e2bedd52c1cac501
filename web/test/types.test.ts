import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
// @ts-expect-error: a script without types of its own
import { typesOfJob } from "../types.mjs";

test("the types of the job file are those of the shipped schema", async () => {
  const written = readFileSync(new URL("../src/made/job.ts", import.meta.url), "utf8");
  expect(written).toBe(await typesOfJob());
});
