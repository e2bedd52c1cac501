/**
 * Draws to chances, each with its error and with what two halves of the populations say: the same
 * as the office's `diagnosis/posterior.py`, for draws with weights of their own.
 */
import { CELLS, type Case } from "./pocket";

/** Draws of one population of one case.  `weight` adds up to 1, `share` over all batches does. */
export interface Batch {
  readonly one: Case;
  readonly population: number;
  readonly share: number;
  readonly count: number;
  readonly weight: Float64Array;
  readonly load: Uint8Array;
  readonly reach: Uint8Array;
  readonly source: Uint8Array;
  /** Cells drawn in the smelt voids of the case, soil x 2 + nest: [count, smelt]. */
  readonly cell: Uint8Array;
  readonly rowOf: Int32Array;
  readonly detail: Float64Array;
}
export interface Chances {
  readonly mean: Float64Array;
  readonly error: Float64Array;
  readonly halves: readonly [Float64Array, Float64Array];
  readonly settled: readonly boolean[];
}
export const FIELDS = ["soiled", "light only", "heavy only", "heavy", "nest", "ever", "now"] as const;
export type Field = (typeof FIELDS)[number];

/** Draws that a rare state is likely to be seen in, if at all. */
const FAMILY = 4;
/** What halves may differ by, the office's own bounds. */
const [TOLERANCE, LEAST, MOST, MOST_ERROR] = [4.5, 0.05, 0.15, 0.04];

interface Part {
  readonly mean: Float64Array;
  readonly variance: Float64Array;
}

/** How many evenly weighted draws a batch is worth. */
const worth = (batch: Batch): number => {
  let squares = 0;
  for (const each of batch.weight) squares += each * each;
  return batch.count ? 1 / squares : 0;
};

/** Mean and its variance from values by draw; `add` puts the values of one draw into a row. */
const partOf = (batch: Batch, size: number, fill: (draw: number, row: Float64Array) => void): Part => {
  const [mean, squares, row] = [new Float64Array(size), new Float64Array(size), new Float64Array(size)];
  const [second, even] = [new Float64Array(size), worth(batch)];
  let whole = 0;
  for (let n = 0; n < batch.count; n++) {
    const weight = batch.weight[n]!;
    fill(n, row);
    whole += weight * weight;
    for (let k = 0; k < size; k++) {
      const value = row[k]!;
      mean[k] = mean[k]! + weight * value;
      squares[k] = squares[k]! + weight * weight * value * value;
      second[k] = second[k]! + weight * weight * value;
    }
  }
  const made = even > 1 ? even / (even - 1) : 1;
  const variance = mean.map((m, k) => Math.max(0, squares[k]! - 2 * m * second[k]! + m * m * whole) * made);
  return { mean, variance };
};

/** Chances of every void of the answer, by field. */
export const voidChances = (batches: readonly Batch[]): Record<Field, Chances> => {
  const voids = batches[0]!.one.voidOf.length;
  const parts = batches.map((batch) => voidPart(batch));
  const all = chancesOf(batches, parts, ratioOf(batches, parts));
  const cut = (values: Float64Array, k: number): Float64Array => values.subarray(k * voids, (k + 1) * voids);
  return Object.fromEntries(FIELDS.map((name, k) => [name, {
    mean: cut(all.mean, k), error: cut(all.error, k), halves: [cut(all.halves[0], k), cut(all.halves[1], k)],
    settled: all.settled.slice(k * voids, (k + 1) * voids),
  }])) as unknown as Record<Field, Chances>;
};

/** Chances of one row's cells given load and reach, by field: [rows, loads, 3, 5]. */
const conditional = (detail: Float64Array): Float64Array => {
  const rows = detail.length / CELLS;
  const table = new Float64Array(rows * 5);
  for (let n = 0; n < rows; n++) {
    const [clean, nest0, light, nest1, heavy, nest2] = detail.subarray(n * CELLS, (n + 1) * CELLS) as unknown as
      [number, number, number, number, number, number];
    const whole = clean + nest0 + light + nest1 + heavy + nest2 || 1;
    table.set([1 - clean / whole, light / whole, heavy / whole, (heavy + nest2) / whole, (nest0 + nest1 + nest2) / whole], n * 5);
  }
  return table;
};

