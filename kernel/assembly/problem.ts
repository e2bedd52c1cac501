/**
 * The problem as it lies in memory: read from the byte string of FORMAT.md, checked, indexed.
 *
 * Memory inside the module is unchecked, so nothing may be used before it passed here.
 */
import { log } from "./elementary";
import { readFrom, takeF64, takeI32, takeU8 } from "./bytes";
import {
  checkReadings, hasSoil, prepareReadings, readingMembers, readings, refusedReading, sizeReadings,
  takeReadingDoubles, takeReadingIntegers,
} from "./readings";

export const MAGIC: u32 = 0x314b5357; // "WSK1"

export const VERSION: u32 = 2;
export const HEADER: i32 = 80;
export const FLAG_NO_TILT: u32 = 1;
export const FLAG_WASTE_FREE: u32 = 2;
/** A fault for the calibration study to find: the tilt is never brought back to zero. */
export const FLAG_NO_CORRECTION: u32 = 4;
/** Of a large house: what lies far from every sign is flipped in turns (near.ts). */
export const FLAG_IN_TURNS: u32 = 8;

export const ERROR_HEADER: i32 = -1;
export const ERROR_SIZE: i32 = -2;
export const ERROR_LIMIT: i32 = -3;
export const ERROR_PASSAGE_END: i32 = -4;
export const ERROR_PASSAGE_PRIOR: i32 = -5;
export const ERROR_SOURCE_VOID: i32 = -6;
export const ERROR_SOURCE_PRIOR: i32 = -7;
export const ERROR_LOAD_PRIOR: i32 = -8;
export const ERROR_ROW_INDEX: i32 = -9;
export const ERROR_DETAIL: i32 = -10;
export const ERROR_DETAIL_ZERO: i32 = -11;
export const ERROR_ZONE_OFFSET: i32 = -12;
export const ERROR_ZONE_VOID: i32 = -13;
export const ERROR_ZONE_HIT: i32 = -14;
export const ERROR_ZONE_FALSE: i32 = -15;
export const ERROR_BOOLEAN: i32 = -16;
export const ERROR_MEMORY: i32 = -17;
export const ERROR_NOT_READY: i32 = -18;
export const ERROR_NO_WEIGHT: i32 = -19;
export const ERROR_TOO_MANY_STEPS: i32 = -20;

const MOST_VOIDS: u32 = 100000;
const MOST_PASSAGES: u32 = 1000000;
const MOST_DRAWS: u32 = 65536;
const MOST_LOADS: u32 = 16;
const MOST_READINGS: u32 = 10000;
const MOST_POINTS: u32 = 1000;
const MOST_BYTES: f64 = 1073741824.0;
const LARGEST_WEIGHT: f64 = 1e100; // keeps every sum of weights finite

export let flags: u32 = 0;
export let voids: i32 = 0;
export let passages: i32 = 0;
export let sources: i32 = 0;
export let loads: i32 = 0;
export let tables: i32 = 0;
export let zones: i32 = 0;
export let members: i32 = 0;
export let chains: i32 = 0;
export let sweeps: i32 = 0; // of every chain at each temperature
export let seed: u64 = 0;
export let essFraction: f64 = 0.5;
export let errorIndex: i32 = -1;

const NO_F64 = new StaticArray<f64>(0);
const NO_I32 = new StaticArray<i32>(0);
const NO_U8 = new StaticArray<u8>(0);

export let passagePrior: StaticArray<f64> = NO_F64;
export let sourcePrior: StaticArray<f64> = NO_F64; // [source, 3], normalised
export let loadPrior: StaticArray<f64> = NO_F64; // normalised
export let detail: StaticArray<f64> = NO_F64; // [table, load, reach, 6]
export let zoneHit: StaticArray<f64> = NO_F64; // [member, 3]
export let zoneFalse: StaticArray<f64> = NO_F64;
export let passageEnds: StaticArray<i32> = NO_I32; // [passage, 2]
export let sourceVoid: StaticArray<i32> = NO_I32;
export let rowOf: StaticArray<i32> = NO_I32;
export let zoneOffset: StaticArray<i32> = NO_I32;
export let zoneVoid: StaticArray<i32> = NO_I32;
export let sourceNamed: StaticArray<u8> = NO_U8;
export let zoneHeard: StaticArray<u8> = NO_U8;

