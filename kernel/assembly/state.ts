/**
 * One draw under work: which passages are run, what every source does, whom they reach.
 *
 * `reach` is kept right by every move: the highest state of any source in the void's component
 * over run passages. `top` is the highest state of the sources at the void itself.
 */
import {
  CARRIES_READING, CARRIES_ROW, CARRIES_ZONE, carries, flatLog, missLog, rowFall, rowLog, rowRise, rowStart,
  telling, tellingCount, zoneFall, zoneLogOf, zoneRise,
} from "./evidence";
import {
  linkOffset, memberAt, memberOffset, memberZone, ownOffset,
  ownSource, passageEnds, passages, sources, sourceVoid, voids, zones,
} from "./problem";
import {
  readings, rebuildReadings, startReadings, takeReadings, touchReadings, weighReadings,
} from "./readings";

const NO_F64 = new StaticArray<f64>(0);
const NO_I32 = new StaticArray<i32>(0);
const NO_U8 = new StaticArray<u8>(0);

export let run: StaticArray<u8> = NO_U8;
export let source: StaticArray<u8> = NO_U8;
export let reach: StaticArray<u8> = NO_U8;
export let top: StaticArray<u8> = NO_U8;
export let houseLoad: i32 = 0;
export let logLikelihood: f64 = 0.0;
// Bounds on what the voids at each reach could gain by rising or falling, and all zones together.
export const rise = new StaticArray<f64>(3);
export const fall = new StaticArray<f64>(3);
export let zoneRiseSum: f64 = 0.0;
export let zoneFallSum: f64 = 0.0;

export let queue: StaticArray<i32> = NO_I32;
export let otherQueue: StaticArray<i32> = NO_I32;
const MET = -1;
const NOBODY = -1; // a mark that no search ever uses
let mark: StaticArray<i32> = NO_I32;
let stamp: i32 = 0;

// The run passages of every void: pairs (void beyond, passage), in the room its links take up.
let joinedCount: StaticArray<i32> = NO_I32;
let joined: StaticArray<i32> = NO_I32;

let zoneSum: StaticArray<f64> = NO_F64;
let zoneLog: StaticArray<f64> = NO_F64;
let newSum: StaticArray<f64> = NO_F64;
let newLog: StaticArray<f64> = NO_F64;
let zoneMark: StaticArray<i32> = NO_I32;
let touched: StaticArray<i32> = NO_I32;
export let turn: i64 = 0; // rises with everything that could change what a component would gain

let touchedCount: i32 = 0;
let carried: bool = false; // whether any void just weighed carries a sign
let zoneStamp: i32 = 0;

export function allocateState(): void {
  run = new StaticArray<u8>(passages + 7); // read eight at a time
  source = new StaticArray<u8>(sources);
  reach = new StaticArray<u8>(voids);
  top = new StaticArray<u8>(voids);
  queue = new StaticArray<i32>(voids);
  otherQueue = new StaticArray<i32>(voids);
  mark = new StaticArray<i32>(voids);
  joinedCount = new StaticArray<i32>(voids);
  joined = new StaticArray<i32>(4 * passages);
  zoneSum = new StaticArray<f64>(zones);
  zoneLog = new StaticArray<f64>(zones);
  newSum = new StaticArray<f64>(zones);
  newLog = new StaticArray<f64>(zones);
  zoneMark = new StaticArray<i32>(zones);
  touched = new StaticArray<i32>(zones);
  turn = 0;
  stamp = 0;
  zoneStamp = 0;
}

export function setLoad(level: i32): void {
  houseLoad = level;
}

/** A fresh mark for one search; the marks restart before the counter could run over. */
function nextStamp(): i32 {
  if (stamp > 2000000000) {
    memory.fill(changetype<usize>(mark), 0, <usize>voids << 2);
    stamp = 0;
  }
  stamp += 1;
  return stamp;
}

/** Highest state of the sources at a void, with source `changed` taken to be in `state`. */
export function topWith(v: i32, changed: i32, state: u8): u8 {
  let best: u8 = 0;
  for (let i = unchecked(ownOffset[v]); i < unchecked(ownOffset[v + 1]); i++) {
    const s = unchecked(ownSource[i]);
    const k = s == changed ? state : unchecked(source[s]);
    if (k > best) best = k;
  }
  return best;
}

export function rebuildTop(): void {
  memory.fill(changetype<usize>(top), 0, voids);
  for (let i = 0; i < sources; i++) {
    const v = unchecked(sourceVoid[i]);
    const k = unchecked(source[i]);
    if (k > unchecked(top[v])) unchecked((top[v] = k));
  }
}