const CELL_FIELDS: readonly (readonly number[])[] = [
  [0, 0, 0, 0, 0], [1, 0, 0, 0, 1], [1, 1, 0, 0, 0], [1, 0, 0, 0, 1], [1, 0, 1, 1, 0], [1, 0, 0, 1, 1],
];

/** Sums of the weights and of their squares by void and code, worked out once for a batch. */
interface Sums {
  readonly codes: number;
  readonly sums: Float64Array;
  readonly squares: Float64Array;
  /** Where a void's cell lies among those drawn, -1 where no smell depends on it. */
  readonly smeltAt: Int32Array;
}
const kept = new WeakMap<Batch, Sums>();

/** A code is load x 3 + reach, or reach x 6 + cell where the cell was drawn. */
const sumsOf = (batch: Batch): Sums => {
  const before = kept.get(batch);
  if (before) return before;
  const { one, reach, load, cell, weight, count } = batch;
  const [own, loads, smelt] = [batch.rowOf.length, one.problem.loadPrior.length, one.smelt.length];
  const smeltAt = new Int32Array(own).fill(-1);
  one.smelt.forEach((v, n) => { smeltAt[v] = n; });
  const codes = Math.max(loads * 3, smelt ? 3 * CELLS : 0);
  const [sums, squares] = [new Float64Array(own * codes), new Float64Array(own * codes)];
  for (let n = 0; n < count; n++) {
    const [heft, square, first, from] = [weight[n]!, weight[n]! * weight[n]!, load[n]! * 3, n * own];
    for (let v = 0; v < own; v++) {
      const state = reach[from + v]!;
      const drawn = smeltAt[v]!;
      const at = v * codes + (drawn < 0 ? first + state : state * CELLS + cell[n * smelt + drawn]!);
      sums[at] = sums[at]! + heft;
      squares[at] = squares[at]! + square;
    }
  }
  const made = { codes, sums, squares, smeltAt };
  kept.set(batch, made);
  return made;
};

/** Mean and variance of every field and void of the answer: [fields x voids]. */
const voidPart = (batch: Batch): Part => {
  const { one, rowOf } = batch;
  const [table, voids, loads] = [conditional(batch.detail), one.voidOf.length, one.problem.loadPrior.length];
  const { codes, sums, squares, smeltAt } = sumsOf(batch);
  const [mean, variance] = [new Float64Array(FIELDS.length * voids), new Float64Array(FIELDS.length * voids)];
  let whole = 0;
  for (const each of batch.weight) whole += each * each;
  const even = 1 / whole;
  const made = even > 1 ? even / (even - 1) : 1;
  for (let answer = 0; answer < voids; answer++) {
    const v = one.voidOf[answer]!;
    if (v < 0) continue;
    for (let k = 0; k < FIELDS.length; k++) {
      const [drawn, from] = [smeltAt[v]! >= 0, rowOf[v]! * loads * 3];
      let [first, second, third] = [0, 0, 0];
      for (let code = 0; code < codes; code++) {
        const sum = sums[v * codes + code]!;
        if (!sum) continue;
        const reach = drawn ? Math.floor(code / CELLS) : code % 3;
        const value = k >= 5 ? (reach > k - 5 ? 1 : 0) : drawn ? CELL_FIELDS[code % CELLS]![k]! : table[(from + code) * 5 + k]!;
        first += sum * value;
        second += squares[v * codes + code]! * value;
        third += squares[v * codes + code]! * value * value;
      }
      mean[k * voids + answer] = first;
      variance[k * voids + answer] = Math.max(0, third - 2 * first * second + first * first * whole) * made;
    }
  }
  return { mean, variance };
};

