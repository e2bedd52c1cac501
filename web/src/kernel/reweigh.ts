/**
 * The draws of before under what was logged since: each draw's weight is the ratio of what the new
 * and the old evidence give it, as in the office's `diagnosis/reweigh.py`.  Says whether that holds.
 */
import type { Batch } from "./chances";
import { rowSums, type Evidence } from "./evidence";
import { EFFECTIVE, effective, smooth, TRUSTED } from "./pareto";
import { CELLS, type Case, type Zone } from "./pocket";

const LEAST = 1e-300;
/** So many draws near the greatest possible weight say that what matters was visited. */
const FEW = 20;
const UNSEEN = 3;
const UNSEEN_SHARE = 0.05;

export interface Reweighed {
  readonly batches: readonly Batch[];
  /** Shape of the weights' tail. */
  readonly k: number;
  readonly effective: number;
  readonly holds: boolean;
}

const log = (value: number): number => Math.log(Math.max(value, LEAST));

/** Log weight of each draw of a case under other evidence, and its upper bound. */
const logRatio = (one: Case, before: Evidence, after: Evidence): { logs: Float64Array; most: number } => {
  const logs = new Float64Array(one.draws.count);
  let most = 0;
  for (const add of [ofRows, ofZones, ofEntries]) most += add(one, before, after, logs);
  return { logs, most };
};

type Adds = (one: Case, before: Evidence, after: Evidence, logs: Float64Array) => number;

const ofRows: Adds = (one, before, after, logs) => {
  const [was, is, voids] = [rowSums(before.detail), rowSums(after.detail), before.rowOf.length];
  const loads = one.problem.loadPrior.length;
  let most = 0;
  for (let v = 0; v < voids; v++) {
    const [a, b] = [before.rowOf[v]!, after.rowOf[v]!];
    if (a === b) continue;
    const known = one.smelt.indexOf(v);
    if (known >= 0) {
      most += ofCells(one, before.detail, after.detail, [v, a, b, known], logs);
      continue;
    }
    const ratio = Float64Array.from({ length: loads * 3 }, (_, n) => log(is[b * loads * 3 + n]!) - log(was[a * loads * 3 + n]!));
    for (let n = 0; n < logs.length; n++) logs[n] = logs[n]! + ratio[one.draws.load[n]! * 3 + one.draws.reach[n * voids + v]!]!;
    most += Math.max(...ratio);
  }
  return most;
};

/** A void whose cell was drawn, because a smell depends on it. */
const ofCells = (
  one: Case, was: Float64Array, is: Float64Array, [v, a, b, known]: readonly [number, number, number, number], logs: Float64Array,
): number => {
  const size = one.problem.loadPrior.length * 3 * CELLS;
  const voids = one.problem.rowOf.length;
  const ratio = Float64Array.from({ length: size }, (_, n) => {
    const after = is[b * size + n]!;
    return after > 0 ? log(after) - log(was[a * size + n]!) : Math.log(LEAST);
  });
  for (let n = 0; n < logs.length; n++) {
    const state = one.draws.load[n]! * 3 + one.draws.reach[n * voids + v]!;
    logs[n] = logs[n]! + ratio[state * CELLS + one.draws.cell[n * one.smelt.length + known]!]!;
  }
  return Math.max(...ratio);
};

const zoneKey = (zone: Zone): string =>
  `${String(zone.heard)}|${String(zone.falseRate)}|${zone.voids.join()}|${zone.hits.join()}`;

