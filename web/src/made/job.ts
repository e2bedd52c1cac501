// Made from src/wainscot/schema/job.schema.json by types.mjs; do not edit.

/**
 * A job file: one building's case as it stands.
 */
export interface WainscotJobFile {
  wainscot: 1;
  id: string;
  entities: {
    [k: string]:
      | Storey
      | Room
      | Wall
      | Gap
      | Fixture
      | Service
      | Edge
      | EntryPoint
      | Kept
      | FramingGuess
      | Inspection
      | Suspect
      | Authorisation
      | Declined
      | Release
      | LimitOverride
      | OwnCut
      | PaperPlan
      | PhotoTaken
      | SealMade
      | Trap
      | TrapCheck
      | BaitLeft
      | AirReading
      | ProductLabel
      | Application
      | ContactMoment
      | Ticked
      | CrewEntry
      | ClosingTerms
      | Call
      | Signature
      | Closed
      | Callback
      | Erased
      | Visit
      | Crew
      | Labels
      | Settings;
  };
  title?: string;
  units?: "ft-in" | "m";
  conflicts?: Conflict[];
}
/**
 * One level of the building; ``height`` is the clear height of its rooms.
 */
export interface Storey {
  kind: "storey";
  name: string;
  level?: number;
  height?: string | number | FactStrFloat | null;
  floor?: FloorBuild;
  ceiling?: ("loft" | "roof" | "storey") | FactStr | null;
  loft_height?: string | number | FactStrFloat | null;
}
/**
 * A value with its basis; ``default`` means nobody knew and a stated default stands in.
 */
export interface FactStrFloat {
  value: string | number;
  basis?: "default" | "estimated" | "measured" | "seen" | "told";
  source?: string;
}
/**
 * What a storey's floor is made of; every field may be left out.
 */
export interface FloorBuild {
  build?: ("joists" | "slab") | FactStr | null;
  below?: ("crawl space" | "ground" | "storey") | FactStr | null;
  joists_run?: ("long" | "short" | "x" | "y") | number | FactStrFloat | null;
  joist_spacing?: string | number | FactStrFloat | null;
  joist_depth?: string | number | FactStrFloat | null;
  crawl_height?: string | number | FactStrFloat | null;
  girders?: [[string | number, string | number], [string | number, string | number]][];
  insulated?: boolean | FactBool | null;
}
/**
 * A value with its basis; ``default`` means nobody knew and a stated default stands in.
 */
export interface FactStr {
  value: string;
  basis?: "default" | "estimated" | "measured" | "seen" | "told";
  source?: string;
}
/**
 * A value with its basis; ``default`` means nobody knew and a stated default stands in.
 */
export interface FactBool {
  value: boolean;
  basis?: "default" | "estimated" | "measured" | "seen" | "told";
  source?: string;
}
/**
 * A room by its clear polygon; without one it is a name in a list, and that is no error.
 *
 *     ``lengths`` are the clear lengths that somebody measured, by side (``s1``): the polygon was
 *     drawn to them, and they stay when something beside it is moved.
 */
export interface Room {
  kind: "room";
  name: string;
  storey?: string;
  polygon?: [string | number, string | number][] | null;
  lengths?: {
    [k: string]: string | number;
  };
}
/**
 * What is known of the wall on one side of a room.
 *
 *     ``room`` and ``side`` name it: ``n1`` is the first stretch of the room's polygon that faces
 *     north, counted from the west; ``e1``, ``s1``, ``w1`` likewise (from the south for e and w).
 */
