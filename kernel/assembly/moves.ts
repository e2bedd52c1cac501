/**
 * One sweep: every passage and every source flipped once (in a large house those far from the signs
 * in turns), active sources moved, the load drawn.
 *
 * Target at temperature t: prior x exp(tilt (1 - t) n) x likelihood^t, n = how many run passages
 * and active sources lie in the corridor. A flip is accepted with min(1, ratio x exp(t change)).
 * The uniform is drawn first; where even the largest change the signs still allow could not get
 * the flip accepted, it is turned down without a search. That alters no draw, only the time.
 */
import { exp, log } from "./elementary";
import { uniform } from "./random";
import {
  FLAG_NO_CORRECTION, flags, loadPrior, loads, ownOffset, ownSource, passageEnds, passagePrior,
  passages, sourcePrior, sources, sourceVoid,
} from "./problem";
import { readings, readingsAt, readingsFall, readingsRise } from "./readings";
import { inCorridorPassage, inCorridorSource } from "./corridor";
import {
  allocateComponents, firstOfComponent, forgetComponents, gainOfRise,
} from "./components";
import { EVERY, passageTurn, sourceTurn, TURNS } from "./near";
import {
  accept, closePassage, cut, fall, gather, isGathered, lost, lostLevel, openPassage, queue, reach,
  rebuildLikelihood, rise, rowsAt, run, setLoad, sink, source, top, topWith, weigh, zoneFallSum,
  zoneRiseSum,
} from "./state";

const SLACK: f64 = 1.000000001; // the bounds drift by rounding; they may only err upward
const NO_F64 = new StaticArray<f64>(0);
const NO_I32 = new StaticArray<i32>(0);

let temperature: f64 = 0.0;
let boost: f64 = 1.0; // prior odds of everything in the corridor are multiplied by this
let openRatio: StaticArray<f64> = NO_F64;
let closeRatio: StaticArray<f64> = NO_F64;
let weight: StaticArray<f64> = NO_F64;
let roomCount: i32 = 0; // voids of the component that sources move in
let places: StaticArray<i32> = NO_I32; // active sources
const mostRise = new StaticArray<f64>(3); // by the reach that the voids have before
const mostFall = new StaticArray<f64>(3);

export function allocateMoves(): void {
  allocateComponents();
  openRatio = new StaticArray<f64>(passages);
  closeRatio = new StaticArray<f64>(passages);
  weight = new StaticArray<f64>(loads);
  places = new StaticArray<i32>(sources);
}

/** Fix the target of the sweeps to come. */
export function setTarget(t: f64, tilt: f64): void {
  temperature = t;
  boost = exp(flags & FLAG_NO_CORRECTION ? tilt : tilt * (1.0 - t));
  for (let p = 0; p < passages; p++) {
    const prior = passagePrior[p];
    const odds = (prior / (1.0 - prior)) * (inCorridorPassage[p] ? boost : 1.0);
    openRatio[p] = odds;
    closeRatio[p] = 1.0 / odds;
  }
}

/** The sweep of that number, from 0: it says whose turn it is far from the signs. */
export function sweep(number: i32): void {
  const turn = <u8>(number % TURNS);
  setBounds();
  for (let p = 0; p < passages; p++) {
    const own = unchecked(passageTurn[p]);
    if (own != EVERY && own != turn) continue;
    if (unchecked(run[p]) != 0) tryClose(p);
    else tryOpen(p);
  }
  forgetComponents();
  for (let s = 0; s < sources; s++) {
    const own = unchecked(sourceTurn[s]);
    if (own == EVERY || own == turn) trySource(s);
  }
  moveSources();
  drawLoad();
  rebuildLikelihood();
}

