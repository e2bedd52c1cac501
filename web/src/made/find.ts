// Made from src/wainscot/schema/find.schema.json by types.mjs; do not edit.

/**
 * What Find shows beside diagnosis and checks.
 */
export interface WainscotFind {
  shapes: Shapes;
  signs: Sign[];
  voids: {
    [k: string]: Told;
  };
  assumed: Assumed[];
  rates: Rate[];
  questions: Question[];
  openings?: Laid[];
}
/**
 * Everything with a place; without a diagnosis there are no runs.
 */
export interface Shapes {
  voids: VoidOutline[];
  levels: Level[];
  passages: [number, number][];
  entries: WayIn[];
  runs: RunLine[];
  assumed?: string[];
}
/**
 * One hidden void, seen from above.
 */
export interface VoidOutline {
  id: string;
  label: string;
  kind: string;
  words: string;
  owner: string;
  storey: string;
  outline: [number, number][];
  bottom: number;
  top: number;
  /**
   * @minItems 3
   * @maxItems 3
   */
  spot: [number, number, number];
}
/**
 * Voids of one storey at one height: none lies over another of the same level.
 */
export interface Level {
  storey: string;
  where: "over" | "under" | "view";
  depth: number;
  lower: string;
  voids: number[];
}
/**
 * A drawn entry point.
 */
export interface WayIn {
  id: string;
  label: string;
  words: string;
  storey: string;
  /**
   * @minItems 2
   * @maxItems 2
   */
  at: [number, number];
  /**
   * @minItems 2
   * @maxItems 2
   */
  inward: [number, number];
  void: string;
}
/**
 * A likely run.
 */
export interface RunLine {
  share: number;
  words: string;
  source: string;
  voids: string[];
  pieces: Piece[];
}
/**
 * The part of a run that lies in one level.
 */
export interface Piece {
  level: number;
  line: [number, number][];
  rises: number;
  begins: boolean;
}
/**
 * One inspection.
 */
export interface Sign {
  id: string;
  words: string;
  found: boolean;
}
/**
 * What is told of one void.
 */
export interface Told {
  weighs: Weighs[];
  way: Run | null;
  assumed: number[];
  rates: number[];
  range?: Range | null;
}
/**
 * What one inspection does to one void.
 */
export interface Weighs {
  inspection: string;
  log_odds: number;
  reliable: boolean;
}
/**
 * A likely runway, from outside to where signs or a nest are.
 */
export interface Run {
  share: number;
  voids: string[];
  source: string;
  words: string;
}
/**
 * How far one void's chance of soil moves if any one judged rate is off by two. [1]
 */
export interface Range {
  low: number;
  high: number;
  lowest_by: string;
  highest_by: string;
}
/**
 * One fact that a default stands in for.
 */
export interface Assumed {
  words: string;
  where: string;
  entity: string;
  side: string;
  field: string;
  value: string;
  choices: string[];
}
/**
 * A table of rates and where it stands.
 */
export interface Rate {
  name: string;
  standing: string;
  source: string;
}
/**
 * One question of framing; answering it sets facts and takes the guesses out.
 */
export interface Question {
  question: string;
  answers: Answer[];
  guesses: string[];
}
/**
 * One way that the framing may run.
 */
export interface Answer {
  key: string;
  prior: number;
  weight: number;
  sets: {};
  changes: Change[];
}
/**
 * What an answer would make of one void's chance of soil. [1]
 */
export interface Change {
  void: string;
  label: string;
  now: number;
  then: number;
}
/**
 * One opening on the plan.
 */
export interface Laid {
  id: string;
  storey: string;
  /**
   * @minItems 2
   * @maxItems 2
   */
  at: [number, number];
  cuts: CutLine[];
  reaches: ReachOf[];
}
/**
 * A piece of finish that is taken out.
 */
export interface CutLine {
  part: string;
  outline: [number, number][];
  bottom: number;
  top: number;
  sawn: boolean;
}
/**
 * A void that an opening reaches.
 */
export interface ReachOf {
  void: string;
  share: number;
}