export interface Wall {
  kind: "wall";
  room: string;
  side: string;
  build?: ("cavity" | "solid" | "stud") | FactStr | null;
  thickness?: string | number | FactStrFloat | null;
  stud_spacing?: string | number | FactStrFloat | null;
  stud_depth?: string | number | FactStrFloat | null;
  first_stud?: string | number | FactStrFloat | null;
  finish?: ("lath and plaster" | "panelling" | "plasterboard" | "tile") | FactStr | null;
  bearing?: ("no" | "unknown" | "yes") | FactStr | null;
  insulated?: boolean | FactBool | null;
  blocked?: ("no" | "unknown" | "yes") | FactStr | null;
  framing?: ("balloon" | "platform") | FactStr | null;
  lined?: boolean | FactBool | null;
}
/**
 * A door, window or doorway without a door in a wall; ``along`` is from the left corner.
 */
export interface Gap {
  kind: "opening";
  room: string;
  side: string;
  type: "door" | "doorway" | "window";
  along: string | number | FactStrFloat;
  width?: string | number | FactStrFloat | null;
  sill?: string | number | FactStrFloat | null;
  head?: string | number | FactStrFloat | null;
  header?: string | number | FactStrFloat | null;
}
/**
 * Something built in that makes a void; ``type`` is one of the files in ``plan/fixtures``.
 *
 *     It stands in ``room`` with its back ``against`` a side (``n1``), ``along`` from the left corner
 *     of that side as seen from inside the room.  ``size`` overrides the type's default dimensions.
 */
export interface Fixture {
  kind: "fixture";
  type: string;
  room: string;
  against: string;
  along?: string | number | FactStrFloat | null;
  name?: string;
  width?: string | number | FactStrFloat | null;
  depth?: string | number | FactStrFloat | null;
  height?: string | number | FactStrFloat | null;
  flip?: boolean;
  options?: {};
}
/**
 * A pipe, cable or duct run as a line through points (x, y, height above level 0's floor).
 */
export interface Service {
  kind: "service";
  type: "cable" | "drain" | "duct" | "gas" | "supply" | "vent";
  path: [string | number, string | number, string | number][];
  name?: string;
  diameter?: string | number | FactStrFloat | null;
  hole?: string | number | FactStrFloat | null;
  disused?: boolean;
  open_end?: "" | "end" | "start";
  owner?: string;
  chambers?: [string | number, string | number, string | number][];
  joins?: string;
  dead_leg?: boolean;
}
/**
 * What lies beyond one side, the floor, the ceiling or the loft of a room.
 */
export interface Edge {
  kind: "edge";
  room: string;
  is: "drain" | "ground" | "neighbour" | "not drawn yet" | "outside";
  part?: "ceiling" | "floor" | "loft" | "wall";
  side?: string;
  owner?: string;
}
/**
 * A hole in the edge of the plan that an animal might come in by.
 */
export interface EntryPoint {
  kind: "entry_point";
  name: string;
  place: Place;
  size?: string | number | FactStrFloat | null;
  material?: "masonry" | "metal" | "plastic" | "soft mortar" | "unknown" | "wood";
  beyond?: "drain" | "ground" | "neighbour" | "not drawn yet" | "outside";
  sealed?: boolean | FactBool;
  owner?: string;
}
/**
 * Where anything was seen or done; never a void id, so that redrawing loses nothing.
 *
 *     Either ``of`` names an entity (a room, a wall, a fixture, an entry point, a service, a storey)
 *     and ``along`` says how far from the left end of that wall or fixture; or ``at`` is a point on
 *     ``storey``.  ``height`` is above that storey's finished floor (negative: below it).  ``radius``
 *     makes it a zone (a sound heard somewhere here).  ``part`` picks among the spaces at one point:
 *     ``floor`` (under the boards), ``wall``, ``ceiling``, ``room``.
 *     ``extent`` is the length looked at along the wall or floor.
 */
export interface Place {
  of?: string;
  storey?: string;
  at?: [string | number, string | number] | null;
  along?: string | number | null;
  height?: string | number | null;
  extent?: string | number | null;
  radius?: string | number | null;
  part?: "" | "ceiling" | "floor" | "room" | "wall";
}
/**
 * Something the owner wants kept as it is.
 */