// Indices by void, built after the checks.
export let linkOffset: StaticArray<i32> = NO_I32;
export let linkVoid: StaticArray<i32> = NO_I32;
export let linkPassage: StaticArray<i32> = NO_I32;
export let ownOffset: StaticArray<i32> = NO_I32;
export let ownSource: StaticArray<i32> = NO_I32;
export let memberOffset: StaticArray<i32> = NO_I32;
export let memberAt: StaticArray<i32> = NO_I32;
export let memberZone: StaticArray<i32> = NO_I32;

/** Logarithm of the sums the priors were divided by: belongs to the evidence. */
export let priorNormaliser: f64 = 0.0;

function refuse(code: i32, index: i32): i32 {
  errorIndex = index;
  return code;
}

function numberOk(x: f64): bool {
  return x >= 0.0 && x <= LARGEST_WEIGHT; // false for NaN as well
}

/** States kept of every chain: all of them in the waste-free form, otherwise the last. */
export function keptStates(): i32 {
  return flags & FLAG_WASTE_FREE ? sweeps + 1 : 1;
}

/** Draws of one population. */
export function drawCount(): i32 {
  return chains * keptStates();
}

/** Read the byte string; 0 or an error code. */
export function readProblem(pointer: usize, size: u32): i32 {
  errorIndex = -1;
  const header = readHeader(pointer, size);
  if (header != 0) return header;
  const reserved = reserveMemory();
  if (reserved != 0) return reserved;
  readFrom(pointer + HEADER);
  passagePrior = takeF64(passages);
  sourcePrior = takeF64(sources * 3);
  loadPrior = takeF64(loads);
  detail = takeF64(tables * loads * 18);
  zoneHit = takeF64(members * 3);
  zoneFalse = takeF64(zones);
  takeReadingDoubles();
  passageEnds = takeI32(passages * 2);
  sourceVoid = takeI32(sources);
  rowOf = takeI32(voids);
  zoneOffset = takeI32(zones + 1);
  zoneVoid = takeI32(members);
  takeReadingIntegers();
  sourceNamed = takeU8(sources);
  zoneHeard = takeU8(zones);
  let code = checkGraph();
  if (code == 0) code = checkPriors();
  if (code == 0) code = checkDetail();
  if (code == 0) code = checkZones();
  if (code != 0) return code;
  code = checkReadings(voids);
  if (code != 0) return refuse(code, refusedReading());
  normalisePriors();
  buildIndices();
  prepareReadings(voids);
  return 0;
}

function readHeader(pointer: usize, size: u32): i32 {
  if (size < <u32>HEADER || load<u32>(pointer) != MAGIC) return refuse(ERROR_HEADER, 0);
  if (load<u32>(pointer, 4) != VERSION) return refuse(ERROR_HEADER, 1);
  flags = load<u32>(pointer, 8);
  if (flags > 15) return refuse(ERROR_HEADER, 2);
  const v = load<u32>(pointer, 12);
  const p = load<u32>(pointer, 16);
  const e = load<u32>(pointer, 20);
  const l = load<u32>(pointer, 24);
  const u = load<u32>(pointer, 28);
  const z = load<u32>(pointer, 32);
  const m = load<u32>(pointer, 36);
  const c = load<u32>(pointer, 40);
  const k = load<u32>(pointer, 44);
  if (v < 1 || v > MOST_VOIDS) return refuse(ERROR_LIMIT, 3);
  if (p > MOST_PASSAGES) return refuse(ERROR_LIMIT, 4);
  if (e > 4 * MOST_VOIDS) return refuse(ERROR_LIMIT, 5);
  if (l < 1 || l > MOST_LOADS) return refuse(ERROR_LIMIT, 6);
  if (u < 1 || u > MOST_VOIDS) return refuse(ERROR_LIMIT, 7);
  if (z > MOST_VOIDS) return refuse(ERROR_LIMIT, 8);
  if (m > 10 * MOST_VOIDS) return refuse(ERROR_LIMIT, 9);
  if (c < 1 || c > MOST_DRAWS) return refuse(ERROR_LIMIT, 10);
  if (k < 1 || <u64>c * (<u64>k + 1) > <u64>MOST_DRAWS) return refuse(ERROR_LIMIT, 11);
  essFraction = load<f64>(pointer, 56);
  if (!(essFraction >= 0.05 && essFraction <= 0.95)) return refuse(ERROR_LIMIT, 12);
  const r = load<u32>(pointer, 64);
  const s = load<u32>(pointer, 68);
  const g = load<u32>(pointer, 72);
  const soil = load<u32>(pointer, 76);
  if (r > MOST_READINGS) return refuse(ERROR_LIMIT, 13);
  if (s > 10 * MOST_VOIDS) return refuse(ERROR_LIMIT, 14);
  if (g > MOST_POINTS || (r > 0 && g == 0)) return refuse(ERROR_LIMIT, 15);
  if (soil > 1) return refuse(ERROR_LIMIT, 16);
  const smell = 3 * <u64>s * l + g + <u64>r * g + 6 * <u64>s * soil;
  const doubles = <u64>p + 3 * <u64>e + l + 18 * <u64>u * l + 3 * <u64>m + z + smell;
  const integers = 2 * <u64>p + e + v + z + 1 + m + r + 1 + s;
  const expected = (<u64>HEADER + 8 * doubles + 4 * integers + e + z + 7) & ~7;
  if (expected != <u64>size) return refuse(ERROR_SIZE, 0);
  for (let i = <u64>HEADER + 8 * doubles + 4 * integers + e + z; i < expected; i++) {
    if (load<u8>(pointer + <usize>i) != 0) return refuse(ERROR_SIZE, 1); // one form per problem
  }
  voids = v;
  passages = p;
  sources = e;
  loads = l;
  tables = u;
  zones = z;
  members = m;
  sizeReadings(r, s, g, soil == 1, l);
  chains = c;
  sweeps = k;
  seed = load<u64>(pointer, 48);
  return 0;
}

