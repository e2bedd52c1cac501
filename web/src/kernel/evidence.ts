/**
 * All looks put together for one case: rows of voids, zones, weights on ways in.  The same as the
 * office's `signs/assemble.py`; looks that repeat each other count in part (see there).
 */
import { STATES, CELLS, type Case, type Piece, type Pocket, type Zone } from "./pocket";
import type { Problem } from "./problem";
import type { Said } from "./saying";

export interface Evidence {
  readonly rowOf: Int32Array;
  readonly detail: Float64Array;
  readonly zones: readonly Zone[];
  /** Weights of drawn ways in by never, past, now. */
  readonly entries: Float64Array;
}

/** The evidence of a case without some looks of before and with what new ones say. */
export const assembled = (
  pocket: Pocket, one: Case, gone: ReadonlySet<string>, news: readonly Said[],
): Evidence => {
  const size = pocket.loads * STATES;
  const pieces = [...one.pieces.filter((each) => !gone.has(each.inspection)), ...news.flatMap((each) => each.pieces)];
  const touched = new Set([
    ...one.pieces.filter((each) => gone.has(each.inspection)).map((each) => each.at),
    ...news.flatMap((each) => each.pieces.map((piece) => piece.at)),
  ]);
  const rowOf = one.problem.rowOf.slice();
  const rows: Float64Array[] = [one.problem.detail];
  let count = one.problem.detail.length / size;
  for (const v of [...touched].sort((a, b) => a - b)) {
    const here = pieces.filter((each) => each.at === v);
    const prior = pocket.priors.subarray(one.classes[v]! * size, (one.classes[v]! + 1) * size);
    const says = joined(here, STATES, size);
    rows.push(prior.map((value, n) => value * says[n]!));
    rowOf[v] = count++;
  }
  const detail = new Float64Array(count * size);
  rows.reduce((at, each) => (detail.set(each, at), at + each.length), 0);
  const zones = [...one.zones.filter((each) => !gone.has(each.inspection)), ...news.flatMap((each) => each.zones)];
  return { rowOf, detail, zones: tempered(zones), entries: entriesOf(one, gone, news) };
};

const entriesOf = (one: Case, gone: ReadonlySet<string>, news: readonly Said[]): Float64Array => {
  const pieces = [
    ...one.wayPieces.filter((each) => !gone.has(each.inspection)), ...news.flatMap((each) => each.wayPieces),
  ];
  const weights = one.entryPrior.slice();
  one.entries.forEach((_, n) => {
    const says = joined(pieces.filter((each) => each.at === n), 3, 3);
    for (let s = 0; s < 3; s++) weights[3 * n + s] = weights[3 * n + s]! * says[s]!;
  });
  return weights;
};

/** Pieces at one place: those of one group repeat each other in part, groups multiply. */
const joined = (pieces: readonly Piece[], states: number, size: number): Float64Array => {
  const groups = new Map<string, Piece[]>();
  for (const each of pieces) {
    const key = `${each.group}\n${String(each.found)}`;
    groups.set(key, [...(groups.get(key) ?? []), each]);
  }
  const product = new Float64Array(size).fill(1);
  for (const mine of groups.values()) {
    const says = combined(mine.map((each) => each.factor), states, mine[0]!.repeat, mine[0]!.found);
    for (let n = 0; n < size; n++) product[n] = product[n]! * says[n]!;
  }
  return product;
};

/** The most telling counts in full, every other one to the power 1 - repeat; state by state. */
const combined = (
  factors: readonly Float64Array[], states: number, repeat: number, found: boolean,
): Float64Array => {
  if (factors.length === 1) return factors[0]!;
  return factors[0]!.map((_, n) => {
    const empty = Math.floor(n / states) * states;
    const ratios = factors.map((each) => each[n]! / each[empty]!);
    const most = found ? Math.max(...ratios) : Math.min(...ratios);
    return factors.reduce((all, each, k) => all * each[empty]! * ratios[k]! ** (1 - repeat), 1) * most ** repeat;
  });
};

const sameZone = (zone: Zone): string => `${zone.group}\n${String(zone.heard)}\n${zone.voids.join()}`;
/** Chance that a zone is noticed where every member does its most. */
const most = (zone: Zone): number => {
  let silent = 1;
  zone.voids.forEach((_, n) => {
    silent *= 1 - Math.max(zone.hits[3 * n]!, zone.hits[3 * n + 1]!, zone.hits[3 * n + 2]!);
  });
  return 1 - silent;
};
const strength = (zone: Zone): number => (zone.heard ? most(zone) / zone.falseRate : most(zone));

/** Zones with those that repeat another one weakened. */
const tempered = (zones: readonly Zone[]): Zone[] => {
  const strongest = new Map<string, Zone>();
  for (const zone of zones) {
    const before = strongest.get(sameZone(zone));
    if (!before || strength(zone) > strength(before)) strongest.set(sameZone(zone), zone);
  }
  return zones.map((zone) => (strongest.get(sameZone(zone)) === zone ? zone : weakened(zone)));
};

const weakened = (zone: Zone): Zone => {
  const power = 1 - zone.repeat;
  if (!zone.heard) {
    const hits = zone.hits.map((hit) => 1 - (1 - hit) ** power);
    return { ...zone, hits, falseRate: 1 - (1 - zone.falseRate) ** power };
  }
  const hit = most(zone);
  if (hit <= 0) return zone;
  const ratio = ((1 - (1 - zone.falseRate) * (1 - hit)) / zone.falseRate) ** power;
  return { ...zone, falseRate: Math.min(1, hit / (ratio - 1 + hit)) };
};

/** The kernel's problem of a case under other evidence; smells stay as the office weighed them. */
export const problemOf = (one: Case, evidence: Evidence): Problem => {
  const sourcePrior = one.problem.sourcePrior.slice();
  one.entries.forEach(([, source], n) => sourcePrior.set(evidence.entries.subarray(3 * n, 3 * n + 3), 3 * one.groups[source]!));
  const offsets = [0];
  for (const zone of evidence.zones) offsets.push(offsets.at(-1)! + zone.voids.length);
  return {
    ...one.problem, sourcePrior, rowOf: evidence.rowOf, detail: evidence.detail,
    zoneOffsets: Int32Array.from(offsets),
    zoneVoid: Int32Array.from(evidence.zones.flatMap((zone) => zone.voids)),
    zoneHit: Float64Array.from(evidence.zones.flatMap((zone) => [...zone.hits])),
    zoneFalse: Float64Array.from(evidence.zones.map((zone) => zone.falseRate)),
    heard: Uint8Array.from(evidence.zones.map((zone) => (zone.heard ? 1 : 0))),
  };
};

/** Sum over the cells of each row, by load and reach: [rows, loads, 3]. */
export const rowSums = (detail: Float64Array): Float64Array => {
  const sums = new Float64Array(detail.length / CELLS);
  for (let n = 0; n < detail.length; n++) sums[Math.floor(n / CELLS)]! += detail[n]!;
  return sums;
};
