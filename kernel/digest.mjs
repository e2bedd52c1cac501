/**
 * Run one byte string in this engine and print the digest of the results.
 *
 *     node digest.mjs kernel.wasm problem.bin [population ...]
 *
 * Prints one line per population: its number, SHA-256 over all result fields, seconds.
 */
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";

const FIELDS = 9;
const [modulePath, inputPath, ...numbers] = process.argv.slice(2);
const module = new WebAssembly.Module(readFileSync(modulePath));
const input = readFileSync(inputPath);

for (const number of numbers.length ? numbers.map(Number) : [0]) {
  const start = performance.now();
  const kernel = new WebAssembly.Instance(module, {}).exports;
  const pointer = kernel.alloc(input.length) >>> 0;
  new Uint8Array(kernel.memory.buffer, pointer, input.length).set(input);
  let status = kernel.setup(pointer, input.length, number);
  while (status === 0) status = kernel.advance();
  if (status < 0) {
    console.log(`${number} error ${status} ${kernel.errorIndex()}`);
    continue;
  }
  const hash = createHash("sha256");
  for (let field = 0; field < FIELDS; field += 1) {
    const at = kernel.fieldPointer(field) >>> 0;
    hash.update(new Uint8Array(kernel.memory.buffer, at, kernel.fieldSize(field)));
  }
  const seconds = (performance.now() - start) / 1000;
  console.log(`${number} ${hash.digest("hex")} ${seconds.toFixed(3)}`);
}
