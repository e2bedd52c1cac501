/**
 * Annealed sequential Monte Carlo (Del Moral, Doucet & Jasra 2006): many draws with a sweep each
 * per temperature; or few chains with every state kept (waste-free form, Dau & Chopin 2022).
 *
 * Each call of `advance` does one piece of work and returns, so that the host can show progress
 * and stop.
 */
import { exp, log } from "./elementary";
import { openStream, setRoot, uniform } from "./random";
import { allocateMoves, setTarget, sweep } from "./moves";
import { findNear } from "./near";
import { prepareEvidence } from "./evidence";
import {
  activeChance, allocateCorridor, findCorridor, inCorridorPassage, inCorridorSource,
  positiveOffset, positives, positiveVoid,
} from "./corridor";
import {
  chains, drawCount, ERROR_NO_WEIGHT, ERROR_NOT_READY, ERROR_TOO_MANY_STEPS,
  essFraction, FLAG_NO_CORRECTION, FLAG_NO_TILT, FLAG_WASTE_FREE, flags, keptStates, loadPrior,
  loads, passagePrior, passages, priorNormaliser, seed, sourcePrior, sources, sweeps, voids,
} from "./problem";
import {
  allocateState, houseLoad, logLikelihood, packRun, reach, rebuildJoined, rebuildLikelihood,
  rebuildReach, rebuildTop, run, setLoad, source, unpackRun,
} from "./state";
import { hasSoil, readings } from "./readings";
import { allocateSoil, drawCells } from "./soil";
import {
  allocateStore, copyBytes, copyDraw, resampleInto, runBytes as bytesOfRun, Store,
} from "./store";

const PHASE_TILT: u64 = 1;
const PHASE_PRIOR: u64 = 2;
const PHASE_RESAMPLE: u64 = 3;
const PHASE_SWEEP: u64 = 4;
const PHASE_SOIL: u64 = 5;
const PHASE_CORRECT: u64 = 6;
const SHARED: u64 = 0xffffffff; // the tilt is the same in every population

const TILT_DRAWS: i32 = 512;
const TILT_SHARE: f64 = 0.3;
const TILT_STEP: f64 = 0.5;
const TILT_STEPS: i32 = 10;
const MOST_STEPS: i32 = 1000;
const BISECTIONS: i32 = 40;

const NO_F64 = new StaticArray<f64>(0);
const NO_I32 = new StaticArray<i32>(0);
const NO_U8 = new StaticArray<u8>(0);

const WAITING = 0;
const CORRIDOR = 1;
const TILTING = 2;
const DRAWING = 3;
const WEIGHING = 4;
const SWEEPING = 5;
const SOILING = 6;
export const DONE = 7;

export let phase: i32 = WAITING;
let failure: i32 = 0;
let population: u64 = 0;
let draws: i32 = 0;
let runBytes: i32 = 0;
let front: Store = new Store();
let back: Store = new Store();

export let tilt: f64 = 0.0;
export let tiltFound: i32 = -1; // in half units of the log-odds; -1 until it is known
let tiltLow: i32 = 0;
let tiltHigh: i32 = 0;
let tiltHits: StaticArray<i32> = NO_I32;

export let temperature: f64 = 0.0;
export let steps: i32 = 0;
export let logEvidence: f64 = 0.0;
export let variance: f64 = 0.0;
export let chainsLeft: i32 = 0; // chains of the draws as they are handed out
export let correctionShare: f64 = 1.0; // effective share of the draws in the last correction
export let temperatures: StaticArray<f64> = NO_F64;
let sweepIndex: i32 = 0;
let weights: StaticArray<f64> = NO_F64;
let slope: StaticArray<f64> = NO_F64;
let ancestors: StaticArray<i32> = NO_I32;

export let soil: StaticArray<u8> = NO_U8;
export let nest: StaticArray<u8> = NO_U8;

export function result(): Store {
  return front;
}

