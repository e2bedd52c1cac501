/**
 * The phone's own modules under node, for the office's tests: reads lines of `{pocket, entities}` (paths
 * of files) and writes for each what a phone would say, weighed anew and in full.
 *
 *     node phone_host.mjs kernel.wasm < lines
 */
import { readFileSync } from "node:fs";
import { createInterface } from "node:readline";
import { atOnce, inFull, inputs, weighed } from "../src/kernel/diagnose";
import { runPopulation } from "../src/kernel/module";
import { readPocket } from "../src/kernel/pocket";
import type { Fields } from "../src/record/event";
import { sha256 } from "../src/record/sha256";

const bytes = readFileSync(process.argv[2]!);
const module = new WebAssembly.Module(bytes);
for await (const line of createInterface({ input: process.stdin })) {
  const asked = JSON.parse(line) as { pocket: string; entities: string; full: boolean };
  const pocket = readPocket(readFileSync(asked.pocket, "utf8"))!;
  if (sha256(new Uint8Array(bytes)) !== pocket.module) throw new Error("other kernel");
  const start = performance.now();
  const now = weighed(pocket, JSON.parse(readFileSync(asked.entities, "utf8")) as Record<string, Fields>);
  const once = atOnce(pocket, now);
  const [middle, input] = [performance.now(), inputs(pocket, now)];
  const drawn = asked.full
    ? input.map((each) => Array.from({ length: pocket.populations }, (_, n) => runPopulation(module, each, n)))
    : [];
  const full = asked.full ? inFull(pocket, now, input, drawn) : null;
  const receipt = full && {
    ...full.receipt,
    cases: full.receipt.cases.map((one) => ({ ...one, input: Buffer.from(one.input).toString("base64") })),
  };
  const seconds = [middle - start, performance.now() - middle].map((each) => each / 1000);
  console.log(JSON.stringify({ once, full: full?.numbers ?? null, receipt, seconds }));
}