export interface Kept {
  kind: "kept";
  name: string;
  place: Place;
}
/**
 * One way the hidden framing may run: ``choices`` maps "entity.field" to a value.
 *
 *     Guesses that share a ``question`` exclude each other; their weights are shares of one. [1]
 */
export interface FramingGuess {
  kind: "framing_guess";
  question: string;
  weight: number;
  choices: {};
}
/**
 * One look at one place by one method; what it found, or nothing.
 *
 *     A finished inspection without a find of some kind says "nothing" for every kind that its method
 *     shows.  ``finished=False`` (a complaint, a glimpse) speaks for its finds only.
 *     ``share_seen`` is the share of the space that could be seen. [1]  ``product_days`` says how many
 *     days before a product was used here that hides or makes a smell; a smell then says nothing.
 */
export interface Inspection {
  kind: "inspection";
  place?: Place | null;
  method?: string;
  share_seen?: number;
  at?: string;
  by?: string;
  grade?: "photographed" | "seen" | "told";
  finished?: boolean;
  finds?: Find[];
  nights?: number | null;
  product_days?: number | null;
  note?: string;
}
/**
 * One sign within an inspection.
 *
 *     ``length`` is that of a dropping or the width of a burrow's mouth; ``ppm`` is what a meter of
 *     ammonia read. [1]  ``photos`` are the SHA-256 of its photos as they were taken one after the
 *     other; ``photo`` is that of a job from before a find had several, and counts as the first.
 *     One that is added later stands beside the inspection: :class:`wainscot.job.PhotoTaken`.
 */
export interface Find {
  kind: string;
  amount?: string;
  freshness?: "fresh" | "old" | "unsure";
  species?: string;
  same_trace_as?: string;
  length?: string | number | null;
  ppm?: number | null;
  photo?: string;
  photos?: string[];
  note?: string;
}
/**
 * Which animals are in question; without one, all three are weighed against each other.
 */
export interface Suspect {
  kind: "species";
  species: "house mouse" | "norway rat" | "roof rat";
  basis?: "default" | "estimated" | "measured" | "seen" | "told";
}
/**
 * What the owner signed for: openings by id, who signed and when.
 *
 *     A later one for openings that widen what was signed before is a change order; ``price`` is what
 *     was told, as typed.  ``signature`` is what the finger drew: the path data of SVG, moves and
 *     lines in a box 320 wide and 120 high.
 */
export interface Authorisation {
  kind: "authorisation";
  openings: string[];
  by: string;
  at?: string;
  price?: string;
  note?: string;
  signature?: string;
}
/**
 * An opening that the owner does not want; it stays on the plan with the risk it leaves.
 */
export interface Declined {
  kind: "declined";
  opening: string;
  by: string;
  at?: string;
  reason?: string;
}
/**
 * A hold point that a named person has settled: which one, who, on what evidence.
 *
 *     ``hold`` is its key, such as ``lead/kitchen``: the hazard, and the place that one release is
 *     good for.  Without evidence nothing is released.
 */
export interface Release {
  kind: "release";
  hold: string;
  by: string;
  evidence: string;
  at?: string;
  note?: string;
}
/**
 * A structural limit that a named person sets aside, with the reason; both are printed.
 */
export interface LimitOverride {
  kind: "limit_override";
  rule: string;
  reason: string;
  by: string;
  at?: string;
}
/**
 * A cut that somebody on the job drew: a rectangle in a wall, a floor or a ceiling of a room.
 *
 *     ``along`` is from the left corner of ``side``, as you face it, to the cut's left edge.  In a
 *     wall ``bottom`` is over the finished floor and ``height`` goes up from there; in a floor or
 *     ceiling ``bottom`` is the distance from that side's wall and ``height`` goes out into the room.
 */