function setBounds(): void {
  const sharedRise = zoneRiseSum + readingsRise;
  const sharedFall = zoneFallSum + readingsFall;
  for (let r = 0; r < 3; r++) {
    const up = temperature * (unchecked(rise[r]) + sharedRise);
    const down = temperature * (unchecked(fall[r]) + sharedFall);
    unchecked((mostRise[r] = exp(Math.min(up, 700.0)) * SLACK));
    unchecked((mostFall[r] = exp(Math.min(down, 700.0)) * SLACK));
  }
}

// @ts-ignore: decorator
@inline
function tryOpen(p: i32): void {
  const u = uniform();
  const ratio = unchecked(openRatio[p]);
  const a = unchecked(passageEnds[2 * p]);
  const b = unchecked(passageEnds[2 * p + 1]);
  const reachA = unchecked(reach[a]);
  const reachB = unchecked(reach[b]);
  if (reachA == reachB) {
    if (u < ratio) openPassage(p);
    return;
  }
  const low = reachA < reachB ? a : b;
  if (u >= ratio * unchecked(mostRise[unchecked(reach[low])])) return;
  if (tryRaise(low, reachA < reachB ? reachB : reachA, u, ratio)) openPassage(p);
}

// @ts-ignore: decorator
@inline
function tryClose(p: i32): void {
  const u = uniform();
  const ratio = unchecked(closeRatio[p]);
  const level = unchecked(reach[unchecked(passageEnds[2 * p])]);
  if (level == 0) {
    if (u < ratio) closePassage(p);
  } else if (u < ratio * unchecked(mostFall[level])) {
    if (tryFall(cut(p), u, ratio)) closePassage(p);
  }
}

/** Raise the component of `v` to `level` if the draw allows it. */
function tryRaise(v: i32, level: u8, u: f64, ratio: f64): bool {
  return tryMove(queue, gather(v), level, u, ratio);
}

/** Let the `count` voids in `lost` fall if the draw allows it; with none, only the prior counts. */
function tryFall(count: i32, u: f64, ratio: f64): bool {
  return count == 0 ? u < ratio : tryMove(lost, count, lostLevel, u, ratio);
}

// @ts-ignore: decorator
@inline
function tryMove(line: StaticArray<i32>, count: i32, level: u8, u: f64, ratio: f64): bool {
  const change = weigh(line, count, level);
  if (u >= ratio * gainOf(change)) return false;
  if (accept(line, count, level, change)) setBounds();
  return true;
}

// @ts-ignore: decorator
@inline
function gainOf(change: f64): f64 {
  return change == 0.0 ? 1.0 : exp(Math.min(temperature * change, 700.0));
}

/**
 * As `tryRaise`, for a source: thousands of sources share a component in a large house, and each
 * would search it only to be turned down.
 */
function tryRaiseTogether(v: i32, level: u8, u: f64, ratio: f64): bool {
  const first = firstOfComponent(v);
  return u < ratio * gainOf(gainOfRise(first, level)) && tryRaise(first, level, u, ratio);
}

/** Propose one of the two other states of a source. */
function trySource(s: i32): void {
  const twice = uniform() * 2.0;
  const pick: i32 = twice >= 1.0 ? 1 : 0;
  const u = twice - <f64>pick;
  const old = unchecked(source[s]);
  const state = <u8>((<i32>old + 1 + pick) % 3);
  let ratio = unchecked(sourcePrior[3 * s + state]) / unchecked(sourcePrior[3 * s + old]);
  if (unchecked(inCorridorSource[s]) != 0) {
    if (old == 0) ratio = ratio * boost;
    if (state == 0) ratio = ratio / boost;
  }
  const v = unchecked(sourceVoid[s]);
  const level = unchecked(reach[v]);
  const before = unchecked(top[v]);
  const after = topWith(v, s, state);
  let taken: bool;
  if (after > level) {
    taken = u < ratio * unchecked(mostRise[level]) && tryRaiseTogether(v, after, u, ratio);
  } else if (after < before && before == level) {
    taken = u < ratio * unchecked(mostFall[level]) && tryFall(sink(v, after), u, ratio);
  } else {
    taken = u < ratio;
  }
  if (!taken) return;
  unchecked((source[s] = state));
  unchecked((top[v] = after));
}