/** The lists of run passages from nothing. */
export function rebuildJoined(): void {
  memory.fill(changetype<usize>(joinedCount), 0, <usize>voids << 2);
  for (let p = 0; p < passages; p++) {
    if (unchecked(run[p]) != 0) openPassage(p);
  }
}

/** The passages whose bit is set in `packed`, from byte `at` on, and no other, taken as run. */
export function unpackRun(packed: StaticArray<u8>, at: i32, bytes: i32): void {
  memory.fill(changetype<usize>(run), 0, passages);
  memory.fill(changetype<usize>(joinedCount), 0, <usize>voids << 2);
  for (let b = 0; b < bytes; b++) {
    let byte = <i32>unchecked(packed[at + b]);
    while (byte != 0) {
      openPassage(8 * b + ctz(byte));
      byte &= byte - 1;
    }
  }
}

/** The run passages as bits, lowest first: eight bytes of 0 or 1 become one by a multiplication. */
export function packRun(into: StaticArray<u8>, at: i32, bytes: i32): void {
  const from = changetype<usize>(run);
  for (let b = 0; b < bytes; b++) {
    const eight = load<u64>(from + (<usize>b << 3));
    unchecked((into[at + b] = <u8>((eight * 0x0102040810204080) >> 56)));
  }
}

/** Take passage `p` as run. */
export function openPassage(p: i32): void {
  const a = unchecked(passageEnds[2 * p]);
  const b = unchecked(passageEnds[2 * p + 1]);
  unchecked((run[p] = 1));
  addJoined(a, b, p);
  addJoined(b, a, p);
}

/** Take passage `p` as not run. */
export function closePassage(p: i32): void {
  unchecked((run[p] = 0));
  removeJoined(unchecked(passageEnds[2 * p]), p);
  removeJoined(unchecked(passageEnds[2 * p + 1]), p);
}

function addJoined(v: i32, beyond: i32, p: i32): void {
  const count = unchecked(joinedCount[v]);
  const at = 2 * (unchecked(linkOffset[v]) + count);
  unchecked((joined[at] = beyond));
  unchecked((joined[at + 1] = p));
  unchecked((joinedCount[v] = count + 1));
}

function removeJoined(v: i32, p: i32): void {
  const count = unchecked(joinedCount[v]) - 1;
  const last = 2 * (unchecked(linkOffset[v]) + count);
  let at = 2 * unchecked(linkOffset[v]);
  while (at < last && unchecked(joined[at + 1]) != p) at += 2;
  unchecked((joined[at] = unchecked(joined[last])));
  unchecked((joined[at + 1] = unchecked(joined[last + 1])));
  unchecked((joinedCount[v] = count));
}

/** Reach from nothing: spread from sources in use now, then from past ones. */
export function rebuildReach(): void {
  memory.fill(changetype<usize>(reach), 0, voids);
  for (let level: u8 = 2; level > 0; level--) {
    let tail = 0;
    for (let v = 0; v < voids; v++) {
      if (unchecked(top[v]) == level && unchecked(reach[v]) == 0) {
        unchecked((reach[v] = level));
        unchecked((queue[tail] = v));
        tail += 1;
      }
    }
    for (let head = 0; head < tail; head++) {
      const v = unchecked(queue[head]);
      const first = 2 * unchecked(linkOffset[v]);
      const end = first + 2 * unchecked(joinedCount[v]);
      for (let i = first; i < end; i += 2) {
        const w = unchecked(joined[i]);
        if (unchecked(reach[w]) == 0) {
          unchecked((reach[w] = level));
          unchecked((queue[tail] = w));
          tail += 1;
        }
      }
    }
  }
}

/** Likelihood, zone sums and bounds from nothing, so that rounding never builds up. */
export function rebuildLikelihood(): void {
  logLikelihood = flatLog + rowsAt(houseLoad);
  rebuildRowBounds();
  zoneRiseSum = 0.0;
  zoneFallSum = 0.0;
  memory.fill(changetype<usize>(zoneSum), 0, <usize>zones << 3);
  if (readings > 0) logLikelihood += rebuildReadings(reach, houseLoad);
  if (zones == 0) return;
  for (let v = 0; v < voids; v++) {
    for (let i = unchecked(memberOffset[v]); i < unchecked(memberOffset[v + 1]); i++) {
      const z = unchecked(memberZone[i]);
      const miss = unchecked(missLog[3 * unchecked(memberAt[i]) + unchecked(reach[v])]);
      unchecked((zoneSum[z] = unchecked(zoneSum[z]) + miss));
    }
  }
  for (let z = 0; z < zones; z++) {
    const value = zoneLogOf(z, unchecked(zoneSum[z]));
    unchecked((zoneLog[z] = value));
    logLikelihood += value;
    zoneRiseSum += zoneRise(z, value);
    zoneFallSum += zoneFall(z, value);
  }
}