export function prepare(populationNumber: u32): void {
  population = <u64>populationNumber;
  draws = drawCount();
  runBytes = bytesOfRun();
  prepareEvidence();
  allocateState();
  allocateCorridor();
  allocateMoves();
  allocateStore(front, draws);
  allocateStore(back, draws);
  allocateSoil();
  temperatures = new StaticArray<f64>(MOST_STEPS + 1);
  weights = new StaticArray<f64>(draws);
  slope = new StaticArray<f64>(draws);
  ancestors = new StaticArray<i32>(chains);
  soil = new StaticArray<u8>(draws * voids);
  nest = new StaticArray<u8>(draws * voids);
  temperature = 0.0;
  tilt = 0.0;
  tiltFound = -1;
  steps = 0;
  logEvidence = priorNormaliser;
  variance = 0.0;
  chainsLeft = chains;
  correctionShare = 1.0;
  failure = 0;
  phase = CORRIDOR;
}

/** The tilt that another population of this problem found, to save finding it anew. */
export function takeTilt(found: i32): i32 {
  if (phase != CORRIDOR || found < 0 || found > TILT_STEPS) return ERROR_NOT_READY;
  tiltFound = found;
  return 0;
}

/** One piece of work: 0 = more to do, 1 = done, below zero = an error code. */
export function step(): i32 {
  if (failure != 0) return failure;
  if (phase == DONE) return 1;
  if (phase == WAITING) failure = ERROR_NOT_READY;
  else if (phase == CORRIDOR) startCorridor();
  else if (phase == TILTING) tryTilt();
  else if (phase == DRAWING) drawPrior();
  else if (phase == WEIGHING) failure = weighAndResample();
  else if (phase == SWEEPING) sweepAll();
  else if (phase == SOILING) drawSoil();
  if (failure != 0) return failure;
  return phase == DONE ? 1 : 0;
}

function startCorridor(): void {
  findCorridor();
  findNear();
  tiltHits = new StaticArray<i32>(positives);
  tiltLow = max(tiltFound, 0);
  tiltHigh = tiltFound < 0 ? TILT_STEPS : tiltFound;
  const none = positives == 0 || (flags & FLAG_NO_TILT) != 0;
  if (none) tiltFound = 0;
  phase = none ? DRAWING : TILTING;
}

/**
 * One bisection step for the smallest sufficient tilt. The trial draws use the same random numbers
 * at every tilt, so that a larger tilt only ever reaches more.
 */
function tryTilt(): void {
  const middle = (tiltLow + tiltHigh) >> 1;
  if (tiltLow == tiltHigh) {
    tilt = TILT_STEP * <f64>middle;
    tiltFound = middle;
    phase = DRAWING;
    return;
  }
  for (let i = 0; i < positives; i++) tiltHits[i] = 0;
  setRoot(seed, SHARED);
  for (let d = 0; d < TILT_DRAWS; d++) {
    openStream(PHASE_TILT, 0, d);
    drawTilted(TILT_STEP * <f64>middle);
    countHits();
  }
  let least = TILT_DRAWS;
  for (let i = 0; i < positives; i++) least = min(least, tiltHits[i]);
  if (<f64>least >= TILT_SHARE * <f64>TILT_DRAWS) tiltHigh = middle;
  else tiltLow = middle + 1;
}

function countHits(): void {
  for (let i = 0; i < positives; i++) {
    for (let k = positiveOffset[i]; k < positiveOffset[i + 1]; k++) {
      if (reach[positiveVoid[k]] > 0) {
        tiltHits[i] += 1;
        break;
      }
    }
  }
}

/** Draw the working state from the prior with the corridor's odds times exp(s). */
function drawTilted(s: f64): void {
  const boost = exp(s);
  for (let p = 0; p < passages; p++) {
    const up = unchecked(passagePrior[p]) * (unchecked(inCorridorPassage[p]) ? boost : 1.0);
    const down = 1.0 - unchecked(passagePrior[p]);
    unchecked((run[p] = uniform() * (up + down) < up ? 1 : 0));
  }
  for (let i = 0; i < sources; i++) {
    const never = unchecked(sourcePrior[3 * i]);
    const past = unchecked(sourcePrior[3 * i + 1]);
    const now = unchecked(sourcePrior[3 * i + 2]);
    const active = (past + now) * (unchecked(inCorridorSource[i]) ? boost : 1.0);
    const isActive = uniform() * (active + never) < active;
    const isNow = uniform() * (past + now) < now;
    unchecked((source[i] = isActive ? (isNow ? 2 : 1) : 0));
  }
  let left = uniform();
  let level = 0;
  while (level < loads - 1 && left >= loadPrior[level]) {
    left -= loadPrior[level];
    level += 1;
  }
  setLoad(level);
  rebuildJoined();
  rebuildTop();
  rebuildReach();
}