export interface OwnCut {
  kind: "own_cut";
  room: string;
  side: string;
  along: string | number;
  width: string | number;
  height: string | number;
  bottom?: string | number;
  part?: "ceiling" | "floor" | "wall";
  by?: string;
  at?: string;
  note?: string;
}
/**
 * A picture of a plan under a storey's drawing, to draw over; nothing is calculated from it.
 *
 *     ``image`` is the SHA-256 of its bytes, kept with the photos; ``size`` its width and height. [px]
 *     ``corners`` says where its upper left, upper right, lower right and lower left corner lie on
 *     the plan, which fixes how it is straightened.  ``known`` is the length that it was scaled by;
 *     without it the scale is a guess.
 */
export interface PaperPlan {
  kind: "paper_plan";
  storey: string;
  image: string;
  /**
   * @minItems 2
   * @maxItems 2
   */
  size: [number, number];
  corners: [string | number, string | number][];
  known?: KnownLength | null;
}
/**
 * Two points of a picture, from its upper left corner, and how far apart they are as typed.
 *
 *     ``start`` and ``stop`` are to the right and down. [px]
 */
export interface KnownLength {
  /**
   * @minItems 2
   * @maxItems 2
   */
  start: [number, number];
  /**
   * @minItems 2
   * @maxItems 2
   */
  stop: [number, number];
  length: string | number;
}
/**
 * One photo of what an inspection found.
 *
 *     It stands beside the inspection, not in it, so that two devices may add photos to one find at
 *     the same time: each adds a thing, neither changes what the other changed.  ``of`` is the id of
 *     the inspection, ``find`` which of its finds, from 0; ``photo`` is the SHA-256 of the bytes.
 *     ``of`` may name an inspection that somebody took out meanwhile: then the photo is kept and not
 *     shown.  Who took it is not told, so that erasing a person leaves the firm its photos.
 */
export interface PhotoTaken {
  kind: "photo";
  of: string;
  photo: string;
  find?: number;
  at?: string;
}
/**
 * A closure that was made: what it closes, of what, who signed for it, and its photo.
 *
 *     ``closes`` is the id of an entry point or the key of a way as the seal list gives it.  Without a
 *     name and a photo it does not count.  ``inspect_at`` is the date by which it is looked at again.
 */
export interface SealMade {
  kind: "seal";
  closes: string;
  material: string;
  by?: string;
  at?: string;
  photo?: string;
  inspect_at?: string;
  note?: string;
}
/**
 * A trap that stands somewhere, from when; what was found in it is told by its checks.
 */
export interface Trap {
  kind: "trap";
  place: Place;
  at: string;
  type?: string;
  note?: string;
}
/**
 * One look at one trap: what it held, or that it was gone; it is set again unless said.
 *
 *     ``sprung`` is sprung and empty; ``other`` holds an animal that is not sought.  A trap found
 *     sprung or gone caught nothing from an unknown moment on.
 */
export interface TrapCheck {
  kind: "trap_check";
  trap: string;
  at: string;
  state: "bait taken" | "caught" | "missing" | "other" | "set" | "sprung";
  count?: number;
  species?: string;
  by?: string;
  taken_up?: boolean;
  note?: string;
}
/**
 * Bait or a lure that lies where somebody has to fetch it; the label rules what it is.
 */
export interface BaitLeft {
  kind: "bait_left";
  place: Place;
  what: string;
  at?: string;
  fetched_at?: string;
  note?: string;
}
/**
 * One reading of smell, moisture or the air itself in a room, with what it depends on.
 *
 *     ``value`` is in the unit of ``of``: a meter's reading, or smell from 0 (none) to 5. [1]
 *     ``outside`` is the temperature outdoors [C].  ``product_days``: days since a product was used
 *     here that hides or makes a smell.
 */
