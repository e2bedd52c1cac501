/**
 * Linear readings: what a room smells of is the sum of what many voids send there.
 *
 * A reading is a curve of log likelihood over the log of that sum. While the draws are annealed,
 * a void sends what it sends on average given load and reach; what its soil and nest send is put
 * right at the end (soil.ts). Sums are kept up to date by differences and made anew every sweep.
 */
import { log } from "./elementary";
import { takeF64, takeI32 } from "./bytes";

const LEAST: f64 = 1e-12; // a sum below this counts as this
const LARGEST: f64 = 1e100;
const LARGEST_LOG: f64 = 1e6;
export const LOG2: f64 = 0.6931471805599453;

export const ERROR_READING_OFFSET: i32 = -21;
export const ERROR_READING_VOID: i32 = -22;
export const ERROR_EMISSION: i32 = -23;
export const ERROR_GRID: i32 = -24;
export const ERROR_CURVE: i32 = -25;
export const ERROR_SOIL_EMISSION: i32 = -26;

const NO_F64 = new StaticArray<f64>(0);
const NO_I32 = new StaticArray<i32>(0);
const NO_U8 = new StaticArray<u8>(0);

export let readings: i32 = 0;
export let readingMembers: i32 = 0;
export let hasSoil: bool = false;
export let readingOffset: StaticArray<i32> = NO_I32;
export let readingVoid: StaticArray<i32> = NO_I32;
export let emission: StaticArray<f64> = NO_F64; // [member, load, reach]
export let soilEmission: StaticArray<f64> = NO_F64; // [member, 6]
let points: i32 = 0;
let loads: i32 = 0;
let grid: StaticArray<f64> = NO_F64;
let curve: StaticArray<f64> = NO_F64; // [reading, point]
let bestAbove: StaticArray<f64> = NO_F64; // best of the curve at this point and above
let bestBelow: StaticArray<f64> = NO_F64; // at this point and below
let monotone: StaticArray<u8> = NO_U8; // a higher reach never sends less

// By void: its places among the members, and their readings.
export let sendOffset: StaticArray<i32> = NO_I32;
let sendAt: StaticArray<i32> = NO_I32;
let sendTo: StaticArray<i32> = NO_I32;

// The draw under work.
let sums: StaticArray<f64> = NO_F64;
let values: StaticArray<f64> = NO_F64;
let newSums: StaticArray<f64> = NO_F64;
let newValues: StaticArray<f64> = NO_F64;
let spots: StaticArray<i32> = NO_I32; // last point of the grid not above the sum
let newSpots: StaticArray<i32> = NO_I32;
let marks: StaticArray<i32> = NO_I32;
let touched: StaticArray<i32> = NO_I32;
let touchedCount: i32 = 0;
let stamp: i32 = 0;
export let readingsRise: f64 = 0.0; // the most that all of them could gain if reaches only rose
export let readingsFall: f64 = 0.0;

/** Sizes as the header states them. */
export function sizeReadings(r: i32, m: i32, g: i32, soil: bool, l: i32): void {
  readings = r;
  readingMembers = m;
  points = g;
  hasSoil = soil;
  loads = l;
}

export function takeReadingDoubles(): void {
  emission = takeF64(readingMembers * loads * 3);
  grid = takeF64(points);
  curve = takeF64(readings * points);
  soilEmission = takeF64(hasSoil ? readingMembers * 6 : 0);
}

export function takeReadingIntegers(): void {
  readingOffset = takeI32(readings + 1);
  readingVoid = takeI32(readingMembers);
}

let place: i32 = -1;

/** Which reading, member or point the last refusal was about. */
export function refusedReading(): i32 {
  return place;
}

/** 0 or an error code. */
export function checkReadings(voids: i32): i32 {
  for (let r = 0; r <= readings; r++) {
    place = r;
    if (r == 0 && readingOffset[0] != 0) return ERROR_READING_OFFSET;
    if (r > 0 && readingOffset[r] < readingOffset[r - 1]) return ERROR_READING_OFFSET;
    if (readingOffset[r] > readingMembers) return ERROR_READING_OFFSET;
  }
  if (readingOffset[readings] != readingMembers) return ERROR_READING_OFFSET;
  for (let m = 0; m < readingMembers; m++) {
    place = m;
    if (readingVoid[m] < 0 || readingVoid[m] >= voids) return ERROR_READING_VOID;
  }
  if (!allWithin(emission, 0.0, LARGEST, 3 * loads)) return ERROR_EMISSION;
  if (!allWithin(soilEmission, 0.0, LARGEST, 6)) return ERROR_SOIL_EMISSION;
  if (!allWithin(grid, -LARGEST_LOG, LARGEST_LOG, 1)) return ERROR_GRID;
  for (let g = 1; g < points; g++) {
    place = g;
    if (!(grid[g] > grid[g - 1])) return ERROR_GRID;
  }
  return allWithin(curve, -LARGEST_LOG, LARGEST_LOG, points) ? 0 : ERROR_CURVE;
}

