// Types of the job file from the shipped JSON Schema; run again when the schema changes.
import { readFile, writeFile } from "node:fs/promises";
import { compile } from "json-schema-to-typescript";

export async function typesOfJob() {
  const schema = JSON.parse(
    await readFile(new URL("../src/wainscot/schema/job.schema.json", import.meta.url), "utf8"),
  );
  return compile(schema, "JobFile", {
    additionalProperties: false,
    bannerComment: "// Made from src/wainscot/schema/job.schema.json by types.mjs; do not edit.",
    unknownAny: true,
  });
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  await writeFile(new URL("src/made/job.ts", import.meta.url), await typesOfJob());
}
