/**
 * Likelihood tables: rows per void, noisy-or zones, and how much any change could still gain.
 *
 * Soiling and nests are summed out here: a row is the sum of its six joint weights.
 */
import { exp, log, logLikelihoodOf } from "./elementary";
import {
  detail, loads, memberOffset, rowOf, tables, voids, zoneFalse, zoneHeard, zoneHit, zoneOffset,
  zones, members,
} from "./problem";
import { sendOffset } from "./readings";

const SAME: f64 = 1e-12; // rows whose logarithms differ by less carry no evidence

export const CARRIES_ROW: u8 = 1;
export const CARRIES_ZONE: u8 = 2;
export const CARRIES_READING: u8 = 4;

const NO_F64 = new StaticArray<f64>(0);
const NO_I32 = new StaticArray<i32>(0);
const NO_U8 = new StaticArray<u8>(0);

export let rowLog: StaticArray<f64> = NO_F64; // [table, load, reach]
export let rowRise: StaticArray<f64> = NO_F64; // best gain of any higher reach
export let rowFall: StaticArray<f64> = NO_F64; // best gain of any lower reach
export let rowStart: StaticArray<i32> = NO_I32; // per void, into rowLog at load 0
export let carries: StaticArray<u8> = NO_U8; // per void
export let telling: StaticArray<i32> = NO_I32; // voids whose row is not flat
export let tellingCount: i32 = 0;
export let flatLog: f64 = 0.0; // what all flat rows add, whatever the state
export let missLog: StaticArray<f64> = NO_F64; // [member, reach]: log(1 - h)
export let quietLog: StaticArray<f64> = NO_F64; // per zone: log(1 - false rate)
export let zoneMonotone: StaticArray<u8> = NO_U8; // a higher reach is never heard less

export function prepareEvidence(): void {
  prepareRows();
  prepareVoids();
  prepareZones();
}

function prepareRows(): void {
  rowLog = new StaticArray<f64>(tables * loads * 3);
  rowRise = new StaticArray<f64>(tables * loads * 3);
  rowFall = new StaticArray<f64>(tables * loads * 3);
  for (let i = 0; i < tables * loads * 3; i++) {
    let sum: f64 = 0.0;
    for (let k = 0; k < 6; k++) sum += detail[6 * i + k];
    rowLog[i] = logLikelihoodOf(sum);
  }
  for (let t = 0; t < tables * loads; t++) {
    const none = rowLog[3 * t];
    const past = rowLog[3 * t + 1];
    const now = rowLog[3 * t + 2];
    rowRise[3 * t] = Math.max(0.0, Math.max(past, now) - none);
    rowRise[3 * t + 1] = Math.max(0.0, now - past);
    rowFall[3 * t + 1] = Math.max(0.0, none - past);
    rowFall[3 * t + 2] = Math.max(0.0, Math.max(none, past) - now);
  }
}

function isFlat(table: i32): bool {
  const start = table * loads * 3;
  let low = rowLog[start];
  let high = low;
  for (let i = 1; i < loads * 3; i++) {
    low = Math.min(low, rowLog[start + i]);
    high = Math.max(high, rowLog[start + i]);
  }
  return high - low <= SAME;
}

function prepareVoids(): void {
  rowStart = new StaticArray<i32>(voids);
  carries = new StaticArray<u8>(voids);
  telling = new StaticArray<i32>(voids);
  tellingCount = 0;
  flatLog = 0.0;
  for (let v = 0; v < voids; v++) {
    rowStart[v] = rowOf[v] * loads * 3;
    if (isFlat(rowOf[v])) {
      flatLog += rowLog[rowStart[v]];
    } else {
      carries[v] = CARRIES_ROW;
      telling[tellingCount] = v;
      tellingCount += 1;
    }
    if (memberOffset[v + 1] > memberOffset[v]) carries[v] |= CARRIES_ZONE;
    if (sendOffset[v + 1] > sendOffset[v]) carries[v] |= CARRIES_READING;
  }
}

function prepareZones(): void {
  missLog = new StaticArray<f64>(members * 3);
  quietLog = new StaticArray<f64>(zones);
  zoneMonotone = new StaticArray<u8>(zones);
  for (let i = 0; i < members * 3; i++) missLog[i] = logLikelihoodOf(1.0 - zoneHit[i]);
  for (let z = 0; z < zones; z++) {
    quietLog[z] = logLikelihoodOf(1.0 - zoneFalse[z]);
    zoneMonotone[z] = 1;
    for (let m = zoneOffset[z]; m < zoneOffset[z + 1]; m++) {
      const past = zoneHit[3 * m + 1];
      if (zoneHit[3 * m] > past || past > zoneHit[3 * m + 2]) zoneMonotone[z] = 0;
    }
  }
}

/** Log likelihood of a zone whose members' log(1 - h) add up to `sum`. */
export function zoneLogOf(zone: i32, sum: f64): f64 {
  const quiet = quietLog[zone] + sum;
  return zoneHeard[zone] ? log(Math.max(1.0 - exp(quiet), 1e-300)) : quiet;
}

/** The most a zone at log likelihood `now` could gain if reaches only rose. */
export function zoneRise(zone: i32, now: f64): f64 {
  return zoneHeard[zone] || !zoneMonotone[zone] ? Math.max(0.0, -now) : 0.0;
}

/** The most a zone at log likelihood `now` could gain if reaches only fell. */
export function zoneFall(zone: i32, now: f64): f64 {
  return !zoneHeard[zone] || !zoneMonotone[zone] ? Math.max(0.0, -now) : 0.0;
}
