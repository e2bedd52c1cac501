/** The phone's modules in a page's own thread, which a browser can slow down; it cannot slow workers. */
import { atOnce, inFull, inputs, weighed } from "../src/kernel/diagnose";
import { runPopulation } from "../src/kernel/module";
import { readPocket } from "../src/kernel/pocket";
import type { Fields } from "../src/record/event";

const timed = async (text: string, entities: Record<string, Fields>, kernel: string): Promise<Record<string, number>> => {
  const module = await WebAssembly.compile(await (await fetch(kernel)).arrayBuffer());
  const marks = [performance.now()];
  const pocket = readPocket(text)!;
  marks.push(performance.now());
  const now = weighed(pocket, entities);
  atOnce(pocket, now);
  marks.push(performance.now());
  const input = inputs(pocket, now);
  const drawn = input.map((one) => Array.from({ length: pocket.populations }, (_, n) => runPopulation(module, one, n)));
  inFull(pocket, now, input, drawn);
  marks.push(performance.now());
  const [unpack, once, full] = marks.slice(1).map((mark, n) => (mark - marks[n]!) / 1000) as [number, number, number];
  return { unpack, once, full, voids: pocket.cases[0]!.shape.keys.length, news: now.since.news.length };
};
Object.assign(globalThis, { timed });