function rebuildRowBounds(): void {
  for (let r = 0; r < 3; r++) {
    unchecked((rise[r] = 0.0));
    unchecked((fall[r] = 0.0));
  }
  const shift = houseLoad * 3;
  for (let i = 0; i < tellingCount; i++) {
    const v = unchecked(telling[i]);
    const r = unchecked(reach[v]);
    const at = unchecked(rowStart[v]) + shift + r;
    unchecked((rise[r] = unchecked(rise[r]) + unchecked(rowRise[at])));
    unchecked((fall[r] = unchecked(fall[r]) + unchecked(rowFall[at])));
  }
}

/** Sum of the telling rows at a load level. */
export function rowsAt(level: i32): f64 {
  const shift = level * 3;
  let sum: f64 = 0.0;
  for (let i = 0; i < tellingCount; i++) {
    const v = unchecked(telling[i]);
    sum += unchecked(rowLog[unchecked(rowStart[v]) + shift + unchecked(reach[v])]);
  }
  return sum;
}

/** Whether `v` was met by the last search, so that `queue` still holds its component. */
export function isGathered(v: i32): bool {
  return unchecked(mark[v]) == stamp;
}

/** All voids joined to `start` by run passages, into `queue`; how many. */
export function gather(start: i32): i32 {
  const here = nextStamp();
  let tail = 1;
  unchecked((queue[0] = start));
  unchecked((mark[start] = here));
  for (let head = 0; head < tail; head++) tail = expand(queue, head, tail, here, NOBODY, -1);
  return tail;
}

/** Passages have moved: what was worked out for a component is worth nothing now. */
export function nextTurn(): void {
  turn += 1;
}

/**
 * Push the unmarked neighbours of line[head] and return the new tail; passage `without` counts as
 * closed. Meeting a void that carries the mark `other` returns MET.
 */
// @ts-ignore: decorator
@inline
function expand(
  line: StaticArray<i32>, head: i32, tail: i32, here: i32, other: i32, without: i32,
): i32 {
  const v = unchecked(line[head]);
  const first = 2 * unchecked(linkOffset[v]);
  const end = first + 2 * unchecked(joinedCount[v]);
  for (let i = first; i < end; i += 2) {
    const w = unchecked(joined[i]);
    const seen = unchecked(mark[w]);
    if (seen == here || unchecked(joined[i + 1]) == without) continue;
    if (seen == other) return MET;
    unchecked((mark[w] = here));
    unchecked((line[tail] = w));
    tail += 1;
  }
  return tail;
}

export let lost: StaticArray<i32> = NO_I32; // the voids that would fall
export let lostLevel: u8 = 0; // and to which reach

/** Voids that fall to a lower reach when passage `p` closes, into `lost`; how many. */
export function cut(p: i32): i32 {
  const left = nextStamp();
  const right = nextStamp();
  let leftTail = 1;
  let rightTail = 1;
  const a = unchecked(passageEnds[2 * p]);
  const b = unchecked(passageEnds[2 * p + 1]);
  unchecked((queue[0] = a));
  unchecked((mark[a] = left));
  unchecked((otherQueue[0] = b));
  unchecked((mark[b] = right));
  let head = 0;
  while (true) {
    if (head == leftTail) return judge(queue, leftTail, otherQueue, head, rightTail, right, p);
    leftTail = expand(queue, head, leftTail, left, right, p);
    if (leftTail == MET) return 0;
    if (head == rightTail) return judge(otherQueue, rightTail, queue, head + 1, leftTail, left, p);
    rightTail = expand(otherQueue, head, rightTail, right, left, p);
    if (rightTail == MET) return 0;
    head += 1;
  }
}

/** One side is complete: which side loses its reach, and what is left to it. */
function judge(
  done: StaticArray<i32>, count: i32, open: StaticArray<i32>, head: i32, tail: i32, here: i32,
  without: i32,
): i32 {
  const level = unchecked(reach[unchecked(done[0])]);
  const best = bestTop(done, 0, count, 0);
  if (best < level) {
    lost = done;
    lostLevel = best;
    return count;
  }
  let found = bestTop(open, 0, tail, 0);
  while (found < level && head < tail) {
    const before = tail;
    tail = expand(open, head, tail, here, NOBODY, without);
    found = bestTop(open, before, tail, found);
    head += 1;
  }
  if (found == level) return 0;
  lost = open;
  lostLevel = found;
  return tail;
}

