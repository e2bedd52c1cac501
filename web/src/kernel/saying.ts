/** One look to what it says in one case: pieces at voids and ways in, and zones. */
import type { Fields } from "../record/event";
import { placed, type Placed, type Waits } from "./places";
import { CELLS, STATES, type Case, type Piece, type Pocket, type Saying, type Zone } from "./pocket";

export interface Said {
  readonly pieces: readonly Piece[];
  readonly wayPieces: readonly Piece[];
  readonly zones: readonly Zone[];
}

const SHARES: Readonly<Record<string, number>> = { all: 1, part: 0.5, peep: 0.15 };
const SILENCE = "looked and saw nothing";

/** The name under which the pocket keeps what a look says; null where it cannot be there. */
export const keyOf = (look: Fields): string | null => {
  const finds = (look.finds ?? []) as readonly Fields[];
  const [find] = finds;
  const grade = String(look.grade ?? "seen");
  const method = String(look.method ?? "eye and lamp");
  const nights = look.nights === undefined || look.nights === null ? "" : String(look.nights);
  if (finds.length > 1 || (look.product_days ?? null) !== null) return null;
  if (!find || find.kind === SILENCE) {
    if (look.finished === false) return null;
    const share = find ? (SHARES[String(find.amount)] ?? look.share_seen ?? 1) : (look.share_seen ?? 1);
    return `|${String(share)}|${method}|${grade}||${nights}`;
  }
  if (find.species || find.length || (find.ppm ?? null) !== null) return null;
  const laid = nights !== "";
  if ((look.finished !== false) !== laid || (look.share_seen ?? 1) !== 1) return null;
  return `${String(find.kind)}|${String(find.amount ?? "")}|${method}|${grade}|${String(find.freshness ?? "unsure")}|${nights}`;
};

/** Days from one time to another as typed; 0 where either is not known. */
export const daysBetween = (at: string, until: string): number => {
  const [start, stop] = [Date.parse(zoned(at)), Date.parse(zoned(until))];
  return Number.isNaN(start) || Number.isNaN(stop) ? 0 : Math.max(0, (stop - start) / 86_400_000);
};
/** A time without an offset counts as UTC, as in the office. */
const zoned = (at: string): string => (/T.*(Z|[+-]\d\d:?\d\d)$/.test(at) || !at.includes("T") ? at : `${at}Z`);

/** What a look says in one case, or why that waits for the office. */
export const saidBy = (id: string, look: Fields, pocket: Pocket, one: Case): Said | Waits => {
  const finds = (look.finds ?? []) as readonly Fields[];
  if (finds.some((find) => find.same_trace_as)) return "repeat sighting";
  const key = keyOf(look);
  const saying = key === null ? undefined : one.sayings[key];
  if (!saying) return "what it says is not carried";
  const where = placed(look, pocket, one.shape);
  if (typeof where === "string") return where;
  if (saying.waits) return "smell";
  if (saying.several && where.source < 0 && where.nearest < 0) return "several";
  return new Speaker(id, look, saying, where, pocket, one).said();
};

class Speaker {
  private readonly days: number;
  private readonly repeat: number;

  constructor(
    private readonly id: string, look: Fields, private readonly saying: Saying, private readonly where: Placed,
    private readonly pocket: Pocket, private readonly one: Case,
  ) {
    this.days = daysBetween(String(look.at ?? ""), pocket.asOf);
    this.repeat = pocket.repeat[String(look.method ?? "eye and lamp")] ?? 0;
  }

  said(): Said {
    if (this.where.source >= 0) return { pieces: [], wayPieces: this.atWay(), zones: this.zones() };
    const spread = this.where.nearest < 0 ? (this.saying.spread ?? []) : [];
    return {
      pieces: [...this.atVoids(), ...spread.flatMap(([group]) => this.sharedOut(group))],
      wayPieces: [], zones: [...spread.map((each) => this.spreadOver(each)), ...this.zones()],
    };
  }

  private piece(group: string, found: boolean, at: number, factor: Float64Array): Piece {
    return { inspection: this.id, group, found, repeat: this.repeat, at, factor };
  }

  private factor(k: number): Float64Array {
    const size = this.pocket.loads * STATES;
    return this.one.saidFactors.subarray(k * size, (k + 1) * size);
  }

  private atWay(): Piece[] {
    const entry = this.one.entries.findIndex(([, source]) => source === this.where.source);
    return (this.saying.way ?? []).map(([group, found, k]) => {
      const then = this.one.saidWays.subarray(3 * k, 3 * k + 3);
      return this.piece(group, found, entry, aged(then, this.days, this.pocket));
    });
  }

