// Types of the job file from the shipped JSON Schema; run again when the schema changes.
import { readFile, writeFile } from "node:fs/promises";
import { compile } from "json-schema-to-typescript";

export async function typesOfJob() {
  const schema = JSON.parse(
    await readFile(new URL("../src/wainscot/schema/job.schema.json", import.meta.url), "utf8"),
  );
  withTuples(schema);
  return compile(schema, "JobFile", {
    additionalProperties: false,
    bannerComment: "// Made from src/wainscot/schema/job.schema.json by types.mjs; do not edit.",
    unknownAny: true,
  });
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  await writeFile(new URL("src/made/job.ts", import.meta.url), await typesOfJob());
}

/** The compiler knows tuples as JSON Schema had them before `prefixItems`. */
function withTuples(node) {
  if (node === null || typeof node !== "object") return;
  if (node.prefixItems) {
    node.items = node.prefixItems;
    node.additionalItems = false;
    delete node.prefixItems;
  }
  Object.values(node).forEach(withTuples);
}