function allWithin(array: StaticArray<f64>, low: f64, high: f64, width: i32): bool {
  for (let i = 0; i < array.length; i++) {
    place = i / width;
    if (!(array[i] >= low && array[i] <= high)) return false; // false for NaN as well
  }
  return true;
}

/** Indices, bounds and room to work in; after the checks. */
export function prepareReadings(voids: i32): void {
  sendOffset = new StaticArray<i32>(voids + 1);
  sendAt = new StaticArray<i32>(readingMembers);
  sendTo = new StaticArray<i32>(readingMembers);
  for (let m = 0; m < readingMembers; m++) sendOffset[readingVoid[m] + 1] += 1;
  for (let v = 0; v < voids; v++) sendOffset[v + 1] += sendOffset[v];
  const fill = new StaticArray<i32>(voids);
  for (let v = 0; v < voids; v++) fill[v] = sendOffset[v];
  monotone = new StaticArray<u8>(readings);
  for (let r = 0; r < readings; r++) {
    monotone[r] = 1;
    for (let m = readingOffset[r]; m < readingOffset[r + 1]; m++) {
      const v = readingVoid[m];
      sendAt[fill[v]] = m;
      sendTo[fill[v]] = r;
      fill[v] += 1;
      if (!sendsMoreWithReach(m)) monotone[r] = 0;
    }
  }
  prepareBests();
  sums = new StaticArray<f64>(readings);
  values = new StaticArray<f64>(readings);
  newSums = new StaticArray<f64>(readings);
  newValues = new StaticArray<f64>(readings);
  spots = new StaticArray<i32>(readings);
  newSpots = new StaticArray<i32>(readings);
  marks = new StaticArray<i32>(readings);
  touched = new StaticArray<i32>(readings);
}

function sendsMoreWithReach(m: i32): bool {
  for (let l = 0; l < loads; l++) {
    const at = (m * loads + l) * 3;
    if (emission[at] > emission[at + 1] || emission[at + 1] > emission[at + 2]) return false;
  }
  return true;
}

function prepareBests(): void {
  bestAbove = new StaticArray<f64>(readings * points);
  bestBelow = new StaticArray<f64>(readings * points);
  for (let r = 0; r < readings; r++) {
    const at = r * points;
    bestBelow[at] = curve[at];
    for (let g = 1; g < points; g++) {
      bestBelow[at + g] = Math.max(bestBelow[at + g - 1], curve[at + g]);
    }
    bestAbove[at + points - 1] = curve[at + points - 1];
    for (let g = points - 2; g >= 0; g--) {
      bestAbove[at + g] = Math.max(bestAbove[at + g + 1], curve[at + g]);
    }
  }
}

/** Whether a reading says, by more than a factor of two, that something is there. */
export function saysSomething(r: i32): bool {
  return curve[(r + 1) * points - 1] - curve[r * points] > LOG2;
}

/** Whether a member of `r`, reached, alone raises the reading by more than `least` nats. */
export function isTelling(r: i32, m: i32, least: f64): bool {
  for (let l = 0; l < loads; l++) {
    const at = (m * loads + l) * 3;
    const most = Math.max(emission[at + 1], emission[at + 2]);
    if (readingLogOf(r, most) - readingLogOf(r, emission[at]) > least) return true;
  }
  return false;
}

let lastPoint: i32 = 0; // of the reading that was looked up last

/** Last point of the grid that is not above `x`; the first where none is. */
function pointBelow(x: f64): i32 {
  let low = 0;
  let high = points;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (unchecked(grid[middle]) <= x) low = middle;
    else high = middle;
  }
  return low;
}