export interface AirReading {
  kind: "air_reading";
  room: string;
  at: string;
  of: "ammonia ppm" | "humidity percent" | "moisture percent" | "odour" | "temperature C";
  value: number;
  outside?: number | null;
  heating?: boolean | null;
  windows?: "" | "open" | "shut";
  product_days?: number | null;
  by?: string;
}
/**
 * What the label of a product in the hand says, as somebody typed it; it wins over our data.
 *
 *     ``product`` is a kind of product (``enzyme``, ``disinfectant``, ``bleach``, ``peroxide``,
 *     ``sealer``); ``contact_time`` is typed with its unit, ``dilution`` as 1:64, product to water.
 *     What the label lacks stops the cleaning and not the job.  ``coverage`` is in mL on a square
 *     metre. [unit]
 */
export interface ProductLabel {
  kind: "product_label";
  product: string;
  registration?: string;
  contact_time?: string;
  dilution?: string;
  surfaces?: string[];
  protection?: string[];
  coverage?: number | null;
  by?: string;
  at?: string;
  photo?: string;
}
/**
 * One application of one product to one place, from the minute it was first wet.
 *
 *     ``surface`` is what it went on (``wood``, ``masonry``).  ``air`` and ``humidity`` are those of
 *     the place as read, with their units; with them the life of the film is told.
 */
export interface Application {
  kind: "application";
  label: string;
  place: Place;
  at: string;
  surface?: string;
  air?: string;
  humidity?: string;
  by?: string;
  note?: string;
}
/**
 * Something done or seen of an application: wetted again, seen dry, or ended.
 */
export interface ContactMoment {
  kind: "contact";
  application: string;
  at: string;
  what: "dry seen" | "end" | "wet again";
  by?: string;
  note?: string;
}
/**
 * One point of the work, or one line of the van list, that somebody ticked as done.
 *
 *     ``of`` is the point's key (``van/towels, buckets``), ``words`` what it said then; a point that
 *     says something else after a new calculation is another one.  Taking a tick back withdraws it.
 *     Several ticks of one point count as one.
 */
export interface Ticked {
  kind: "tick";
  of: string;
  words?: string;
  by?: string;
  at?: string;
}
/**
 * One line of what the crew writes of itself; it alarms nobody.
 *
 *     ``fit test`` is one seen in date, ``in`` and ``out`` the work area, ``check-in`` a word given to
 *     the person outside, ``heat`` anything that heat did to somebody.
 */
export interface CrewEntry {
  kind: "crew_log";
  who: string;
  at: string;
  what: "bite" | "check-in" | "fit test" | "heat" | "in" | "out" | "rest" | "scratch" | "splash" | "unwell";
  note?: string;
}
/**
 * What was agreed on closing the house, and what cannot wait; several count together.
 *
 *     ``given_up``, ``twice`` and ``cannot_wait`` name voids by id, label or kind: left to the
 *     animals; to be closed in a second layer; where a nest may not stay near.  ``declined`` holds
 *     keys of ways that the owner does not want closed.  ``shared`` is a shop or a shared building.
 *     ``warranty`` is the firm's own text, ``warranty_until`` its last day.  ``may_learn``: the owner
 *     lets the firm learn rates from what was found here; not unless it is said.
 */
export interface ClosingTerms {
  kind: "closing_terms";
  given_up?: string[];
  twice?: string[];
  cannot_wait?: string[];
  declined?: string[];
  shared?: boolean;
  warranty?: string;
  warranty_until?: string;
  may_learn?: boolean;
  by?: string;
  at?: string;
  note?: string;
}
/**
 * The first call: what was said of the house, of who lives there and of how to get in.
 *
 *     Signs and sounds that were told are inspections (``grade`` told), rooms that were named are
 *     rooms, bait with its room is ``bait_left``, the year built stands in ``settings`` and the first
 *     visit is a ``visit``; none of that is written here again.  ``caller``, ``telephone`` and
 *     ``address`` are the only personal facts; ``people`` names nobody.  A list that holds ``none``
 *     was asked for and answered with no; an empty one was not answered.
 */
