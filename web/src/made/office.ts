// Made from office.schema.json by types.mjs; do not edit.

export interface Answers {
  Me: Me;
  DeviceAbout: DeviceAbout;
  AccountAbout: AccountAbout;
  JoinCode: JoinCode;
  JobList: JobList;
  JobPeople: JobPeople;
  EventReceipt: EventReceipt;
  EventPage: EventPage;
  HeldAnswer: HeldAnswer;
  PhotoAbout: PhotoAbout;
  WalkState: WalkState;
  WalkAnswer: WalkAnswer;
  PaperAbout: PaperAbout;
  PaperList: PaperList;
  LinkAbout: LinkAbout;
  LinkMade: LinkMade;
  LinkViews: LinkViews;
  HeadAbout: HeadAbout;
  OfficeList: OfficeList;
  SearchAnswer: SearchAnswer;
  RatesAnswer: RatesAnswer;
  RatesTried: RatesTried;
  BackupAnswer: BackupAnswer;
  ScoreAnswer: ScoreAnswer;
  EraseAnswer: EraseAnswer;
  PasswordChanged: PasswordChanged;
  Problem: Problem;
}
export interface Me {
  role: ("crew" | "lead" | "office") | ("nobody" | "alone");
  account?: string;
  name?: string;
  device?: string;
  token?: string;
}
export interface DeviceAbout {
  id: string;
  account: string;
  name: string;
  made: string;
  revoked?: string;
  token?: string;
}
export interface AccountAbout {
  id: string;
  name: string;
  role: "crew" | "lead" | "office";
  disabled: boolean;
  made: string;
}
export interface JoinCode {
  code: string;
  minutes: number;
  name: string;
  link: string;
  picture: string;
  guide: string;
  guide_picture: string;
  fingerprint: string;
}
export interface JobList {
  record: string;
  jobs: JobAbout[];
}
export interface JobAbout {
  id: string;
  title: string;
  events: number;
  through: number;
  mine: boolean;
}
export interface JobPeople {
  accounts: Named[];
  devices: Writer[];
}
export interface Named {
  id: string;
  name: string;
}
export interface Writer {
  id: string;
  name: string;
  account: string;
}
export interface EventReceipt {
  added: string[];
  known: string[];
  refused: PutAside[];
  barred: Barred[];
  tally: Tally;
  record: string;
  through: number;
}
export interface PutAside {
  digest: string;
  reason: string;
}
export interface Barred {
  id: string;
  reason: string;
}
export interface Tally {
  sent: number;
  added: number;
  known: number;
  refused: number;
  barred: number;
}
export interface EventPage {
  record: string;
  through: number;
  more: boolean;
  lines: string[];
}
export interface HeldAnswer {
  events: string[];
  photos: string[];
  events_backed_up: string[];
  photos_backed_up: string[];
  backup: BackupState;
}
export interface BackupState {
  taken: string;
  events_after: number;
  photos_after: number;
  since: string;
}
export interface PhotoAbout {
  hash: string;
  held: number;
  complete: boolean;
}
export interface WalkState {
  id: string;
  job: string;
  state: "waiting" | "running" | "done" | "failed" | "superseded";
  share: number;
  through: number;
  current: boolean;
  by?: string;
  reason?: string;
  faults?: Trouble[];
}
export interface Trouble {
  code: string;
  path: string;
  what: string;
  cure: string;
}
export interface WalkAnswer {
  diagnosis: Diagnosis;
  checks: Result | null;
  openings: Choice | null;
  find: Finding;
  work: Work | null;
  sealing: Sealing | null;
  all_clear: AllClear | null;
  estimate: Estimate | null;
  programme: Programme | null;
  drying: Closing[];
  closing_waits: string[];
  papers: CanBe[];
}
/**
 * The whole answer, without the draws.
 */
export interface Diagnosis {
  verdict: string;
  settled: boolean | null;
  voids: VoidAnswer[];
  entries: EntryAnswer[];
  runs: Run[];
  contributions: Contribution[];
  misfits: Misfit[];
  hypotheses: Hypothesis[];
  unplaced: string[];
  assumptions: string[];
  judged: string[];
  cautions: string[];
  draws: number;
  seed: number;
  module: string;
  digest: string;
}
/**
 * What we think of one void.  Chances and their errors are pure numbers. [1]
 */
