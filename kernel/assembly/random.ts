/**
 * Random streams: SplitMix64 (Steele, Lea & Flood 2014), one stream per piece of work.
 *
 * A stream is named by (seed, population, phase, step, chain), never by the order in which work
 * happens to run, so that threads and replays cannot change a draw.
 */
const GOLDEN: u64 = 0x9e3779b97f4a7c15;
const TO_UNIT: f64 = 1.0 / 9007199254740992.0; // 2 to the -53

let root: u64 = 0;
let state: u64 = 0;

function mix(z: u64): u64 {
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9;
  z = (z ^ (z >> 27)) * 0x94d049bb133111eb;
  return z ^ (z >> 31);
}

function fold(hash: u64, field: u64): u64 {
  return mix((hash ^ field) + GOLDEN);
}

/** Fix the seed and the population of every stream opened from now on. */
export function setRoot(seed: u64, population: u64): void {
  root = fold(fold(0, seed), population);
}

/** Open the stream of one piece of work. */
export function openStream(phase: u64, step: u64, chain: u64): void {
  state = fold(fold(fold(root, phase), step), chain);
}

/** Set the bare generator state (for the published check vectors). */
export function setState(value: u64): void {
  state = value;
}

export function next(): u64 {
  state += GOLDEN;
  return mix(state);
}

/** Uniform in [0, 1) with 53 random bits. */
export function uniform(): f64 {
  return <f64>(<i64>(next() >> 11)) * TO_UNIT;
}
