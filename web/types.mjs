// Types of the job file from the shipped JSON Schema, and of what the office machine answers from the
// schema that from_python.py writes; run again when one changes.
import { readFile, writeFile } from "node:fs/promises";
import { compile } from "json-schema-to-typescript";

export const MADE = { job: "JobFile", office: "Answers" };
const PLACES = { office: "src/made/office.schema.json" };

export async function typesOf(name) {
  const place = PLACES[name] ?? `../src/wainscot/schema/${name}.schema.json`;
  const schema = JSON.parse(await readFile(new URL(place, import.meta.url), "utf8"));
  withTuples(schema);
  return compile(schema, MADE[name], {
    additionalProperties: false,
    bannerComment: `// Made from ${name === "office" ? "office.schema.json" : `src/wainscot/schema/${name}.schema.json`} by types.mjs; do not edit.`,
    unknownAny: true,
  });
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  for (const name of Object.keys(MADE)) {
    await writeFile(new URL(`src/made/${name}.ts`, import.meta.url), await typesOf(name));
  }
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
