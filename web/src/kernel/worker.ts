/** One worker: weighs the draws anew, or draws populations; told which by what it is asked. */
import kernel from "../../../src/wainscot/diagnosis/kernel.wasm?url";
import type { Fields } from "../record/event";
import { sha256 } from "../record/sha256";
import { atOnce, inFull, inputs, weighed, type Numbers, type Receipt, type Weighed } from "./diagnose";
import { runPopulation, type Population } from "./module";
import { readPocket, type Pocket } from "./pocket";

export type Asked =
  | { readonly do: "pocket"; readonly text: string }
  | { readonly do: "weigh"; readonly turn: number; readonly entities: Readonly<Record<string, Fields>> }
  | { readonly do: "draw"; readonly turn: number; readonly one: number; readonly population: number; readonly input: Uint8Array; readonly module: string }
  | { readonly do: "full"; readonly turn: number; readonly drawn: readonly (readonly Population[])[] };
export type Told =
  | { readonly done: "pocket"; readonly carried: boolean; readonly populations: number; readonly module: string; readonly answer: string }
  | { readonly done: "weigh"; readonly turn: number; readonly numbers: Numbers; readonly inputs: readonly Uint8Array[] }
  | { readonly done: "share"; readonly turn: number; readonly one: number; readonly population: number; readonly share: number }
  | { readonly done: "draw"; readonly turn: number; readonly one: number; readonly drawn: Population }
  | { readonly done: "full"; readonly turn: number; readonly numbers: Numbers; readonly receipt: Receipt }
  | { readonly done: "failed"; readonly turn: number; readonly why: string };

let pocket: Pocket | null = null;
let now: { weighed: Weighed; inputs: Uint8Array[] } | null = null;
let module: Promise<{ code: WebAssembly.Module; digest: string }> | null = null;

const loaded = (): Promise<{ code: WebAssembly.Module; digest: string }> =>
  (module ??= (async () => {
    const bytes = await (await fetch(kernel)).arrayBuffer();
    return { code: await WebAssembly.compile(bytes), digest: sha256(new Uint8Array(bytes)) };
  })());

const answer = async (asked: Asked): Promise<Told> => {
  if (asked.do === "pocket") {
    pocket = readPocket(asked.text);
    return {
      done: "pocket", carried: pocket !== null, populations: pocket?.populations ?? 0, module: pocket?.module ?? "",
      answer: pocket?.answer ?? "",
    };
  }
  if (asked.do === "draw") {
    const { code, digest } = await loaded();
    if (digest !== asked.module) throw new Error("other kernel");
    const tell = (share: number): void => said({ done: "share", turn: asked.turn, one: asked.one, population: asked.population, share });
    return { done: "draw", turn: asked.turn, one: asked.one, drawn: runPopulation(code, asked.input, asked.population, tell) };
  }
  if (!pocket) throw new Error("no pocket");
  if (asked.do === "weigh") {
    const is = weighed(pocket, asked.entities);
    now = { weighed: is, inputs: inputs(pocket, is) };
    return { done: "weigh", turn: asked.turn, numbers: atOnce(pocket, is), inputs: now.inputs };
  }
  if (!now) throw new Error("nothing weighed");
  return { done: "full", turn: asked.turn, ...inFull(pocket, now.weighed, now.inputs, asked.drawn) };
};

const said = (told: Told): void => {
  postMessage(told);
};

addEventListener("message", ({ data }: MessageEvent<Asked>) => {
  answer(data).then(said, (error: unknown) => {
    said({ done: "failed", turn: "turn" in data ? data.turn : 0, why: error instanceof Error ? error.message : String(error) });
  });
});
