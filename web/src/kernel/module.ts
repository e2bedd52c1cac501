/** The kernel itself: one instance works on one population of draws and is thrown away. */
import { sha256 } from "../record/sha256";

interface Exports {
  readonly memory: WebAssembly.Memory;
  alloc(size: number): number;
  setup(pointer: number, size: number, population: number): number;
  errorIndex(): number;
  advance(): number;
  progress(): number;
  fieldPointer(field: number): number;
  fieldSize(field: number): number;
}

/** The draws of one run: N draws one after the other, one byte a state. */
export interface Population {
  readonly number: number;
  readonly logEvidence: number;
  readonly variance: number;
  readonly count: number;
  readonly chains: number;
  readonly source: Uint8Array;
  readonly reach: Uint8Array;
  readonly soil: Uint8Array;
  readonly nest: Uint8Array;
  readonly load: Uint8Array;
  /** SHA-256 over all results, as the office's own. */
  readonly digest: string;
}

/** The kernel refused its input; the code is one of kernel/FORMAT.md. */
export class KernelError extends Error {
  constructor(readonly code: number, readonly index: number) {
    super(`kernel ${code} at ${index}`);
  }
}

const FIELDS = 9;

/** Draws one population; `tell` hears the temperature reached, 0 to 1, after every piece of work. */
export const runPopulation = (
  module: WebAssembly.Module, input: Uint8Array, number: number, tell: (share: number) => void = () => undefined,
): Population => {
  const kernel = new WebAssembly.Instance(module, {}).exports as unknown as Exports;
  const pointer = kernel.alloc(input.length) >>> 0;
  if (!pointer) throw new KernelError(-17, -1);
  new Uint8Array(kernel.memory.buffer, pointer, input.length).set(input);
  let status = kernel.setup(pointer, input.length, number);
  while (status === 0) {
    status = kernel.advance();
    tell(kernel.progress());
  }
  if (status < 0) throw new KernelError(status, kernel.errorIndex());
  const field = (n: number): Uint8Array<ArrayBuffer> => {
    const start = kernel.fieldPointer(n) >>> 0;
    return new Uint8Array(kernel.memory.buffer).slice(start, start + kernel.fieldSize(n));
  };
  const all = Array.from({ length: FIELDS }, (_, n) => field(n));
  const summary = new Float64Array(all[0]!.buffer);
  const whole = new Uint8Array(all.reduce((sum, one) => sum + one.length, 0));
  let at = 0;
  for (const one of all) {
    whole.set(one, at);
    at += one.length;
  }
  return {
    number, logEvidence: summary[0]!, variance: summary[1]!, chains: summary[4]!, count: all[7]!.length,
    source: all[2]!, reach: all[3]!, soil: all[4]!, nest: all[5]!, load: all[7]!, digest: sha256(whole),
  };
};
