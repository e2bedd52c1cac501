/**
 * From a pocket and the job as it stands to chances: the draws of before weighed anew at once, or a
 * full diagnosis from populations drawn here.  Pure: workers and tests call the same functions.
 */
import { compare, canonical, type Fields, type Json } from "../record/event";
import { sha256 } from "../record/sha256";
import { bandOf, type Band } from "./band";
import { casesSettled, voidChances, wayChances, type Batch, type WayChance } from "./chances";
import { assembled, problemOf, type Evidence } from "./evidence";
import type { Population } from "./module";
import type { Waits } from "./places";
import type { Case, Pocket } from "./pocket";
import { encode } from "./problem";
import { reweighed } from "./reweigh";
import { daysBetween, saidBy, type Said } from "./saying";

/** What changed since the pocket was made. */
export interface Since {
  /** Looks that are weighed here, new or changed. */
  readonly news: readonly string[];
  /** Looks of before that were changed or taken back. */
  readonly gone: readonly string[];
  /** Looks that wait for the office, and why. */
  readonly waits: readonly (readonly [id: string, why: Waits])[];
  /** What was drawn or changed since and is not calculated here. */
  readonly drawn: readonly string[];
}
export interface VoidNumbers {
  readonly id: string;
  readonly soiled: number;
  readonly error: number;
  readonly ever: number;
  readonly now: number;
  readonly heavy: number;
  readonly nest: number;
  readonly halves: readonly [number, number];
  readonly settled: boolean;
  readonly band: Band;
}
export interface Numbers {
  readonly since: Since;
  readonly voids: readonly VoidNumbers[];
  readonly ways: readonly (readonly [id: string, chance: WayChance])[];
  readonly settled: boolean;
  /** False where draws weighed anew are too few or too uneven to be trusted. */
  readonly holds: boolean;
  readonly k: number;
  readonly effective: number;
}
/** What a full diagnosis drew from and got; the office can run it again, bit for bit. */
export interface Receipt {
  readonly module: string;
  readonly seed: number;
  readonly draws: number;
  readonly populations: number;
  readonly cases: readonly {
    readonly species: string;
    readonly guess: string;
    readonly input: Uint8Array;
    readonly input_digest: string;
    readonly digests: readonly string[];
  }[];
  readonly digest: string;
}

/** More days than this after the last look of before, and what was said then holds less. [day] */
const LATER = 1;
/** More of the voids than this in disagreement, and the whole is not settled. */
const UNSETTLED = 0.05;

/** What the signs of now say in every case, and what of them waits. */
export interface Weighed {
  readonly since: Since;
  readonly before: readonly Evidence[];
  readonly after: readonly Evidence[];
}

type Entities = Readonly<Record<string, Fields>>;
const isLook = (entity: Fields): boolean => entity.kind === "inspection";
/** What says nothing of the house: a picture below the plan or of a find, a signature, that the job was closed. */
const ASIDE: readonly unknown[] = ["paper_plan", "photo", "signature", "closed", "callback"];
/** What was drawn, but for what stands aside. */
const counts = (entity: Fields): boolean => !isLook(entity) && !ASIDE.includes(entity.kind);
const same = (a: Fields | undefined, b: Fields | undefined): boolean =>
  a !== undefined && b !== undefined && canonical(a as Json) === canonical(b as Json);

export const weighed = (pocket: Pocket, entities: Entities): Weighed => {
  const looks = Object.entries(entities).filter(([, one]) => isLook(one));
  const known = pocket.inspections;
  const waits: [string, Waits][] = [];
  const gone = Object.keys(known).filter((id) => !same(known[id], entities[id])).filter((id) => {
    if (pocket.smells.has(id)) waits.push([id, "smell"]);
    return !pocket.smells.has(id);
  });
  const fresh = looks.filter(([id, one]) => !same(known[id], one) && !pocket.smells.has(id)).sort(([a], [b]) => compare(a, b));
  const spoken = fresh.map(([id, look]) => [id, pocket.cases.map((one) => saidBy(id, look, pocket, one))] as const);
  const heard = spoken.filter(([id, said]) => {
    const why = whyNot(said);
    if (why) waits.push([id, why]);
    return !why;
  });
  for (const [id, look] of fresh) {
    if (daysBetween(pocket.asOf, String(look.at ?? "")) > LATER && !waits.some(([one]) => one === id)) waits.push([id, "days later"]);
  }
  const drawn = Object.keys({ ...pocket.drawn, ...entities })
    .filter((id) => counts(entities[id] ?? pocket.drawn[id] ?? { kind: "inspection" }) && !same(pocket.drawn[id], entities[id]));
  const nothing = new Set<string>();
  return {
    since: { news: heard.map(([id]) => id), gone, waits, drawn },
    before: pocket.cases.map((one) => assembled(pocket, one, nothing, [])),
    after: pocket.cases.map((one, k) => assembled(
      pocket, one, new Set(gone), heard.map(([, said]) => said[k]!).filter((said): said is Said => typeof said !== "string"))),
  };
};

