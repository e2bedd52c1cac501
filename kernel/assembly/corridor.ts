/**
 * The corridor: the passages and sources that could plausibly feed what was found.
 *
 * A sign far from every likely source is missed silently by annealing alone, because no draw from
 * the prior ever reaches it. So the prior is first tilted towards the corridor and the tilt is
 * taken back while the signs are switched on. Lengths are -log of the prior chances.
 */
import { log } from "./elementary";
import {
  detail, linkOffset, linkPassage, linkVoid, loadPrior, loads, members, passagePrior,
  passages, rowOf, sourceNamed, sourcePrior, sources, sourceVoid, voids, zoneHeard,
  zoneHit, zoneOffset, zones, zoneVoid,
} from "./problem";
import {
  isTelling, LOG2, readingMembers, readingOffset, readings, readingVoid, saysSomething,
} from "./readings";

const DETOUR: f64 = 3.5; // passages within this of the best path are in the corridor
const TELLS: f64 = 2.0; // a positive: reached explains its row this many times better

const NO_F64 = new StaticArray<f64>(0);
const NO_I32 = new StaticArray<i32>(0);
const NO_U8 = new StaticArray<u8>(0);

export let inCorridorPassage: StaticArray<u8> = NO_U8;
export let inCorridorSource: StaticArray<u8> = NO_U8;
export let positives: i32 = 0; // single voids, then heard zones, then readings
export let positiveOffset: StaticArray<i32> = NO_I32;
export let positiveVoid: StaticArray<i32> = NO_I32;

let fromNamed: StaticArray<f64> = NO_F64;
let fromImplicit: StaticArray<f64> = NO_F64;
let distance: StaticArray<f64> = NO_F64;
let passageCost: StaticArray<f64> = NO_F64;
let sourceCost: StaticArray<f64> = NO_F64;
let heap: StaticArray<i32> = NO_I32;
let place: StaticArray<i32> = NO_I32; // where a void sits in the heap; -1 when it does not
let heapSize: i32 = 0;
let visited: StaticArray<i32> = NO_I32; // voids with a finite distance, to reset them
let visitedCount: i32 = 0;

export function allocateCorridor(): void {
  inCorridorPassage = new StaticArray<u8>(passages);
  inCorridorSource = new StaticArray<u8>(sources);
  positiveOffset = new StaticArray<i32>(voids + zones + readings + 1);
  positiveVoid = new StaticArray<i32>(voids + members + readingMembers);
  fromNamed = new StaticArray<f64>(voids);
  fromImplicit = new StaticArray<f64>(voids);
  distance = new StaticArray<f64>(voids);
  passageCost = new StaticArray<f64>(passages);
  sourceCost = new StaticArray<f64>(sources);
  heap = new StaticArray<i32>(voids);
  place = new StaticArray<i32>(voids);
  visited = new StaticArray<i32>(voids);
}

/** Find the positives that any source can reach, and mark their corridor. */
export function findCorridor(): void {
  for (let p = 0; p < passages; p++) passageCost[p] = -log(passagePrior[p]);
  for (let s = 0; s < sources; s++) sourceCost[s] = -log(activeChance(s));
  for (let v = 0; v < voids; v++) {
    distance[v] = Infinity;
    place[v] = -1;
  }
  spreadFromSources(1, fromNamed);
  spreadFromSources(0, fromImplicit);
  positives = 0;
  positiveOffset[0] = 0;
  for (let v = 0; v < voids; v++) if (isPositive(v)) addVoid(v);
  for (let z = 0; z < zones; z++) if (zoneHeard[z]) addZone(z);
  for (let r = 0; r < readings; r++) if (saysSomething(r)) addReading(r);
}

export function activeChance(s: i32): f64 {
  return sourcePrior[3 * s + 1] + sourcePrior[3 * s + 2];
}

function isPositive(v: i32): bool {
  let none: f64 = 0.0;
  let past: f64 = 0.0;
  let now: f64 = 0.0;
  for (let l = 0; l < loads; l++) {
    const start = (rowOf[v] * loads + l) * 18;
    for (let k = 0; k < 6; k++) {
      none += loadPrior[l] * detail[start + k];
      past += loadPrior[l] * detail[start + 6 + k];
      now += loadPrior[l] * detail[start + 12 + k];
    }
  }
  return Math.max(past, now) > TELLS * none;
}

function addVoid(v: i32): void {
  const end = positiveOffset[positives];
  positiveVoid[end] = v;
  addPositive(end + 1);
}

/** The members of a zone that are heard more when they are reached. */
function addZone(zone: i32): void {
  let end = positiveOffset[positives];
  for (let m = zoneOffset[zone]; m < zoneOffset[zone + 1]; m++) {
    if (Math.max(zoneHit[3 * m + 1], zoneHit[3 * m + 2]) <= zoneHit[3 * m]) continue;
    positiveVoid[end] = zoneVoid[m];
    end += 1;
  }
  addPositive(end);
}