export interface VoidAnswer {
  id: string;
  label: string;
  kind: string;
  words: string;
  storey: string;
  hidden: boolean;
  soiled: number;
  soiled_error: number;
  ever: number;
  now: number;
  now_error: number;
  heavy: number;
  nest: number;
  band: "can't tell yet" | "check first" | "leave" | "open" | "seen";
  reason: string;
  looked: number;
  seen?: string;
  /**
   * @minItems 2
   * @maxItems 2
   */
  halves?: [number, number];
  settled?: boolean;
}
/**
 * What we think of one way in, or one pool of undrawn ways in.  Pure numbers. [1]
 */
export interface EntryAnswer {
  id: string;
  words: string;
  sort: "entry point" | "settled" | "unknown";
  used: number;
  now: number;
  error: number;
  void?: string;
  near?: string[];
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
 * What one inspection does to one void's chance: with it, and as if it had not been made.
 */
export interface Contribution {
  inspection: string;
  words: string;
  void: string;
  log_odds: number;
  reliable: boolean;
}
/**
 * A sign that no drawn way in explains.
 */
export interface Misfit {
  inspection: string;
  words: string;
  near: string;
  expected_false: number;
}
/**
 * One species under one framing guess, and how much the signs speak for it.
 *
 *     Where no case names two species, two at once were not weighed: a weight is then the chance of
 *     this species against the others alone, and says nothing of a second one beside it.
 */
export interface Hypothesis {
  species: string;
  guess: string;
  weight: number;
  log_evidence: number;
}
/**
 * Every check, the best first, or that it is time to open.
 */
export interface Result {
  checks: Check[];
  visit: Step[];
  money: boolean;
  currency: string;
  time_to_open: boolean;
  open_now: string[];
  open_labels: string[];
  not_weighed: string[];
  judged: string[];
  draws: number;
}
/**
 * One way to look, with what it is worth; in hours of work where the book has no currency.
 */
export interface Check {
  access: string;
  words: string;
  doing: string;
  worth: number;
  error: number;
  cost: number;
  net: number;
  minutes: number;
  shows: number;
  moved: number | null;
  settles: string[];
  first: string[];
  holds: HoldPoint[];
  nights: number;
  sure: boolean;
  pays: boolean;
  others?: string[];
}
/**
 * Something to settle before an access is used, or to mind while it is.
 */
export interface HoldPoint {
  key: string;
  hazard: string;
  standing: "care" | "find out" | "stop";
  words: string;
  first: string;
  who: string;
  evidence: string;
  source: string;
  minutes?: number;
  instead_of?: string;
}
/**
 * One check of a visit.
 */
export interface Step {
  access: string;
  saves: number;
}
/**
 * Three sets, the curve between them, what other rules would do, and what is left.
 */
export interface Choice {
  least: Point;
  balanced: Point;
  all_of_it: Point;
  curve: Point[];
  compared: Point[];
  openings: Opening[];
  declined: Left[];
  change_order: number | null;
  known_clean: string[];
  open_already: string[];
  not_reached: string[];
  not_reached_chance: number;
  soiled: number;
  kept: string[];
  candidates: number;
  currency: string;
  judged: string[];
  draws: number;
  own_cuts?: OwnCutTold[];
}
/**
 * One set of openings and what it comes to.
 */
export interface Point {
  name: string;
  weight: number | null;
  openings: string[];
  cost: number;
  loss_left: number;
  missed: number;
  error: number;
  avoidable: number;
  number: number;
  heavy: number;
  heavy_avoidable: number;
  voids: number;
  gap: number | null;
}
/**
 * One opening as it is told.
 */
export interface Opening {
  id: string;
  act: string;
  words: string;
  room: string;
  voids: string[];
  partly: string[];
  chance: number;
  cost: number;
  hours: number;
  status: "authorised" | "change order" | "declined" | "planned";
  signed_by: string;
  charges: Charge[];
  holds: HoldPoint[];
  limits: Verdict[];
  kept: string[];
  given?: string;
}
/**
 * Work that is paid once, however many openings share it.
 */
export interface Charge {
  key: string;
  kind: "enter" | "finish" | "hold" | "room" | "water";
  of: string;
  words: string;
  hours: number;
}
/**
 * What one rule says to one cut.
 */
export interface Verdict {
  allowed: boolean;
  limit: number;
  asked: number | null;
  rule: string;
  topic: string;
  edition: string;
  source: string;
  status: "common practice" | "derived" | "judgement" | "memory" | "read" | "second-hand";
  words: string;
  nearest?: number[];
  needs?: string;
  overridden?: string;
  sense?: "at least" | "at most" | "never";
}
/**
 * An opening that the owner declined, and the risk that it leaves.
 */
export interface Left {
  id: string;
  words: string;
  said: string;
  voids: string[];
  chance: number;
  loss: number;
}
/**
 * What is said to one cut.
 */
export interface OwnCutTold {
  id: string;
  standing: "allowed" | "not known" | "refused";
  fits: boolean;
  words: string;
  in_the_way: InTheWay[];
  reaches: ReachTold[];
  nearest: Sized[];
  not_reached: string[];
  limits: Verdict[];
}
/**
 * Something that a cut would go through or touch.
 */
export interface InTheWay {
  kind: string;
  name?: string;
}
/**
 * A void behind a cut, and how much of it hand and wand get at.
 */
export interface ReachTold {
  id: string;
  label: string;
  share: number;
}
/**
 * Where a cut lies, as the tape reads it.
 */
export interface Sized {
  along: number;
  width: number;
  bottom: number;
  height: number;
}
/**
 * What Find shows beside diagnosis and checks.
 */
export interface Finding {
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
 * How far one void's chance of soil moves if any one judged rate is off by two. [1]
 */
export interface Range {
  low: number;
  high: number;
  lowest_by: string;
  highest_by: string;
  tried?: Tried[];
}
/**
 * One judged rate at half or double, and what a void's chance of soil would be then.
 */
export interface Tried {
  rate: string;
  chance: number;
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
/**
 * What is held, wetted and waited for before the voids to open are closed again.
 */
export interface Work {
  voids: string[];
  containments: Containment[];
  cleaning: Cleaning | null;
  waits: Fault[];
  holds: HoldPoint[];
  temperature?: number;
  humidity?: number;
  air?: string;
  fans_wait?: string[];
  wetting_waits?: string[];
}
/**
 * The answer: quantities, exhaust, purge, hold points.
 */
export interface Containment {
  work: WorkArea;
  sheets: Sheets;
  leakage_measured: boolean;
  exhaust: Exhaust;
  purge_minutes: number;
  mixing: number;
  holds: HoldPoint[];
  assumed: Cited[];
  warnings: string[];
  leak?: Leak | null;
  spread?: Spread | null;
}
/**
 * What is sheeted off.
 */
export interface WorkArea {
  names: string[];
  floor: number;
  perimeter: number;
  height: number;
  free?: number;
  doors?: number;
  rooms?: string[];
}
/**
 * What to bring for it.
 */
export interface Sheets {
  sheet: number;
  floor: number;
  posts: number;
  tape: number;
  zip_doors: number;
}
/**
 * What to draw out, and what governs it.
 */
export interface Exhaust {
  by_changes: number;
  by_leakage: number;
  flow: number;
  governs: "air changes" | "leakage";
  usable: number;
  units: number;
  changes: number;
  stack_wins: boolean;
  warnings: string[];
}
/**
 * A number with its unit and its standing.
 */
export interface Cited {
  value: number;
  unit: string;
  source: string;
  where?: string;
  status?: "common practice" | "derived" | "judgement" | "memory" | "read" | "second-hand";
}
/**
 * A power law; flow is odd in the pressure.
 */
export interface Leak {
  coefficient: number;
  exponent: number;
}
/**
 * What a work area sends through the house, and whether the draught holds.
 */
export interface Spread {
  rooms: RoomDose[];
  weakest: number;
  weakest_at: string;
  outward: string[];
  house_drop: number;
  hours: number;
  warnings: string[];
  assumed: Cited[];
}
/**
 * What reaches one room.
 */
export interface RoomDose {
  room: string;
  share: number;
  without_fan: number;
}
/**
 * The plan.
 */
export interface Cleaning {
  label: Label;
  steps: string[];
  wets_from: number;
  amounts: Amount[];
  solution: number;
  mixed: Mix;
  film: Film;
  bags: number;
  weight: number;
  streams: string[];
  protection: string[];
  van: string[];
  log: string[];
  holds: HoldPoint[];
  warnings: string[];
}
/**
 * What the label of the product in the hand says, as typed; recorded with the plan.
 */
export interface Label {
  product: string;
  registration: string;
  contact: number;
  water: number;
  surfaces: string[];
  protection: string[];
  coverage?: number | null;
}
/**
 * What one place takes.
 */
export interface Amount {
  place: string;
  area: number;
  solution: number;
}
/**
 * What goes into a bucket.
 */
export interface Mix {
  product: number;
  water: number;
  share: number;
}
/**
 * A wet film over its contact time.
 */
export interface Film {
  rate: number;
  lasts: number;
  shortest: number;
  longest: number;
  dries: boolean;
  stays_wet: boolean;
  rewet_after: number | null;
}
/**
 * One thing that is wrong in the input.
 *
 *     ``code`` is stable and listed in ``docs/errors.md``; ``cure`` says what to do next.  Characters
 *     that a screen cannot show are escaped, for a job file may hold anything.
 */
export interface Fault {
  code: string;
  path: string;
  what: string;
  cure: string;
}
/**
 * Seal lists of every species in question, side by side, at both grades.
 */
export interface Sealing {
  lists: SealList[];
  second: SecondLayer[];
  given_up: string[];
  limits: string[];
  cautions: string[];
  judged: string[];
  order?: SealsStep[];
  isolation?: Isolation | null;
}
/**
 * The cheapest list for one species and grade.
 */
export interface SealList {
  species: string;
  grade: "as built" | "if they gnaw";
  seals: Seal[];
  hours: number;
  remaining: Remaining[];
  statement: string;
}
/**
 * One line of the list: what to close, and what that takes.
 */
export interface Seal {
  key: string;
  words: string;
  sort: "edge to go along" | "entry point" | "passage";
  places: number;
  hours: number;
  reach: string;
  material: string;
  note?: string;
  spots?: Spot[];
  faces?: number;
  /**
   * @minItems 2
   * @maxItems 2
   */
  area?: [number, number];
  /**
   * @minItems 2
   * @maxItems 2
   */
  volume?: [number, number];
  /**
   * @minItems 2
   * @maxItems 2
   */
  joint?: [number, number];
}
/**
 * One place of a way, for a mark on the plan.
 */
export interface Spot {
  void: string;
  /**
   * @minItems 3
   * @maxItems 3
   */
  at: [number, number, number];
}
/**
 * A way that stays open after the list is done.
 */
export interface Remaining {
  words: string;
  why: string;
  voids: string[];
  count: number;
  spots?: Spot[];
}
/**
 * A second list that shares no edge with the first, round chosen places.
 */
export interface SecondLayer {
  places: string[];
  seals: Seal[];
  hours: number;
  statement: string;
  possible: boolean;
}
/**
 * One step of the order.
 */
export interface SealsStep {
  phase: "before the last" | "last" | "now" | "quiet" | "trap" | "watch";
  words: string;
  seals?: string[];
}
/**
 * Seals that part a nest from places that cannot wait, for the time being.
 */
export interface Isolation {
  nests: string[];
  places: string[];
  seals: Seal[];
  hours: number;
  possible: boolean;
  way_out: boolean;
  statement: string;
}
/**
 * The statement, what the traps did, where one more would help, what a callback needs.
 */
export interface AllClear {
  statement: Statement;
  watching: Watching;
  species: string;
  since: string;
  by_night: Night[];
  rate: AllClearRate;
  next_trap: NextTrap;
  stopping: Stopping;
  smells: Smell[];
  callback: AllClearCallback;
  not_placed: string[];
}
/**
 * The all-clear statement, as data.
 */
export interface Statement {
  outcome: "not over" | "not yet known" | "over" | "quiet and monitored";
  chance: number;
  /**
   * @minItems 3
   * @maxItems 3
   */
  chance_range: [number, number, number];
  ceiling: number;
  uncovered: number;
  rests_on: string[];
  limits: string[];
  settles: string[];
  nights_for: [number, number | null][];
  valid_until?: string;
  warranty?: string[];
}
/**
 * All intervals since a day, and their sums.
 */
export interface Watching {
  intervals: Interval[];
  trap_nights: number;
  catches: number;
  sprung: number;
  other: number;
  missing: number;
  bait_takes: number;
  indices: [number, number] | null;
  before: number;
}
/**
 * What one trap did between two looks.
 */
export interface Interval {
  trap: string;
  start: number;
  nights: number;
  ready: number;
  shy: number;
  state: string;
  catches: number;
}
/**
 * The chance that they are gone after one night.
 */
export interface Night {
  day: string;
  low: number;
  middle: number;
  high: number;
  caught: number;
}
/**
 * Chance a night that a trap catches what lives where it stands. [1]
 */
export interface AllClearRate {
  low: number;
  middle: number;
  high: number;
  own: boolean;
  why: string;
}
/**
 * Where one more trap helps most.
 */
export interface NextTrap {
  at: string;
  nights: number | null;
  without: number | null;
}
/**
 * When to stop watching by cost; told beside the chance, never instead of it.
 */
export interface Stopping {
  nights: number | null;
  a_night: number;
  callback: number;
  currency: string;
}
/**
 * The readings of one room and sort that may be compared, and what they come to.
 */
export interface Smell {
  room: string;
  name: string;
  of: string;
  readings: Reading[];
  floor: Floor | null;
  threshold: number | null;
  fed: boolean | null;
  cleaned: boolean;
  words: string;
}
/**
 * One reading that counts.
 */
export interface Reading {
  day: number;
  value: number;
}
/**
 * What the readings fall to.
 */
export interface Floor {
  floor: number;
  /**
   * @minItems 2
   * @maxItems 2
   */
  interval: [number, number];
  time: number;
  used: number;
  above?: number;
  first?: number;
}
/**
 * What a callback needs to know.
 */
export interface AllClearCallback {
  left_shut: string[];
  declined: string[];
  open_ways: string[];
  seals: string[];
  readings: string[];
  traps: string[];
  bait: string[];
}
/**
 * The price of a job as far as it can be known today, tax included where it says so.
 */
export interface Estimate {
  currency: string;
  lines: Line[];
  stages: Stage[];
  planned_cents: number;
  mean: number;
  half: number;
  four_in_five: number;
  least: number;
  most: number;
  error: number;
  tax: number;
  minimum: number;
  drivers: Driver[];
  judged: string[];
  limits: string[];
  draws: number;
  seed: number;
}
/**
 * One quantity at one rate.
 */
export interface Line {
  stage: "check first" | "open and clean" | "seal" | "watch";
  key: string;
  words: string;
  quantity: number;
  unit: string;
  rate: Cited;
  cents: number;
  basis: string;
  when: When;
  labour: boolean;
  extra?: boolean;
  place?: string;
  chance?: number;
}
/**
 * On what a line hangs; it is read off each draw.
 */
export interface When {
  kind: "always" | "anything soiled" | "came in" | "in use now" | "nest" | "soiled";
  void?: number;
}
/**
 * One part of the job that is agreed upon by itself.
 */
export interface Stage {
  name: "check first" | "open and clean" | "seal" | "watch";
  needed: number;
  cents: number;
  half: number;
  four_in_five: number;
}
/**
 * Something that is not known yet and moves the price.
 */
export interface Driver {
  words: string;
  share: number;
  adds: number;
}
/**
 * What happens when, if all that is planned is done.
 */
export interface Programme {
  start: string;
  end: string;
  likely_end: string;
  late_end: string;
  earliest_end: string;
  gap: number;
  rule: string;
  activities: Activity[];
  critical: string[];
  days: Day[];
  rooms: RoomOut[];
  crews: ProgrammeCrew[];
  visits: number;
  zone: string;
  assumed: string[];
  judged: string[];
  limits: string[];
  draws: number;
  seed: number;
}
/**
 * One thing that takes time.
 */
export interface Activity {
  key: string;
  stage: "check first" | "open and clean" | "seal" | "watch";
  sort: "hold" | "wait" | "work";
  words: string;
  place: string;
  room: string;
  who: string;
  people: number;
  hours: number;
  start: string;
  end: string;
  after: string[];
  critical: boolean;
  often: number;
  places?: string[];
  parts?: Part[];
  first?: string;
  evidence?: string;
  holds?: string[];
}
/**
 * A stretch of an activity that is told apart.
 */
export interface Part {
  words: string;
  minutes: number;
  working: boolean;
}
/**
 * One day on which something happens on site, or a room comes back into use.
 */
export interface Day {
  date: string;
  who: string[];
  doing: string[];
  out: string[];
  back: string[];
}
/**
 * A stretch of time for which a room is out of use.
 */
export interface RoomOut {
  room: string;
  name: string;
  start: string;
  end: string;
  why: string;
  back: string;
}
/**
 * Who comes, how many, on how many days.
 */
export interface ProgrammeCrew {
  who: string;
  number: number;
  people: number;
  days: number;
  hours: number;
}
/**
 * Whether what was wet in one room may be closed.
 */
export interface Closing {
  room: string;
  forecast: Forecast;
  bars: string[];
  air: string;
  signed_away?: DryingBarred[];
}
/**
 * When a place gets to its limit.
 */
export interface Forecast {
  target: number;
  settles_at: number;
  reachable: boolean;
  day: number | null;
  earliest: number | null;
  latest: number | null;
  words: string;
}
/**
 * One of the bars that a signature takes away.
 */
export interface DryingBarred {
  bar: string;
  hold: HoldPoint;
}
/**
 * One kind of paper: whether a job has something to say on it now.
 */
export interface CanBe {
  kind: string;
  title: {
    [k: string]: string;
  };
  lacks: {
    [k: string]: string;
  };
}
export interface PaperAbout {
  digest: string;
  kind: string;
  language: string;
  size: string;
  title: string;
  sheets: number;
  version: string;
  made: string;
  changed: boolean;
}
export interface PaperList {
  version: string;
  papers: PaperAbout[];
}
export interface LinkAbout {
  id: string;
  paper: string;
  title: string;
  language: string;
  reader: "owner" | "tenant" | "trade";
  sender: string;
  made: string;
  until: string;
  state: "good" | "ended" | "revoked";
  revoked: string;
  views: number;
  last: string;
}
export interface LinkMade {
  about: LinkAbout;
  address: string;
  picture: string;
}
export interface LinkViews {
  about: LinkAbout;
  views: LinkView[];
}
export interface LinkView {
  at: string;
  seen: "opened" | "read" | "saved";
}
export interface HeadAbout {
  size: number;
  root: string;
  time: string;
  lines: [] | [string] | [string, string] | [string, string, string];
  text: string;
  picture: string;
}
export interface OfficeList {
  jobs: OfficeJob[];
}
export interface OfficeJob {
  id: string;
  title: string;
  last: string;
  next: string;
  who: string[];
  conflicts: number;
  events: number;
  not_backed_up: number;
  state: "open" | "closed" | "called back";
  since: string;
  stops?: number | null;
}
export interface SearchAnswer {
  jobs: JobHits[];
  more: boolean;
}
export interface JobHits {
  id: string;
  title: string;
  hits: Hit[];
}
export interface Hit {
  what: string;
  text: string;
  digest?: string;
}
export interface RatesAnswer {
  rows: RateRow[];
  rates: {
    [k: string]: unknown;
  };
  toml: string;
  follows: Follows;
  at: string;
  by: string;
}
export interface RateRow {
  path: string;
  unit: string;
  usual: string;
  usual_unit: string;
  own: string;
  why: string;
  standing: string;
}
export interface Follows {
  currency: string;
  open_above: number;
  check_above: number;
  opening: number;
  check: number;
  callback: number;
}
export interface RatesTried {
  faults: Trouble[];
  now: Follows;
  then: Follows | null;
}
export interface BackupAnswer {
  state: BackupState;
  name: string;
  size: number;
  events: number;
  photos: number;
  jobs: UnsavedJob[];
  bad: Kept[];
}
export interface UnsavedJob {
  id: string;
  title: string;
  events: number;
}
export interface Kept {
  name: string;
  why: string;
}
export interface ScoreAnswer {
  jobs: number;
  waiting: number;
  rows: ScoreRow[];
  callbacks: Proportion;
  not_drawn: number;
  left_out: number;
}
export interface ScoreRow {
  band: string;
  right: Proportion;
  claimed: number | null;
  houses: number;
}
export interface Proportion {
  hits: number;
  of: number;
  low: number;
  high: number;
}
export interface EraseAnswer {
  erased: boolean;
  texts: number;
  photos: number;
  papers: number;
  aside: number;
  places: string[];
  left: LeftAbout[];
  backups_before: number;
  days: number;
  backups_go: string;
  unreached: string[];
}
export interface LeftAbout {
  id: string;
  device: string;
  seq: number;
  entity: string;
  field: string;
}
export interface PasswordChanged {
  ended: number;
  devices: number;
}
/**
 * What was refused, why, and what to do next.
 */
export interface Problem {
  type: string;
  title: string;
  status: number;
  detail: string;
  code: string;
  request: string;
  faults?: Fault[];
}