function drawPrior(): void {
  setRoot(seed, population);
  for (let d = 0; d < draws; d++) {
    openStream(PHASE_PRIOR, 0, d);
    drawTilted(tilt);
    rebuildLikelihood();
    keep(d);
  }
  logEvidence += tiltedNormaliser();
  phase = WEIGHING;
}

/** Logarithm of the tilted prior's normaliser: a product over passages and sources. */
function tiltedNormaliser(): f64 {
  const boost = exp(tilt);
  let sum: f64 = 0.0;
  for (let p = 0; p < passages; p++) {
    if (inCorridorPassage[p]) sum += log(1.0 - passagePrior[p] + passagePrior[p] * boost);
  }
  for (let s = 0; s < sources; s++) {
    if (inCorridorSource[s]) sum += log(sourcePrior[3 * s] + activeChance(s) * boost);
  }
  return sum;
}

/** Write the working state into place d of the front store. */
function keep(d: i32): void {
  let count = 0;
  packRun(front.run, d * runBytes, runBytes);
  for (let p = 0; p < passages; p++) {
    count += <i32>unchecked(run[p]) & <i32>unchecked(inCorridorPassage[p]);
  }
  for (let s = 0; s < sources; s++) {
    count += <i32>(unchecked(source[s]) != 0) & <i32>unchecked(inCorridorSource[s]);
  }
  copyBytes(front.source, d * sources, source, 0, sources);
  copyBytes(front.reach, d * voids, reach, 0, voids);
  front.load[d] = <u8>houseLoad;
  front.logLikelihood[d] = logLikelihood;
  front.counted[d] = count;
}

/** Read draw d of the front store into the working state. */
function fetch(d: i32): void {
  unpackRun(front.run, d * runBytes, runBytes);
  copyBytes(source, 0, front.source, d * sources, sources);
  copyBytes(reach, 0, front.reach, d * voids, voids);
  setLoad(front.load[d]);
  rebuildTop();
  rebuildLikelihood();
}

/** Effective share of the draws if the temperature rose by `rise`. */
function essShare(rise: f64, steepest: f64): f64 {
  let sum: f64 = 0.0;
  let squares: f64 = 0.0;
  for (let d = 0; d < draws; d++) {
    const w = exp(rise * (unchecked(slope[d]) - steepest));
    sum += w;
    squares += w * w;
  }
  return (sum * sum) / (squares * <f64>draws);
}

function largestRise(steepest: f64): f64 {
  const whole = 1.0 - temperature;
  if (essShare(whole, steepest) >= essFraction) return whole;
  let low: f64 = 0.0;
  let high = whole;
  for (let i = 0; i < BISECTIONS; i++) {
    const middle = 0.5 * (low + high);
    if (essShare(middle, steepest) >= essFraction) low = middle;
    else high = middle;
  }
  return low;
}

/** Next temperature, evidence, resampling; leaves the ancestors as the start of every chain. */
function weighAndResample(): i32 {
  if (steps >= MOST_STEPS) return ERROR_TOO_MANY_STEPS;
  let steepest: f64 = -Infinity;
  const falling = flags & FLAG_NO_CORRECTION ? 0.0 : tilt;
  for (let d = 0; d < draws; d++) {
    slope[d] = front.logLikelihood[d] - falling * <f64>front.counted[d];
    steepest = Math.max(steepest, slope[d]);
  }
  if (!(steepest > -1e300 && steepest < 1e300)) return ERROR_NO_WEIGHT;
  const rise = largestRise(steepest);
  if (!(rise > 0.0)) return ERROR_TOO_MANY_STEPS;
  temperature = rise >= 1.0 - temperature ? 1.0 : temperature + rise;
  let total: f64 = 0.0;
  for (let d = 0; d < draws; d++) {
    weights[d] = exp(rise * (slope[d] - steepest));
    total += weights[d];
  }
  if (!(total > 0.0)) return ERROR_NO_WEIGHT;
  logEvidence += rise * steepest + log(total / <f64>draws);
  variance += relativeVariance(total / <f64>draws);
  temperatures[steps] = temperature;
  steps += 1;
  resample(total);
  setTarget(temperature, tilt);
  sweepIndex = 1;
  phase = SWEEPING;
  return 0;
}

