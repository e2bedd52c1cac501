/**
 * What a phone carries of one walk of the office, read once: `docs/pocket.md` describes the fields.
 * Arrays come as base64 of their little-endian bytes.
 */
import type { Fields } from "../record/event";
import { decode, type Problem } from "./problem";

export type PartSaid = readonly [group: string, found: boolean, factor: number];
export type ZoneHeard = readonly [
  zoneOf: string, heard: boolean, hits: readonly (readonly number[])[], falseRate: number, group: string,
];
export type Spread = readonly [group: string, falseRate: number, hits: readonly (readonly number[])[]];

export interface Saying {
  readonly cell?: readonly PartSaid[];
  readonly way?: readonly PartSaid[];
  readonly zones?: readonly ZoneHeard[];
  readonly spread?: readonly Spread[];
  readonly waits?: boolean;
  readonly smells?: boolean;
  readonly several?: boolean;
  readonly share?: number;
}
export interface Spot {
  readonly voids?: readonly number[];
  readonly zone?: readonly number[];
  readonly above?: readonly number[];
  readonly zone_above?: readonly number[];
  readonly source?: number;
  readonly drain?: number;
}
type PieceSaid = readonly [
  inspection: number, group: string, found: boolean, repeat: number, at: number, factor: number,
];
type ZoneSaid = readonly [
  inspection: number, group: string, heard: boolean, falseRate: number, repeat: number,
  voids: readonly number[], hits: readonly (readonly number[])[],
];

interface PocketSent {
  readonly format: number;
  readonly answer: string;
  readonly module: string;
  readonly seed: number;
  readonly draws: number;
  readonly populations: number;
  readonly as_of: string;
  readonly arrive_days: number;
  readonly leave_days: number;
  readonly others_reached: number;
  readonly load: readonly number[];
  readonly classes: readonly string[];
  readonly priors: string;
  readonly repeat: Readonly<Record<string, number>>;
  readonly entry_kinds: readonly string[];
  readonly prices: Prices;
  readonly storeys: Readonly<Record<string, { readonly floor: number; readonly clear: number }>>;
  readonly shapes: readonly ShapeSent[];
  readonly sayings: Readonly<Record<string, { entries: Record<string, Saying>; factors: string; ways: string }>>;
  readonly cases: readonly CaseSent[];
  readonly inspections: Readonly<Record<string, Fields>>;
  readonly smells: readonly number[];
  readonly drawn: Readonly<Record<string, Fields>>;
}
interface ShapeSent {
  readonly guess: string;
  readonly keys: readonly string[];
  readonly hidden: string;
  readonly parts: string;
  readonly bottom: string;
  readonly top: string;
  readonly corners: string;
  readonly outline: string;
  readonly spots: Readonly<Record<string, Spot>>;
}
interface CaseSent {
  readonly species: string;
  readonly guess: string;
  readonly shape: number;
  readonly prior: number;
  readonly seed: string;
  readonly input: string;
  readonly classes: string;
  readonly passages: number;
  readonly groups: string;
  readonly parting: string;
  readonly pools: readonly number[];
  readonly pool_ids: readonly string[];
  readonly entries: readonly (readonly [string, number])[];
  readonly entry_prior: string;
  readonly void_of: string;
  readonly smelt: readonly number[];
  readonly pieces: readonly PieceSaid[];
  readonly way_pieces: readonly PieceSaid[];
  readonly factors: string;
  readonly way_factors: string;
  readonly zones: readonly ZoneSaid[];
  readonly draws: {
    readonly count: number;
    readonly population: string;
    readonly load: string;
    readonly reach: string;
    readonly source: string;
    readonly cell: string;
  };
}

export interface Prices {
  readonly open: number;
  readonly check: number;
  /** Cost of a callback by light soil, heavy soil, nest. */
  readonly left: readonly number[];
  readonly shows: readonly number[];
}
export interface Shape {
  readonly keys: readonly string[];
  readonly hidden: Uint8Array;
  /** 1 wall, 2 floor, 4 ceiling, 8 hangs under a ceiling. */
  readonly parts: Uint8Array;
  readonly bottom: Float64Array;
  readonly top: Float64Array;
  readonly outlines: readonly (readonly (readonly [number, number])[])[];
  readonly spots: Readonly<Record<string, Spot>>;
}
/** A likelihood at one void or one way in; the first of its states is the empty one. */
export interface Piece {
  readonly inspection: string;
  readonly group: string;
  readonly found: boolean;
  readonly repeat: number;
  readonly at: number;
  readonly factor: Float64Array;
}
export interface Zone {
  readonly inspection: string;
  readonly group: string;
  readonly heard: boolean;
  readonly falseRate: number;
  readonly repeat: number;
  readonly voids: readonly number[];
  /** By member, reach varying fastest. */
  readonly hits: Float64Array;
}
/** Draws one after the other: reach and source unpacked, one byte a state. */
export interface Drawn {
  readonly count: number;
  readonly population: Uint8Array;
  readonly load: Uint8Array;
  readonly reach: Uint8Array;
  readonly source: Uint8Array;
  readonly cell: Uint8Array;
}
export interface Case {
  readonly species: string;
  readonly guess: string;
  readonly shape: Shape;
  readonly prior: number;
  readonly seed: string;
  readonly problem: Problem;
  readonly classes: Int32Array;
  readonly groups: Int32Array;
  readonly parting: Float64Array;
  readonly pools: readonly number[];
  readonly poolIds: readonly string[];
  readonly entries: readonly (readonly [string, number])[];
  readonly entryPrior: Float64Array;
  readonly voidOf: Int32Array;
  readonly smelt: readonly number[];
  readonly pieces: readonly Piece[];
  readonly wayPieces: readonly Piece[];
  readonly zones: readonly Zone[];
  readonly draws: Drawn;
  readonly sayings: Readonly<Record<string, Saying>>;
  readonly saidFactors: Float64Array;
  readonly saidWays: Float64Array;
}
export interface Pocket {
  readonly answer: string;
  readonly module: string;
  readonly seed: number;
  readonly draws: number;
  readonly populations: number;
  readonly asOf: string;
  readonly arriveDays: number;
  readonly leaveDays: number;
  readonly othersReached: number;
  readonly loads: number;
  /** Rows of the classes of voids before any sign: [classes, loads, 3, 6]. */
  readonly priors: Float64Array;
  readonly classCount: number;
  readonly repeat: Readonly<Record<string, number>>;
  readonly entryMethods: readonly string[];
  readonly prices: Prices;
  readonly storeys: PocketSent["storeys"];
  readonly cases: readonly Case[];
  readonly inspections: Readonly<Record<string, Fields>>;
  /** Ids of looks that a smell hangs on. */
  readonly smells: ReadonlySet<string>;
  readonly drawn: Readonly<Record<string, Fields>>;
}

