/** All kept draws of one population, packed side by side. */
import { passages, sources, voids } from "./problem";

const NO_F64 = new StaticArray<f64>(0);
const NO_I32 = new StaticArray<i32>(0);
const NO_U8 = new StaticArray<u8>(0);

export class Store {
  run: StaticArray<u8> = NO_U8;
  source: StaticArray<u8> = NO_U8;
  reach: StaticArray<u8> = NO_U8;
  load: StaticArray<u8> = NO_U8;
  logLikelihood: StaticArray<f64> = NO_F64;
  counted: StaticArray<i32> = NO_I32;
}

/** Bytes that the run passages of one draw take up. */
export function runBytes(): i32 {
  return (passages + 7) >> 3;
}

export function allocateStore(store: Store, draws: i32): void {
  store.run = new StaticArray<u8>(draws * runBytes());
  store.source = new StaticArray<u8>(draws * sources);
  store.reach = new StaticArray<u8>(draws * voids);
  store.load = new StaticArray<u8>(draws);
  store.logLikelihood = new StaticArray<f64>(draws);
  store.counted = new StaticArray<i32>(draws);
}

export function copyBytes(
  to: StaticArray<u8>, toAt: i32, from: StaticArray<u8>, fromAt: i32, count: i32,
): void {
  memory.copy(changetype<usize>(to) + toAt, changetype<usize>(from) + fromAt, count);
}

/** Draw `from` of one store becomes draw `place` of another. */
export function copyDraw(to: Store, place: i32, from: Store, draw: i32): void {
  const bytes = runBytes();
  copyBytes(to.run, place * bytes, from.run, draw * bytes, bytes);
  copyBytes(to.source, place * sources, from.source, draw * sources, sources);
  copyBytes(to.reach, place * voids, from.reach, draw * voids, voids);
  to.load[place] = from.load[draw];
  to.logLikelihood[place] = from.logLikelihood[draw];
}

/**
 * Systematic resampling: `count` indices from weights that add up to `total`, by one uniform
 * number. They come in ascending order.
 */
export function resampleInto(
  chosen: StaticArray<i32>, count: i32, weights: StaticArray<f64>, total: f64, u: f64,
): void {
  const stride = total / <f64>count;
  let target = u * stride;
  let passed: f64 = weights[0];
  let d = 0;
  for (let c = 0; c < count; c++) {
    while (passed <= target && d < weights.length - 1) {
      d += 1;
      passed += weights[d];
    }
    chosen[c] = d;
    target += stride;
  }
}