const ofZones: Adds = (one, before, after, logs) => {
  const counts = new Map<string, { zone: Zone; times: number }>();
  for (const [zones, sign] of [[before.zones, -1], [after.zones, 1]] as const) {
    for (const zone of zones) {
      const key = zoneKey(zone);
      counts.set(key, { zone, times: (counts.get(key)?.times ?? 0) + sign });
    }
  }
  const voids = before.rowOf.length;
  let most = 0;
  for (const { zone, times } of counts.values()) {
    if (!times) continue;
    for (let n = 0; n < logs.length; n++) {
      let silent = 1 - zone.falseRate;
      zone.voids.forEach((v, m) => { silent *= 1 - zone.hits[3 * m + one.draws.reach[n * voids + v]!]!; });
      logs[n] = logs[n]! + times * log(zone.heard ? 1 - silent : silent);
    }
    most += Math.max(...[0, 1, 2].map((reach) => {
      const silent = zone.voids.reduce((all, _, m) => all * (1 - zone.hits[3 * m + reach]!), 1 - zone.falseRate);
      return times * log(zone.heard ? 1 - silent : silent);
    }));
  }
  return most;
};

const ofEntries: Adds = (one, before, after, logs) => {
  const sources = one.problem.sourceVoid.length;
  let most = 0;
  one.entries.forEach(([, e], n) => {
    const ratio = [0, 1, 2].map((s) => log(after.entries[3 * n + s]!) - log(before.entries[3 * n + s]!));
    if (ratio.every((each) => each === 0)) return;
    for (let k = 0; k < logs.length; k++) logs[k] = logs[k]! + ratio[one.draws.source[k * sources + one.groups[e]!]!]!;
    most += Math.max(...ratio);
  });
  return most;
};

/** All cases' draws under what was logged since; `before` and `after` are by case. */
export const reweighed = (cases: readonly Case[], before: readonly Evidence[], after: readonly Evidence[]): Reweighed => {
  const each = cases.map((one, k) => logRatio(one, before[k]!, after[k]!));
  const total = each.reduce((sum, one) => sum + one.logs.length, 0);
  const ratio = new Float64Array(total);
  each.reduce((at, one) => (ratio.set(one.logs, at), at + one.logs.length), 0);
  const [logs, k] = smooth(ratio);
  const worth = effective(logs);
  const most = Math.max(...each.map((one) => one.most));
  const holds = k < TRUSTED && worth >= Math.min(EFFECTIVE, total / 2) && visited(ratio, most);
  let at = 0;
  const batches = cases.flatMap((one, n) => {
    const mine = logs.subarray(at, (at += one.draws.count));
    return batchesOf(one, mine, after[n]!);
  });
  const whole = batches.reduce((sum, batch) => sum + batch.share, 0);
  return { batches: batches.map((batch) => ({ ...batch, share: batch.share / whole })), k, effective: worth, holds };
};

/** False where states that no draw visits might matter under the new evidence. */
const visited = (ratio: Float64Array, most: number): boolean => {
  let [near, mean] = [0, 0];
  for (const each of ratio) {
    if (each > most - Math.LN2) near += 1;
    mean += Math.exp(each - most) / ratio.length;
  }
  return near >= FEW || UNSEEN / (ratio.length * Math.max(mean, LEAST)) <= UNSEEN_SHARE;
};

/** Draws of one case by population, with weights that add up to 1 in each. */
const batchesOf = (one: Case, logs: Float64Array, evidence: Evidence): Batch[] => {
  const { draws } = one;
  const [voids, sources, smelt] = [evidence.rowOf.length, one.problem.sourceVoid.length, one.smelt.length];
  const found: Batch[] = [];
  for (let from = 0; from < draws.count; ) {
    let to = from;
    while (to < draws.count && draws.population[to] === draws.population[from]) to += 1;
    const raw = logs.slice(from, to).map(Math.exp);
    const share = raw.reduce((sum, each) => sum + each, 0);
    found.push({
      one, population: draws.population[from]!, share, count: to - from, weight: raw.map((each) => each / share),
      load: draws.load.subarray(from, to), reach: draws.reach.subarray(from * voids, to * voids),
      source: draws.source.subarray(from * sources, to * sources), cell: draws.cell.subarray(from * smelt, to * smelt),
      rowOf: evidence.rowOf, detail: evidence.detail,
    });
    from = to;
  }
  return found;
};