/** Grow the memory once for everything that follows, so that no later allocation can fail. */
function reserveMemory(): i32 {
  const v = <f64>voids;
  const p = <f64>passages;
  const e = <f64>sources;
  const m = <f64>members;
  const t = <f64>tables * <f64>loads;
  const draws = <f64>drawCount();
  const soils = readings > 0 && hasSoil ? 4.0 : 2.0;
  const kept = draws * (2.0 * (p / 8.0 + e + v + 32.0) + soils * v);
  const smell = (24.0 * <f64>loads + 100.0) * <f64>readingMembers + 30000.0 * <f64>readings;
  const work = 280.0 * v + 82.0 * p + 62.0 * e + 80.0 * m + 120.0 * <f64>zones + 300.0 * t;
  const bytes = kept + work + smell + 262144.0;
  if (bytes > MOST_BYTES) return refuse(ERROR_MEMORY, 0);
  const pages = <i32>(bytes / 65536.0) + 1;
  if (memory.grow(pages) < 0) return refuse(ERROR_MEMORY, 1);
  return 0;
}

function checkGraph(): i32 {
  for (let i = 0; i < passages; i++) {
    const a = unchecked(passageEnds[2 * i]);
    const b = unchecked(passageEnds[2 * i + 1]);
    if (a < 0 || a >= voids || b < 0 || b >= voids || a == b) return refuse(ERROR_PASSAGE_END, i);
    const p = unchecked(passagePrior[i]);
    if (!(p >= 1e-12 && p <= 1.0 - 1e-12)) return refuse(ERROR_PASSAGE_PRIOR, i);
  }
  for (let i = 0; i < sources; i++) {
    const v = unchecked(sourceVoid[i]);
    if (v < 0 || v >= voids) return refuse(ERROR_SOURCE_VOID, i);
    if (unchecked(sourceNamed[i]) > 1) return refuse(ERROR_BOOLEAN, i);
  }
  for (let v = 0; v < voids; v++) {
    const row = unchecked(rowOf[v]);
    if (row < 0 || row >= tables) return refuse(ERROR_ROW_INDEX, v);
  }
  return 0;
}

function checkPriors(): i32 {
  for (let i = 0; i < sources; i++) {
    let sum: f64 = 0.0;
    for (let k = 0; k < 3; k++) {
      const w = unchecked(sourcePrior[3 * i + k]);
      if (!numberOk(w)) return refuse(ERROR_SOURCE_PRIOR, i);
      sum += w;
    }
    if (!(sum >= 1e-100)) return refuse(ERROR_SOURCE_PRIOR, i);
  }
  let total: f64 = 0.0;
  for (let l = 0; l < loads; l++) {
    const q = unchecked(loadPrior[l]);
    if (!numberOk(q)) return refuse(ERROR_LOAD_PRIOR, l);
    total += q;
  }
  if (!(total >= 1e-100)) return refuse(ERROR_LOAD_PRIOR, -1);
  return 0;
}