/** The members that alone explain a reading twice as well; where none does, all that help. */
function addReading(r: i32): void {
  const start = positiveOffset[positives];
  let end = addTelling(r, LOG2);
  if (end == start) end = addTelling(r, 0.0);
  addPositive(end);
}

function addTelling(r: i32, least: f64): i32 {
  let end = positiveOffset[positives];
  for (let m = readingOffset[r]; m < readingOffset[r + 1]; m++) {
    if (!isTelling(r, m, least)) continue;
    positiveVoid[end] = readingVoid[m];
    end += 1;
  }
  return end;
}

/** The voids written up to `end` are the next positive, if anything can reach them. */
function addPositive(end: i32): void {
  const start = positiveOffset[positives];
  const named = nearest(fromNamed, start, end);
  const implicit = nearest(fromImplicit, start, end);
  if (named == Infinity && implicit == Infinity) return;
  const farthest = Math.max(named == Infinity ? 0.0 : named, implicit == Infinity ? 0.0 : implicit);
  resetDistances();
  for (let i = start; i < end; i++) offer(positiveVoid[i], 0.0);
  settle(farthest + DETOUR);
  if (named < Infinity) markWithin(fromNamed, 1, named + DETOUR);
  if (implicit < Infinity) markWithin(fromImplicit, 0, implicit + DETOUR);
  positives += 1;
  positiveOffset[positives] = end;
}

function nearest(from: StaticArray<f64>, start: i32, end: i32): f64 {
  let best: f64 = Infinity;
  for (let i = start; i < end; i++) best = Math.min(best, from[positiveVoid[i]]);
  return best;
}

/** Mark what lies on a path no longer than `limit` from a source of the class to the positive. */
function markWithin(from: StaticArray<f64>, named: u8, limit: f64): void {
  for (let i = 0; i < visitedCount; i++) {
    const v = visited[i];
    for (let k = linkOffset[v]; k < linkOffset[v + 1]; k++) {
      const p = linkPassage[k];
      if (from[linkVoid[k]] + passageCost[p] + distance[v] <= limit) inCorridorPassage[p] = 1;
    }
  }
  for (let s = 0; s < sources; s++) {
    if (sourceNamed[s] != named) continue;
    if (sourceCost[s] + distance[sourceVoid[s]] <= limit) inCorridorSource[s] = 1;
  }
}

function spreadFromSources(named: u8, into: StaticArray<f64>): void {
  resetDistances();
  for (let s = 0; s < sources; s++) {
    if (sourceNamed[s] == named && sourceCost[s] < Infinity) offer(sourceVoid[s], sourceCost[s]);
  }
  settle(Infinity);
  for (let v = 0; v < voids; v++) into[v] = distance[v];
}

function resetDistances(): void {
  for (let i = 0; i < visitedCount; i++) distance[visited[i]] = Infinity;
  visitedCount = 0;
}

/** Dijkstra from the offered voids; voids farther than `limit` are left at infinity. */
function settle(limit: f64): void {
  let dropped = false;
  while (heapSize > 0) {
    const v = takeNearest();
    if (distance[v] > limit) dropped = true;
    if (dropped) {
      distance[v] = Infinity; // all that are still waiting lie beyond the limit as well
      continue;
    }
    for (let k = linkOffset[v]; k < linkOffset[v + 1]; k++) {
      offer(linkVoid[k], distance[v] + passageCost[linkPassage[k]]);
    }
  }
}

function offer(v: i32, d: f64): void {
  if (d >= distance[v]) return;
  if (distance[v] == Infinity) {
    visited[visitedCount] = v;
    visitedCount += 1;
  }
  distance[v] = d;
  if (place[v] < 0) {
    place[v] = heapSize;
    heap[heapSize] = v;
    heapSize += 1;
  }
  liftUp(place[v]);
}

function before(a: i32, b: i32): bool {
  return distance[a] < distance[b] || (distance[a] == distance[b] && a < b);
}

function put(v: i32, i: i32): void {
  heap[i] = v;
  place[v] = i;
}

function liftUp(i: i32): void {
  const v = heap[i];
  while (i > 0 && before(v, heap[(i - 1) >> 1])) {
    put(heap[(i - 1) >> 1], i);
    i = (i - 1) >> 1;
  }
  put(v, i);
}

function takeNearest(): i32 {
  const first = heap[0];
  place[first] = -1;
  heapSize -= 1;
  if (heapSize == 0) return first;
  const v = heap[heapSize];
  let i = 0;
  while (2 * i + 1 < heapSize) {
    let child = 2 * i + 1;
    if (child + 1 < heapSize && before(heap[child + 1], heap[child])) child += 1;
    if (!before(heap[child], v)) break;
    put(heap[child], i);
    i = child;
  }
  put(v, i);
  return first;
}