/** Log likelihood of a reading at a sum: linear between the points, level beyond them. */
export function readingLogOf(r: i32, sum: f64): f64 {
  const x = log(Math.max(sum, LEAST));
  const g = pointBelow(x);
  lastPoint = g;
  const here = unchecked(curve[r * points + g]);
  const start = unchecked(grid[g]);
  if (g == points - 1 || x <= start) return here;
  const share = (x - start) / (unchecked(grid[g + 1]) - start);
  return here + share * (unchecked(curve[r * points + g + 1]) - here);
}

/** The most a reading with `value` after point `g` could gain if reaches only rose. */
function riseOf(r: i32, g: i32, value: f64): f64 {
  const from = unchecked(monotone[r]) ? g : 0;
  return Math.max(0.0, unchecked(bestAbove[r * points + from]) - value);
}

/** The most it could gain if reaches only fell. */
function fallOf(r: i32, g: i32, value: f64): f64 {
  const to = unchecked(monotone[r]) ? min(g + 1, points - 1) : points - 1;
  return Math.max(0.0, unchecked(bestBelow[r * points + to]) - value);
}

/** What the voids at these reaches send to a reading on average. */
function sumOf(r: i32, reach: StaticArray<u8>, from: i32, load: i32): f64 {
  let sum: f64 = 0.0;
  for (let m = unchecked(readingOffset[r]); m < unchecked(readingOffset[r + 1]); m++) {
    const level = unchecked(reach[from + unchecked(readingVoid[m])]);
    sum += unchecked(emission[(m * loads + load) * 3 + level]);
  }
  return sum;
}

/** Log likelihood of all readings together. */
export function readingsAt(reach: StaticArray<u8>, from: i32, load: i32): f64 {
  let total: f64 = 0.0;
  for (let r = 0; r < readings; r++) total += readingLogOf(r, sumOf(r, reach, from, load));
  return total;
}

/** Sums and bounds from nothing; the log likelihood of all readings together. */
export function rebuildReadings(reach: StaticArray<u8>, load: i32): f64 {
  let total: f64 = 0.0;
  readingsRise = 0.0;
  readingsFall = 0.0;
  for (let r = 0; r < readings; r++) {
    const sum = sumOf(r, reach, 0, load);
    const value = readingLogOf(r, sum);
    unchecked((sums[r] = sum));
    unchecked((values[r] = value));
    unchecked((spots[r] = lastPoint));
    total += value;
    readingsRise += riseOf(r, lastPoint, value);
    readingsFall += fallOf(r, lastPoint, value);
  }
  return total;
}

/** Begin to weigh one change. */
export function startReadings(): void {
  if (stamp > 2000000000) {
    memory.fill(changetype<usize>(marks), 0, <usize>readings << 2);
    stamp = 0;
  }
  stamp += 1;
  touchedCount = 0;
}

/** Void `v` would go from reach `old` to `level`. */
export function touchReadings(v: i32, old: u8, level: u8, load: i32): void {
  for (let i = unchecked(sendOffset[v]); i < unchecked(sendOffset[v + 1]); i++) {
    const r = unchecked(sendTo[i]);
    if (unchecked(marks[r]) != stamp) {
      unchecked((marks[r] = stamp));
      unchecked((newSums[r] = unchecked(sums[r])));
      unchecked((touched[touchedCount] = r));
      touchedCount += 1;
    }
    const at = (unchecked(sendAt[i]) * loads + load) * 3;
    const step = unchecked(emission[at + level]) - unchecked(emission[at + old]);
    unchecked((newSums[r] = unchecked(newSums[r]) + step));
  }
}

/** Log likelihood that all touched readings would gain. */
export function weighReadings(): f64 {
  let change: f64 = 0.0;
  for (let i = 0; i < touchedCount; i++) {
    const r = unchecked(touched[i]);
    const value = readingLogOf(r, unchecked(newSums[r]));
    unchecked((newValues[r] = value));
    unchecked((newSpots[r] = lastPoint));
    change += value - unchecked(values[r]);
  }
  return change;
}

/** Take over what was weighed. */
export function takeReadings(): void {
  for (let i = 0; i < touchedCount; i++) {
    const r = unchecked(touched[i]);
    const value = unchecked(values[r]);
    const newValue = unchecked(newValues[r]);
    const g = unchecked(spots[r]);
    const newG = unchecked(newSpots[r]);
    readingsRise += riseOf(r, newG, newValue) - riseOf(r, g, value);
    readingsFall += fallOf(r, newG, newValue) - fallOf(r, g, value);
    unchecked((sums[r] = unchecked(newSums[r])));
    unchecked((values[r] = newValue));
    unchecked((spots[r] = newG));
  }
}