function checkDetail(): i32 {
  const width = loads * 18;
  for (let u = 0; u < tables; u++) {
    let sum: f64 = 0.0;
    for (let i = 0; i < width; i++) {
      const w = unchecked(detail[u * width + i]);
      if (!numberOk(w)) return refuse(ERROR_DETAIL, u);
      sum += w;
    }
    if (!(sum >= 1e-250)) return refuse(ERROR_DETAIL_ZERO, u);
  }
  return 0;
}

function checkZones(): i32 {
  if (unchecked(zoneOffset[0]) != 0) return refuse(ERROR_ZONE_OFFSET, 0);
  for (let z = 0; z < zones; z++) {
    const end = unchecked(zoneOffset[z + 1]);
    if (end < unchecked(zoneOffset[z]) || end > members) return refuse(ERROR_ZONE_OFFSET, z);
    const f = unchecked(zoneFalse[z]);
    if (!(f >= 0.0 && f <= 1.0)) return refuse(ERROR_ZONE_FALSE, z);
    if (unchecked(zoneHeard[z]) > 1) return refuse(ERROR_BOOLEAN, z);
  }
  if (unchecked(zoneOffset[zones]) != members) return refuse(ERROR_ZONE_OFFSET, zones);
  for (let m = 0; m < members; m++) {
    const v = unchecked(zoneVoid[m]);
    if (v < 0 || v >= voids) return refuse(ERROR_ZONE_VOID, m);
    for (let r = 0; r < 3; r++) {
      const h = unchecked(zoneHit[3 * m + r]);
      if (!(h >= 0.0 && h <= 1.0)) return refuse(ERROR_ZONE_HIT, m);
    }
  }
  return 0;
}

function normalisePriors(): void {
  priorNormaliser = 0.0;
  for (let i = 0; i < sources; i++) {
    const sum = sourcePrior[3 * i] + sourcePrior[3 * i + 1] + sourcePrior[3 * i + 2];
    for (let k = 0; k < 3; k++) sourcePrior[3 * i + k] = sourcePrior[3 * i + k] / sum;
    priorNormaliser += log(sum);
  }
  let total: f64 = 0.0;
  for (let l = 0; l < loads; l++) total += loadPrior[l];
  for (let l = 0; l < loads; l++) loadPrior[l] = loadPrior[l] / total;
  priorNormaliser += log(total);
}

/** Turn counts per void, kept one place up, into starts per void. */
function accumulate(offset: StaticArray<i32>): void {
  for (let v = 0; v < voids; v++) offset[v + 1] += offset[v];
}

function buildIndices(): void {
  const fill = new StaticArray<i32>(voids);
  linkOffset = new StaticArray<i32>(voids + 1);
  linkVoid = new StaticArray<i32>(2 * passages);
  linkPassage = new StaticArray<i32>(2 * passages);
  for (let i = 0; i < 2 * passages; i++) linkOffset[passageEnds[i] + 1] += 1;
  accumulate(linkOffset);
  for (let v = 0; v < voids; v++) fill[v] = linkOffset[v];
  for (let i = 0; i < 2 * passages; i++) {
    const v = passageEnds[i];
    linkVoid[fill[v]] = passageEnds[i ^ 1];
    linkPassage[fill[v]] = i >> 1;
    fill[v] += 1;
  }
  ownOffset = new StaticArray<i32>(voids + 1);
  ownSource = new StaticArray<i32>(sources);
  for (let i = 0; i < sources; i++) ownOffset[sourceVoid[i] + 1] += 1;
  accumulate(ownOffset);
  for (let v = 0; v < voids; v++) fill[v] = ownOffset[v];
  for (let i = 0; i < sources; i++) {
    const v = sourceVoid[i];
    ownSource[fill[v]] = i;
    fill[v] += 1;
  }
  memberOffset = new StaticArray<i32>(voids + 1);
  memberAt = new StaticArray<i32>(members);
  memberZone = new StaticArray<i32>(members);
  for (let m = 0; m < members; m++) memberOffset[zoneVoid[m] + 1] += 1;
  accumulate(memberOffset);
  for (let v = 0; v < voids; v++) fill[v] = memberOffset[v];
  for (let z = 0; z < zones; z++) {
    for (let m = zoneOffset[z]; m < zoneOffset[z + 1]; m++) {
      const v = zoneVoid[m];
      memberAt[fill[v]] = m;
      memberZone[fill[v]] = z;
      fill[v] += 1;
    }
  }
}