/** Which batches are of one case. */
const byCase = (batches: readonly Batch[]): number[][] => {
  const found = new Map<Case, number[]>();
  batches.forEach((batch, n) => found.set(batch.one, [...(found.get(batch.one) ?? []), n]));
  return [...found.values()];
};

/** How far the spread inside populations understates the one between those of the same case. */
const ratioOf = (batches: readonly Batch[], parts: readonly Part[]): number => {
  let [between, within] = [0, 0];
  for (const group of byCase(batches)) {
    const [mine, shares] = [group.map((n) => parts[n]!), group.map((n) => batches[n]!.share)];
    const total = shares.reduce((sum, share) => sum + share, 0);
    if (group.length < 2 || total <= 0) continue;
    for (let k = 0; k < mine[0]!.mean.length; k++) {
      let [middle, off] = [0, 0];
      for (let j = 0; j < mine.length; j++) middle += (shares[j]! * mine[j]!.mean[k]!) / total;
      for (let j = 0; j < mine.length; j++) {
        const away = shares[j]! * (mine[j]!.mean[k]! - middle);
        off += away * away;
        within += shares[j]! * shares[j]! * mine[j]!.variance[k]!;
      }
      between += (off * group.length) / (group.length - 1);
    }
  }
  return within > 0 ? Math.max(1, between / within) : 1;
};

const mixed = (batches: readonly Batch[], parts: readonly Part[], keep: (batch: Batch) => boolean): Float64Array => {
  const total = batches.reduce((sum, batch) => sum + (keep(batch) ? batch.share : 0), 0);
  const mean = new Float64Array(parts[0]!.mean.length);
  batches.forEach((batch, n) => {
    if (keep(batch)) for (let k = 0; k < mean.length; k++) mean[k] = mean[k]! + (batch.share / total) * parts[n]!.mean[k]!;
  });
  return mean;
};

/** Standard errors: what lies between populations, or the spread inside them made up to it. */
const spreads = (batches: readonly Batch[], parts: readonly Part[], mean: Float64Array, ratio: number): Float64Array => {
  const [within, between] = [new Float64Array(mean.length), new Float64Array(mean.length)];
  for (const group of byCase(batches)) {
    const [mine, shares, count] = [group.map((n) => parts[n]!), group.map((n) => batches[n]!.share), group.length];
    for (let k = 0; k < mean.length; k++) {
      let [sum, squares] = [0, 0];
      for (let j = 0; j < count; j++) {
        const away = shares[j]! * (mine[j]!.mean[k]! - mean[k]!);
        sum += away;
        squares += away * away;
        within[k] = within[k]! + shares[j]! * shares[j]! * mine[j]!.variance[k]!;
      }
      if (count > 1) between[k] = between[k]! + ((squares - (sum * sum) / count) * count) / (count - 1);
    }
  }
  return mean.map((_, k) => Math.sqrt(Math.max(ratio * within[k]!, between[k]!, 0)));
};

const chancesOf = (batches: readonly Batch[], parts: readonly Part[], ratio: number): Chances => {
  const mean = mixed(batches, parts, () => true).map((one) => Math.min(1, Math.max(0, one)));
  const draws = batches.reduce((sum, batch) => sum + worth(batch), 0);
  const spread = spreads(batches, parts, mean, ratio);
  const halves = [0, 1].map((half) => mixed(batches, parts, (batch) => batch.population % 2 === half)) as unknown as
    [Float64Array, Float64Array];
  const settled = Array.from(spread, (error, k) => {
    const allowed = Math.min(MOST, Math.max(LEAST, 2 * TOLERANCE * error));
    return Math.abs(halves[0][k]! - halves[1][k]!) <= allowed && error <= MOST_ERROR;
  });
  return { mean, error: spread.map((one) => Math.max(one, (FAMILY * ratio) / draws)), halves, settled };
};

export interface WayChance {
  readonly used: number;
  readonly now: number;
  readonly error: number;
}