/** A look whose place some case does not have says nothing there; any other reason makes it wait. */
const whyNot = (said: readonly (Said | Waits)[]): Waits | null => {
  const reasons = said.filter((one): one is Waits => typeof one === "string");
  const other = reasons.find((why) => why !== "place not known");
  return other ?? (reasons.length === said.length ? (reasons[0] ?? null) : null);
};

/** At once: the draws of before under the signs of now. */
export const atOnce = (pocket: Pocket, now: Weighed): Numbers => {
  const { batches, k, effective, holds } = reweighed(pocket.cases, now.before, now.after);
  return { ...numbers(pocket, batches, now.since), k, effective, holds };
};

const numbers = (pocket: Pocket, batches: readonly Batch[], since: Since): Numbers => {
  const chances = voidChances(batches);
  const keys = pocket.cases[0]!.shape.keys;
  const hidden = pocket.cases[0]!.shape.hidden;
  const settled = keys.map((_, v) => chances.soiled.settled[v]! && chances.now.settled[v]!);
  const off = settled.filter((one) => !one).length / Math.max(1, keys.length);
  const kept = (value: number): number => Math.min(1, Math.max(0, value));
  return {
    since, k: 0, effective: 0, holds: true,
    settled: off <= UNSETTLED && casesSettled(batches),
    ways: [...wayChances(batches)],
    voids: keys.map((id, v) => ({
      id, soiled: kept(chances.soiled.mean[v]!), error: chances.soiled.error[v]!, ever: kept(chances.ever.mean[v]!),
      now: kept(chances.now.mean[v]!), heavy: kept(chances.heavy.mean[v]!), nest: kept(chances.nest.mean[v]!),
      halves: [chances.soiled.halves[0][v]!, chances.soiled.halves[1][v]!], settled: settled[v]!,
      band: settled[v]
        ? bandOf([chances["light only"].mean[v]!, chances["heavy only"].mean[v]!, chances.nest.mean[v]!], pocket.prices, hidden[v] === 1)
        : "can't tell yet",
    })),
  };
};

/** Draws of one population of a full diagnosis here. */
const drawsOf = (pocket: Pocket): number => Math.max(4, Math.floor(pocket.draws / (pocket.populations * 8))) * 8;

/** The kernel's bytes of every case under the signs of now. */
export const inputs = (pocket: Pocket, now: Weighed): Uint8Array<ArrayBuffer>[] =>
  pocket.cases.map((one, k) => encode(problemOf(one, now.after[k]!), one.seed, drawsOf(pocket)));

/** A full diagnosis from all populations of all cases, by case. */
export const inFull = (
  pocket: Pocket, now: Weighed, input: readonly Uint8Array[], drawn: readonly (readonly Population[])[],
): { numbers: Numbers; receipt: Receipt } => {
  const logs = pocket.cases.map((one, k) => drawn[k]!.map((each) => Math.log(one.prior) + each.logEvidence - Math.log(drawn[k]!.length)));
  const top = Math.max(...logs.flat());
  const total = logs.flat().reduce((sum, each) => sum + Math.exp(each - top), 0);
  const batches = pocket.cases.flatMap((one, k) => drawn[k]!.map((each, n) =>
    batchOf(one, each, Math.exp(logs[k]![n]! - top) / total, now.after[k]!)));
  const cases = pocket.cases.map((one, k) => ({
    species: one.species, guess: one.guess, input: input[k]!, input_digest: sha256(input[k]!),
    digests: drawn[k]!.map((each) => each.digest),
  }));
  const named = [...cases].sort((a, b) => compare(a.guess, b.guess) || compare(a.species, b.species));
  return {
    numbers: numbers(pocket, batches, now.since),
    receipt: {
      module: pocket.module, seed: pocket.seed, draws: pocket.draws, populations: pocket.populations, cases,
      digest: sha256(named.flatMap((each) => each.digests).join("")),
    },
  };
};

const batchOf = (one: Case, drawn: Population, share: number, evidence: Evidence): Batch => {
  const [voids, smelt] = [evidence.rowOf.length, one.smelt];
  const cell = new Uint8Array(drawn.count * smelt.length);
  for (let n = 0; n < drawn.count; n++) {
    smelt.forEach((v, k) => { cell[n * smelt.length + k] = 2 * drawn.soil[n * voids + v]! + drawn.nest[n * voids + v]!; });
  }
  return {
    one, population: drawn.number, share, count: drawn.count, weight: new Float64Array(drawn.count).fill(1 / drawn.count),
    load: drawn.load, reach: drawn.reach, source: drawn.source, cell, rowOf: evidence.rowOf, detail: evidence.detail,
  };
};