function bestTop(line: StaticArray<i32>, from: i32, to: i32, start: u8): u8 {
  let best = start;
  for (let i = from; i < to; i++) {
    const t = unchecked(top[unchecked(line[i])]);
    if (t > best) best = t;
  }
  return best;
}

/** Voids that fall when the sources at `v` sink to `state`, into `lost`; how many. */
export function sink(v: i32, state: u8): i32 {
  const level = unchecked(reach[v]);
  const here = nextStamp();
  let best = state;
  let tail = 1;
  unchecked((queue[0] = v));
  unchecked((mark[v] = here));
  for (let head = 0; head < tail; head++) {
    const before = tail;
    tail = expand(queue, head, tail, here, NOBODY, -1);
    best = bestTop(queue, before, tail, best);
    if (best == level) return 0;
  }
  lost = queue;
  lostLevel = best;
  return tail;
}

/** Change of the log likelihood if line[0..count) took the reach `level`. */
export function weigh(line: StaticArray<i32>, count: i32, level: u8): f64 {
  return weighPart(line, 0, count, level);
}

/** The same for line[from..to). */
export function weighPart(line: StaticArray<i32>, from: i32, to: i32, level: u8): f64 {
  let change: f64 = 0.0;
  const shift = houseLoad * 3;
  touchedCount = 0;
  carried = false;
  zoneStamp += 1;
  startReadings();
  for (let i = from; i < to; i++) {
    const v = unchecked(line[i]);
    const flag = unchecked(carries[v]);
    if (flag == 0) continue;
    carried = true;
    const old = unchecked(reach[v]);
    if (flag & CARRIES_ROW) {
      const at = unchecked(rowStart[v]) + shift;
      change += unchecked(rowLog[at + level]) - unchecked(rowLog[at + old]);
    }
    if (flag & CARRIES_ZONE) touchZones(v, old, level);
    if (flag & CARRIES_READING) touchReadings(v, old, level, houseLoad);
  }
  for (let i = 0; i < touchedCount; i++) {
    const z = unchecked(touched[i]);
    const value = zoneLogOf(z, unchecked(newSum[z]));
    unchecked((newLog[z] = value));
    change += value - unchecked(zoneLog[z]);
  }
  return change + weighReadings();
}

function touchZones(v: i32, old: u8, level: u8): void {
  for (let i = unchecked(memberOffset[v]); i < unchecked(memberOffset[v + 1]); i++) {
    const z = unchecked(memberZone[i]);
    if (unchecked(zoneMark[z]) != zoneStamp) {
      unchecked((zoneMark[z] = zoneStamp));
      unchecked((newSum[z] = unchecked(zoneSum[z])));
      unchecked((touched[touchedCount] = z));
      touchedCount += 1;
    }
    const at = 3 * unchecked(memberAt[i]);
    const step = unchecked(missLog[at + level]) - unchecked(missLog[at + old]);
    unchecked((newSum[z] = unchecked(newSum[z]) + step));
  }
}

/** Take over what `weigh` has just weighed; false where no sign was touched. */
export function accept(line: StaticArray<i32>, count: i32, level: u8, change: f64): bool {
  if (carried) moveLikelihood(line, count, level, change);
  for (let i = 0; i < count; i++) unchecked((reach[unchecked(line[i])] = level));
  return carried;
}

function moveLikelihood(line: StaticArray<i32>, count: i32, level: u8, change: f64): void {
  const shift = houseLoad * 3;
  turn += 1;
  logLikelihood += change;
  for (let i = 0; i < count; i++) {
    const v = unchecked(line[i]);
    if ((unchecked(carries[v]) & CARRIES_ROW) == 0) continue;
    const at = unchecked(rowStart[v]) + shift;
    const old = unchecked(reach[v]);
    unchecked((rise[old] = unchecked(rise[old]) - unchecked(rowRise[at + old])));
    unchecked((fall[old] = unchecked(fall[old]) - unchecked(rowFall[at + old])));
    unchecked((rise[level] = unchecked(rise[level]) + unchecked(rowRise[at + level])));
    unchecked((fall[level] = unchecked(fall[level]) + unchecked(rowFall[at + level])));
  }
  takeReadings();
  for (let i = 0; i < touchedCount; i++) {
    const z = unchecked(touched[i]);
    const value = unchecked(newLog[z]);
    zoneRiseSum += zoneRise(z, value) - zoneRise(z, unchecked(zoneLog[z]));
    zoneFallSum += zoneFall(z, value) - zoneFall(z, unchecked(zoneLog[z]));
    unchecked((zoneSum[z] = unchecked(newSum[z])));
    unchecked((zoneLog[z] = value));
  }
}