  /** A find at the void it lies in; silence at every void that was looked at. */
  private atVoids(): Piece[] {
    return (this.saying.cell ?? []).flatMap(([group, found, k]) => {
      const factor = agedCells(this.factor(k), this.days, this.pocket);
      const voids = found ? [this.where.nearest].filter((v) => v >= 0) : this.where.voids;
      return voids.map((v) => this.piece(group, found, v, factor));
    });
  }

  /** A find in one of several voids, as a zone over them. */
  private spreadOver([group, falseRate, hits]: readonly [string, number, readonly (readonly number[])[]]): Zone {
    const voids = [...this.where.voids].sort((a, b) => a - b);
    const byVoid = voids.flatMap((v) => [...aged(Float64Array.from(hits[this.one.classes[v]!]!), this.days, this.pocket)]);
    return {
      inspection: this.id, group, heard: true, falseRate, repeat: this.repeat, voids, hits: Float64Array.from(byVoid),
    };
  }

  /** What such a find says of the soil in each: each holds it with equal chance. */
  private sharedOut(group: string): Piece[] {
    const part = (this.saying.cell ?? []).find(([name, found]) => found && name === group);
    if (!part) return [];
    const { loads, priors, othersReached } = this.pocket;
    const [chance, rows, size] = [this.factor(part[2]), loads * 3, loads * STATES];
    const voids = [...this.where.voids].sort((a, b) => a - b);
    const prior = (v: number, n: number): number => priors[this.one.classes[v]! * size + n]!;
    const mean = (v: number, row: number): number => {
      let sum = 0;
      for (let c = 0; c < CELLS; c++) sum += prior(v, row * CELLS + c) * chance[row * CELLS + c]!;
      return sum;
    };
    return voids.map((v) => {
      const factor = new Float64Array(size);
      for (let row = 0; row < rows; row++) {
        const others = (voids.length - 1) * othersReached * (voids.reduce((sum, w) => sum + mean(w, row), 0) / voids.length);
        let whole = 0;
        for (let n = row * CELLS; n < (row + 1) * CELLS; n++) {
          factor[n] = chance[n]! + others;
          whole += prior(v, n) * factor[n]!;
        }
        for (let n = row * CELLS; n < (row + 1) * CELLS; n++) factor[n] = factor[n]! / whole;
      }
      return this.piece(group, true, v, factor);
    });
  }

  private zones(): Zone[] {
    return (this.saying.zones ?? []).flatMap(([zoneOf, heard, hits, falseRate, group]) => {
      const here = zoneOf === "here" ? this.where.voids : [];
      const around = [...new Set([...this.where.zone, ...here])].sort((a, b) => a - b);
      const voids = zoneOf === "above" ? this.where.above : around;
      if (!voids.length) return [];
      const each = hits.map((row) => aged(Float64Array.from(row), this.days, this.pocket));
      const byVoid = voids.flatMap((v) => [...each[this.one.shape.hidden[v] ? 0 : 1]!]);
      return [{
        inspection: this.id, group, heard, falseRate, repeat: this.repeat, voids, hits: Float64Array.from(byVoid),
      }];
    });
  }
}

/** Chances that a place was newly taken, or left, in so many days. */
const changed = (days: number, pocket: Pocket): [number, number] =>
  [1 - Math.exp(-days / pocket.arriveDays), 1 - Math.exp(-days / pocket.leaveDays)];

/** A likelihood by never, past, now of then, by the states of today. */
export const aged = (then: Float64Array, days: number, pocket: Pocket): Float64Array => {
  if (days <= 0) return then;
  const [come, gone] = changed(days, pocket);
  const [never, past, now] = then as unknown as [number, number, number];
  const was = (1 - gone) * past + gone * now;
  return Float64Array.of(never, (1 - come * gone) * was + come * gone * never, (1 - come) * now + come * never);
};

/** The same for rows by load, reach and cell: what was unreached then was clean. */
const agedCells = (then: Float64Array, days: number, pocket: Pocket): Float64Array => {
  if (days <= 0) return then;
  const rows = new Float64Array(then.length);
  for (let load = 0; load < then.length / STATES; load++) {
    const at = load * STATES;
    for (let c = 0; c < CELLS; c++) {
      const states = aged(Float64Array.of(then[at]!, then[at + CELLS + c]!, then[at + 2 * CELLS + c]!), days, pocket);
      rows[at + c] = then[at + c]!;
      rows[at + CELLS + c] = states[1]!;
      rows[at + 2 * CELLS + c] = states[2]!;
    }
  }
  return rows;
};