/**
 * Let every active source change places with the idle sources of its own component. Nothing that is
 * reached changes, so the new place is drawn from the prior odds alone.
 */
function moveSources(): void {
  let active = 0;
  for (let s = 0; s < sources; s++) {
    if (unchecked(source[s]) == 0) continue;
    unchecked((places[active] = s));
    active += 1;
  }
  if (active > 0) roomCount = gather(unchecked(sourceVoid[unchecked(places[0])]));
  for (let i = 0; i < active; i++) {
    const pick = min(active - 1, <i32>(uniform() * <f64>active));
    unchecked((places[pick] = moveSource(unchecked(places[pick]))));
  }
}

/** Draw a place for the state of source `s`; the source that has it afterwards. */
function moveSource(s: i32): i32 {
  const u = uniform();
  const state = unchecked(source[s]);
  if (unchecked(sourcePrior[3 * s]) <= 0.0) return s;
  if (!isGathered(unchecked(sourceVoid[s]))) roomCount = gather(unchecked(sourceVoid[s]));
  let total: f64 = 0.0;
  for (let i = 0; i < roomCount; i++) {
    const v = unchecked(queue[i]);
    for (let k = unchecked(ownOffset[v]); k < unchecked(ownOffset[v + 1]); k++) {
      total += placeWeight(unchecked(ownSource[k]), s, state);
    }
  }
  let left = u * total;
  for (let i = 0; i < roomCount; i++) {
    const v = unchecked(queue[i]);
    for (let k = unchecked(ownOffset[v]); k < unchecked(ownOffset[v + 1]); k++) {
      const t = unchecked(ownSource[k]);
      const weight = placeWeight(t, s, state);
      if (left < weight) {
        swapStates(s, t);
        return t;
      }
      left -= weight;
    }
  }
  return s;
}

/** Prior odds of source `t` being in `state`, if it is idle or is the mover itself. */
// @ts-ignore: decorator
@inline
function placeWeight(t: i32, mover: i32, state: u8): f64 {
  if (t != mover && unchecked(source[t]) != 0) return 0.0;
  const never = unchecked(sourcePrior[3 * t]);
  if (never <= 0.0) return 0.0;
  const odds = unchecked(sourcePrior[3 * t + state]) / never;
  return unchecked(inCorridorSource[t]) != 0 ? odds * boost : odds;
}

function swapStates(s: i32, t: i32): void {
  if (s == t) return;
  const state = unchecked(source[s]);
  unchecked((source[s] = 0));
  unchecked((source[t] = state));
  unchecked((top[unchecked(sourceVoid[s])] = topWith(unchecked(sourceVoid[s]), s, 0)));
  unchecked((top[unchecked(sourceVoid[t])] = topWith(unchecked(sourceVoid[t]), t, state)));
}

/** Draw the load level from its conditional. */
function drawLoad(): void {
  if (loads == 1) return;
  let best: f64 = -Infinity;
  for (let l = 0; l < loads; l++) {
    const signs = readings > 0 ? rowsAt(l) + readingsAt(reach, 0, l) : rowsAt(l);
    const value = log(Math.max(unchecked(loadPrior[l]), 1e-300)) + temperature * signs;
    unchecked((weight[l] = value));
    best = Math.max(best, value);
  }
  let total: f64 = 0.0;
  for (let l = 0; l < loads; l++) {
    unchecked((weight[l] = exp(unchecked(weight[l]) - best)));
    total += unchecked(weight[l]);
  }
  let left = uniform() * total;
  let level = 0;
  while (level < loads - 1 && left >= unchecked(weight[level])) {
    left -= unchecked(weight[level]);
    level += 1;
  }
  setLoad(level);
}
