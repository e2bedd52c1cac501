/**
 * The numeric kernel of the diagnosis: what the host may call. See ../FORMAT.md.
 *
 * One instance of the module works on one population. No imports, no clock, no randomness of its
 * own: the same bytes and the same population number give the same result everywhere.
 */
import * as anneal from "./anneal";
import * as elementary from "./elementary";
import * as problem from "./problem";
import * as random from "./random";

const MOST_INPUT: u32 = 536870912;
let ready: bool = false;
const summary = new StaticArray<f64>(7);

/** Room for the input bytes; 0 when there is none. */
export function alloc(size: u32): usize {
  if (size > MOST_INPUT) return 0;
  if (memory.grow(<i32>(size >> 16) + 2) < 0) return 0;
  return heap.alloc(size);
}

/** Read and check the input, prepare one population: 0 or an error code. Once per instance. */
export function setup(pointer: usize, size: u32, population: u32): i32 {
  if (ready) return problem.ERROR_NOT_READY;
  const code = problem.readProblem(pointer, size);
  if (code != 0) return code;
  ready = true;
  anneal.prepare(population);
  return 0;
}

/** The tilt, once `advance` has found it, in half units of the log-odds; -1 before. */
export function tiltFound(): i32 {
  return anneal.tiltFound;
}

/** Start from the tilt that another population of the same input found: 0 or an error code. */
export function takeTilt(found: i32): i32 {
  if (!ready) return problem.ERROR_NOT_READY;
  return anneal.takeTilt(found);
}

/** What an error code of `setup` refers to: the index of the passage, source, table, zone. */
export function errorIndex(): i32 {
  return problem.errorIndex;
}

/** One piece of work: 0 = more to do, 1 = done, below zero = an error code. */
export function advance(): i32 {
  return anneal.step();
}

/** Temperature reached, from 0 (prior) to 1 (all signs on). */
export function progress(): f64 {
  return anneal.temperature;
}

/** Where a result field lies; the fields are listed in FORMAT.md. */
export function fieldPointer(field: i32): usize {
  const store = anneal.result();
  if (field == 0) return summaryPointer();
  if (field == 1) return changetype<usize>(anneal.temperatures);
  if (field == 2) return changetype<usize>(store.source);
  if (field == 3) return changetype<usize>(store.reach);
  if (field == 4) return changetype<usize>(anneal.soil);
  if (field == 5) return changetype<usize>(anneal.nest);
  if (field == 6) return changetype<usize>(store.run);
  if (field == 7) return changetype<usize>(store.load);
  if (field == 8) return changetype<usize>(store.logLikelihood);
  return 0;
}

/** How many bytes a result field has. */
export function fieldSize(field: i32): i32 {
  if (!ready) return 0;
  const draws = problem.drawCount();
  if (field == 0) return 56;
  if (field == 1) return anneal.steps * 8;
  if (field == 2) return draws * problem.sources;
  if (field >= 3 && field <= 5) return draws * problem.voids;
  if (field == 6) return draws * ((problem.passages + 7) >> 3);
  if (field == 7) return draws;
  if (field == 8) return draws * 8;
  return 0;
}

function summaryPointer(): usize {
  summary[0] = anneal.logEvidence;
  summary[1] = anneal.variance;
  summary[2] = anneal.tilt;
  summary[3] = <f64>anneal.steps;
  summary[4] = <f64>anneal.chainsLeft;
  summary[5] = <f64>(problem.drawCount() / anneal.chainsLeft);
  summary[6] = anneal.correctionShare;
  return changetype<usize>(summary);
}

/** The kernel's own exponential, for the tests. */
export function exp(x: f64): f64 {
  return elementary.exp(x);
}

/** The kernel's own natural logarithm, for the tests. */
export function log(x: f64): f64 {
  return elementary.log(x);
}

/** Bare generator, for the published check vectors: set the state, then draw. */
export function splitmixState(value: u64): void {
  random.setState(value);
}

export function splitmixNext(): u64 {
  return random.next();
}