/** Numbers of one row: reach x cell, for every load level. */
export const CELLS = 6;
export const STATES = 3 * CELLS;

const bytesOf = (text: string): Uint8Array<ArrayBuffer> => {
  const raw = atob(text);
  const bytes = new Uint8Array(raw.length);
  for (let n = 0; n < raw.length; n++) bytes[n] = raw.charCodeAt(n);
  return bytes;
};
const doubles = (text: string): Float64Array => new Float64Array(bytesOf(text).buffer);
const integers = (text: string): Int32Array => new Int32Array(bytesOf(text).buffer);

/** States packed four to a byte, the first in the lowest bits, one byte each. */
const fromTwoBits = (packed: Uint8Array, rows: number, columns: number): Uint8Array => {
  const wide = Math.ceil(columns / 4);
  const states = new Uint8Array(rows * columns);
  for (let row = 0; row < rows; row++) {
    for (let n = 0; n < columns; n++) {
      states[row * columns + n] = (packed[row * wide + (n >> 2)]! >> (2 * (n & 3))) & 3;
    }
  }
  return states;
};

/** Reads a pocket; null where the office sent none or one of another form. */
export const readPocket = (text: string): Pocket | null => {
  const sent = JSON.parse(text) as PocketSent | null;
  if (sent?.format !== 1) return null;
  const names = Object.keys(sent.inspections).sort();
  const shapes = sent.shapes.map(shapeOf);
  return {
    answer: sent.answer, module: sent.module, seed: sent.seed, draws: sent.draws, populations: sent.populations,
    asOf: sent.as_of, arriveDays: sent.arrive_days, leaveDays: sent.leave_days,
    othersReached: sent.others_reached, loads: sent.load.length, priors: doubles(sent.priors),
    classCount: sent.classes.length, repeat: sent.repeat, entryMethods: sent.entry_kinds, prices: sent.prices,
    storeys: sent.storeys, inspections: sent.inspections, drawn: sent.drawn,
    smells: new Set(sent.smells.map((n) => names[n]!)),
    cases: sent.cases.map((one) => caseOf(one, sent, names, shapes[one.shape]!)),
  };
};

const shapeOf = (sent: ShapeSent): Shape => {
  const [corners, points] = [integers(sent.corners), doubles(sent.outline)];
  return {
    keys: sent.keys, hidden: bytesOf(sent.hidden), parts: bytesOf(sent.parts), bottom: doubles(sent.bottom),
    top: doubles(sent.top), spots: sent.spots,
    outlines: sent.keys.map((_, v) => {
      const outline: [number, number][] = [];
      for (let n = corners[v]!; n < corners[v + 1]!; n++) outline.push([points[2 * n]!, points[2 * n + 1]!]);
      return outline;
    }),
  };
};

const caseOf = (sent: CaseSent, all: PocketSent, names: readonly string[], shape: Shape): Case => {
  const problem = decode(bytesOf(sent.input));
  const row = all.load.length * STATES;
  const [factors, wayFactors] = [doubles(sent.factors), doubles(sent.way_factors)];
  const piece = (table: Float64Array, size: number) => ([n, group, found, repeat, at, k]: PieceSaid): Piece => ({
    inspection: names[n]!, group, found, repeat, at, factor: table.subarray(k * size, (k + 1) * size),
  });
  const said = all.sayings[sent.species]!;
  return {
    species: sent.species, guess: sent.guess, shape, prior: sent.prior, seed: sent.seed, problem,
    classes: integers(sent.classes), groups: integers(sent.groups), parting: doubles(sent.parting),
    pools: sent.pools, poolIds: sent.pool_ids, entries: sent.entries, entryPrior: doubles(sent.entry_prior),
    voidOf: integers(sent.void_of), smelt: sent.smelt,
    pieces: sent.pieces.map(piece(factors, row)), wayPieces: sent.way_pieces.map(piece(wayFactors, 3)),
    zones: sent.zones.map(([n, group, heard, falseRate, repeat, voids, hits]) => ({
      inspection: names[n]!, group, heard, falseRate, repeat, voids, hits: Float64Array.from(hits.flat()),
    })),
    draws: {
      count: sent.draws.count, population: bytesOf(sent.draws.population), load: bytesOf(sent.draws.load),
      reach: fromTwoBits(bytesOf(sent.draws.reach), sent.draws.count, problem.rowOf.length),
      source: fromTwoBits(bytesOf(sent.draws.source), sent.draws.count, problem.sourceVoid.length),
      cell: bytesOf(sent.draws.cell),
    },
    sayings: said.entries, saidFactors: doubles(said.factors), saidWays: doubles(said.ways),
  };
};