export interface Call {
  kind: "call";
  at: string;
  by?: string;
  caller?: string;
  telephone?: string;
  address?: string;
  stops?: "" | "no" | "yes";
  may_order?: string;
  pays?: string;
  since?: string;
  poison?: string;
  pets?: string;
  people?: ("none" | "pregnancy" | "small children" | "weak immune system" | "weak lungs")[];
  reads?: string;
  built_of?: string;
  harm?: ("fuses trip" | "none" | "pipes drip")[];
  access?: string;
  keys?: string;
  left_alone?: string;
  urgency?: "" | "next free visit" | "today" | "within two days";
  note?: string;
}
/**
 * Somebody's word on one paper: which, by the SHA-256 of its bytes, who, and when.
 *
 *     ``paper`` is its kind, ``version`` that of the job that it tells of.  ``signature`` is what the
 *     finger drew: the path data of SVG, moves and lines in a box 320 wide and 120 high.
 */
export interface Signature {
  kind: "signature";
  paper: string;
  digest: string;
  version: string;
  by: string;
  at?: string;
  role?: "" | "firm" | "neighbour" | "owner" | "tenant" | "trade";
  signature?: string;
  note?: string;
}
/**
 * A job that was closed: when, by whom, on what statement, and what nobody looked at.
 *
 *     ``outcome`` and ``chance`` are what the all-clear said in that moment. [1]  ``not_seen`` names
 *     what was not looked at, as the owner was told.  The terms of the warranty stand in
 *     ``closing_terms``.
 */
export interface Closed {
  kind: "closed";
  at: string;
  by: string;
  outcome?: string;
  chance?: number | null;
  not_seen?: string[];
  note?: string;
}
/**
 * The house called again after it was closed: the job is open again, with all that it holds.
 *
 *     ``because`` is what they say; each counts against the job in the firm's own figures.
 */
export interface Callback {
  kind: "callback";
  at: string;
  by?: string;
  because?: "" | "animals" | "damage" | "other" | "seal" | "smell";
  note?: string;
}
/**
 * What was erased for a person's sake: each text by its covering hash, photos by their own.
 *
 *     It counts from when it is written, whatever is withdrawn later; ``by`` is who erased.
 */
export interface Erased {
  kind: "erased";
  texts: string[];
  photos?: string[];
  by?: string;
  at?: string;
}
/**
 * One attendance: when, who, what was done, what is next and when.
 *
 *     ``who`` holds ids of accounts or, where there is no server, names.
 */
export interface Visit {
  kind: "visit";
  at: string;
  who?: string[];
  done?: string;
  next?: string;
  next_at?: string;
}
/**
 * Somebody who is on the job.
 *
 *     ``who`` is the id of an account, which gives that account its rights to this job on the firm's
 *     server; where there is no server, a name.
 */
export interface Crew {
  kind: "crew";
  who: string;
  leads?: boolean;
  note?: string;
}
/**
 * Labels that were given to voids and are kept: void id to label.
 *
 *     ``wainscot validate --fix`` writes it, so that W7 in pencil on a wall stays W7 on the plan.
 */
export interface Labels {
  kind: "labels";
  given?: {
    [k: string]: string;
  };
}
/**
 * Facts of the whole building.
 */
export interface Settings {
  kind: "settings";
  year_built?: number | FactInt | null;
  country?: "" | "CA" | "UK" | "US";
}
/**
 * A value with its basis; ``default`` means nobody knew and a stated default stands in.
 */
export interface FactInt {
  value: number;
  basis?: "default" | "estimated" | "measured" | "seen" | "told";
  source?: string;
}
/**
 * Two devices changed one field; a winner is folded and both stay visible.
 *
 *     ``field`` is empty where one device withdrew the whole entity while another changed it.
 *     ``winner`` and ``others`` are event ids; ``lost`` holds the values of ``others`` as JSON text,
 *     empty where the field or entity was withdrawn.
 */
export interface Conflict {
  entity: string;
  field: string;
  winner: string;
  others: string[];
  lost?: string[];
}