/** Squared relative error of the mean weight, from the chains' own means. */
function relativeVariance(mean: f64): f64 {
  const each = keptStates();
  let sum: f64 = 0.0;
  for (let c = 0; c < chains; c++) {
    let chain: f64 = 0.0;
    for (let k = 0; k < each; k++) chain += weights[k * chains + c];
    const off = chain / (<f64>each * mean) - 1.0;
    sum += off * off;
  }
  return sum / (<f64>chains * <f64>chains);
}

/** One ancestor per chain into the other store. */
function resample(total: f64): void {
  openStream(PHASE_RESAMPLE, steps, 0);
  resampleInto(ancestors, chains, weights, total, uniform());
  for (let c = 0; c < chains; c++) copyDraw(back, c, front, ancestors[c]);
  swapStores();
}

function swapStores(): void {
  const swap = front;
  front = back;
  back = swap;
}

/** One sweep of every chain. */
function sweepAll(): void {
  const number = (steps - 1) * sweeps + sweepIndex - 1;
  const inPlace = (flags & FLAG_WASTE_FREE) == 0;
  for (let c = 0; c < chains; c++) {
    openStream(PHASE_SWEEP, (<u64>steps << 32) | <u64>sweepIndex, c);
    fetch(inPlace ? c : (sweepIndex - 1) * chains + c);
    if (sweepIndex == 1 && !inPlace) keep(c); // the ancestor is a draw of its own
    sweep(number);
    keep(inPlace ? c : sweepIndex * chains + c);
  }
  sweepIndex += 1;
  if (sweepIndex <= sweeps) return;
  phase = temperature >= 1.0 ? SOILING : WEIGHING;
}

/** Soiling and nest of every void in every draw; then the readings are put right. */
function drawSoil(): void {
  const correct = readings > 0 && hasSoil;
  for (let d = 0; d < draws; d++) {
    openStream(PHASE_SOIL, 0, d);
    weights[d] = drawCells(front, d, soil, nest, correct);
  }
  if (correct) correctReadings();
  phase = DONE;
}

/** The weights are logarithms: the last step of the annealing, without a sweep after it. */
function correctReadings(): void {
  let best: f64 = -Infinity;
  for (let d = 0; d < draws; d++) best = Math.max(best, weights[d]);
  let total: f64 = 0.0;
  let squares: f64 = 0.0;
  for (let d = 0; d < draws; d++) {
    weights[d] = exp(weights[d] - best);
    total += weights[d];
    squares += weights[d] * weights[d];
  }
  logEvidence += best + log(total / <f64>draws);
  variance += relativeVariance(total / <f64>draws);
  correctionShare = (total * total) / (squares * <f64>draws);
  openStream(PHASE_CORRECT, 0, 0);
  const chosen = new StaticArray<i32>(draws);
  resampleInto(chosen, draws, weights, total, uniform());
  const newSoil = new StaticArray<u8>(draws * voids);
  const newNest = new StaticArray<u8>(draws * voids);
  for (let d = 0; d < draws; d++) {
    copyDraw(back, d, front, chosen[d]);
    copyBytes(newSoil, d * voids, soil, chosen[d] * voids, voids);
    copyBytes(newNest, d * voids, nest, chosen[d] * voids, voids);
  }
  swapStores();
  soil = newSoil;
  nest = newNest;
  chainsLeft = draws; // chains are torn apart: every draw counts as one of its own
}