/** Chances of every drawn way in and every pool of undrawn ones, by the answer's ids. */
export const wayChances = (batches: readonly Batch[]): ReadonlyMap<string, WayChance> => {
  const ids = [...new Set(batches.flatMap(({ one }) => [...one.entries.map(([id]) => id), ...one.poolIds]))];
  const place = new Map(ids.map((id, n) => [id, n]));
  const parts = batches.map((batch) => partOf(batch, 2 * ids.length, wayRow(batch, place)));
  const reached = batches.map(reachedPart);
  const ratio = ratioOf(batches, reached);
  const all = chancesOf(batches, parts, ratio);
  return new Map(ids.map((id, n) => [id, {
    used: all.mean[n]!, now: all.mean[ids.length + n]!, error: all.error[n]!,
  }]));
};

/** Mean and variance of "reached at all" by void of the case. */
const reachedPart = (batch: Batch): Part => {
  const { codes, sums, squares, smeltAt } = sumsOf(batch);
  const whole = batch.weight.reduce((sum, each) => sum + each * each, 0);
  const made = whole < 1 ? 1 / (1 - whole) : 1;
  const mean = new Float64Array(batch.rowOf.length);
  const variance = mean.map((_, v) => {
    let second = 0;
    for (let code = 0; code < codes; code++) {
      const reach = smeltAt[v]! < 0 ? code % 3 : Math.floor(code / CELLS);
      if (!reach) continue;
      mean[v] = mean[v]! + sums[v * codes + code]!;
      second += squares[v * codes + code]!;
    }
    return Math.max(0, second - 2 * mean[v]! * second + mean[v]! ** 2 * whole) * made;
  });
  return { mean, variance };
};

const wayRow = (batch: Batch, place: ReadonlyMap<string, number>): ((draw: number, row: Float64Array) => void) => {
  const { one, source } = batch;
  const sources = one.problem.sourceVoid.length;
  const drawn = one.entries.map(([id, e]) => [place.get(id)!, one.groups[e]!] as const);
  // Chance that a way in is idle given the kernel's state of its source, by least state and state.
  const idle = (e: number, least: number, state: number): number => {
    let sum = 0;
    for (let s = 0; s < least; s++) sum += one.parting[(e * 3 + state) * 3 + s]!;
    return sum;
  };
  // Pools by the kernel's source: most sources are idle in most draws.
  const pooled: (readonly [number, number])[][] = Array.from({ length: sources }, () => []);
  one.pools.forEach((pool, e) => { if (pool >= 0) pooled[one.groups[e]!]!.push([place.get(one.poolIds[pool]!)!, e]); });
  const pools = one.poolIds.map((id) => place.get(id)!);
  return (draw, row) => {
    const half = row.length / 2;
    for (const at of pools) row[at] = row[half + at] = 1;
    for (let k = 0, from = draw * sources; k < sources; k++) {
      const state = source[from + k]!;
      if (!state) continue;
      for (const [at, e] of pooled[k]!) {
        row[at] = row[at]! * idle(e, 1, state);
        row[half + at] = row[half + at]! * idle(e, 2, state);
      }
    }
    for (const at of pools) {
      row[at] = 1 - row[at]!;
      row[half + at] = 1 - row[half + at]!;
    }
    for (const [at, k] of drawn) {
      const state = source[draw * sources + k]!;
      row[at] = state > 0 ? 1 : 0;
      row[half + at] = state > 1 ? 1 : 0;
    }
  };
};

/** Whether two halves of the populations weigh the cases alike. */
export const casesSettled = (batches: readonly Batch[]): boolean => {
  const shares = [0, 1].map((half) => {
    const mine = batches.filter((batch) => batch.population % 2 === half);
    const total = mine.reduce((sum, batch) => sum + batch.share, 0);
    return byCase(batches).map((group) => group.reduce(
      (sum, n) => sum + (batches[n]!.population % 2 === half ? batches[n]!.share / total : 0), 0));
  });
  return shares[0]!.every((share, k) => Math.abs(share - shares[1]![k]!) <= WEIGHT_DIFFERENCE);
};
const WEIGHT_DIFFERENCE = 0.1;
