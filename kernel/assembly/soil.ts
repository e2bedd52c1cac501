/**
 * Soiling and nests, drawn last, and the readings put right for them.
 *
 * Each void's cell comes from its six joint weights. A linear reading was annealed with what the
 * voids send on average; what their cells send differs from draw to draw. So the voids that are
 * smelt are drawn several times over, a draw is weighed by its mean ratio of the two likelihoods,
 * one of its tries is picked by the same ratio, and the draws are resampled (importance
 * resampling with an unbiased weight, as in pseudo-marginal methods, Andrieu & Roberts 2009).
 */
import { exp, log } from "./elementary";
import { uniform } from "./random";
import { detail, loads, rowOf, voids } from "./problem";
import {
  readingLogOf, readingOffset, readings, readingsAt, readingVoid, sendOffset, soilEmission,
} from "./readings";
import { Store } from "./store";

const TRIES: i32 = 16; // 4 leave clearly fewer draws effective, 16 cost a twentieth of the time

const NO_F64 = new StaticArray<f64>(0);
const NO_I32 = new StaticArray<i32>(0);
const NO_U8 = new StaticArray<u8>(0);

let cells: StaticArray<u8> = NO_U8; // [try, void]
let smelt: StaticArray<i32> = NO_I32; // voids that any reading depends on
let ratios: StaticArray<f64> = NO_F64; // by try

export function allocateSoil(): void {
  cells = new StaticArray<u8>(TRIES * voids);
  ratios = new StaticArray<f64>(TRIES);
  let count = 0;
  for (let v = 0; v < voids; v++) if (sendOffset[v + 1] > sendOffset[v]) count += 1;
  smelt = new StaticArray<i32>(count);
  let at = 0;
  for (let v = 0; v < voids; v++) {
    if (sendOffset[v + 1] == sendOffset[v]) continue;
    smelt[at] = v;
    at += 1;
  }
}

/** Draw a cell for every void of draw `d`; with `correct`, the log of the weight it then has. */
export function drawCells(
  store: Store, d: i32, soil: StaticArray<u8>, nest: StaticArray<u8>, correct: bool,
): f64 {
  for (let v = 0; v < voids; v++) unchecked((cells[v] = drawCell(store, d, v)));
  const weight = correct ? chooseTry(store, d) : 0.0;
  for (let v = 0; v < voids; v++) {
    const cell = unchecked(cells[v]);
    unchecked((soil[d * voids + v] = cell >> 1));
    unchecked((nest[d * voids + v] = cell & 1));
  }
  return weight;
}

/** More tries at the smelt voids; the picked one ends as the first. Log of their mean ratio. */
function chooseTry(store: Store, d: i32): f64 {
  for (let k = 1; k < TRIES; k++) {
    for (let i = 0; i < smelt.length; i++) {
      const v = unchecked(smelt[i]);
      unchecked((cells[k * voids + v] = drawCell(store, d, v)));
    }
  }
  let best: f64 = -Infinity;
  for (let k = 0; k < TRIES; k++) {
    ratios[k] = logOfCells(k);
    best = Math.max(best, ratios[k]);
  }
  let total: f64 = 0.0;
  for (let k = 0; k < TRIES; k++) {
    ratios[k] = exp(ratios[k] - best);
    total += ratios[k];
  }
  const pick = pickOf(ratios, 0, TRIES, total);
  for (let i = 0; i < smelt.length; i++) {
    const v = unchecked(smelt[i]);
    unchecked((cells[v] = unchecked(cells[pick * voids + v])));
  }
  const mean = log(total / <f64>TRIES);
  return best + mean - readingsAt(store.reach, d * voids, <i32>store.load[d]);
}

/** Log likelihood of all readings when every void sends what its cell does. */
function logOfCells(k: i32): f64 {
  let total: f64 = 0.0;
  for (let r = 0; r < readings; r++) {
    let sum: f64 = 0.0;
    for (let m = unchecked(readingOffset[r]); m < unchecked(readingOffset[r + 1]); m++) {
      const cell = unchecked(cells[k * voids + unchecked(readingVoid[m])]);
      sum += unchecked(soilEmission[6 * m + cell]);
    }
    total += readingLogOf(r, sum);
  }
  return total;
}

function drawCell(store: Store, d: i32, v: i32): u8 {
  const level = unchecked(store.reach[d * voids + v]);
  const start = ((unchecked(rowOf[v]) * loads + <i32>unchecked(store.load[d])) * 3 + level) * 6;
  let total: f64 = 0.0;
  for (let k = 0; k < 6; k++) total += unchecked(detail[start + k]);
  return <u8>pickOf(detail, start, 6, total);
}

function pickOf(weights: StaticArray<f64>, start: i32, count: i32, total: f64): i32 {
  let left = uniform() * total;
  let pick = 0;
  while (pick < count - 1 && left >= unchecked(weights[start + pick])) {
    left -= unchecked(weights[start + pick]);
    pick += 1;
  }
  return pick;
}
