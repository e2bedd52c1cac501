/**
 * What stands on a storey because nobody said otherwise, each with what a word would write; and which
 * way hidden joists run, as one question with shares.
 *
 * The same rules as the program's own reading of a plan; a browser test holds the two together.
 */
import type { Typed } from "../geometry/quantity";
import type { FramingGuess, Storey, Wall } from "../made/job";
import { floorOf } from "./levels";
import { countryOf, known, ofKind, sceneOf, usual, type Country, type Entities } from "./scene";

export type Fact =
  | "height" | "floor.build" | "floor.below" | "floor.joist_spacing" | "floor.joist_depth"
  | "floor.crawl_height" | "ceiling" | "loft_height" | "wall.build" | "wall.stud_spacing";

export interface Assumed {
  readonly fact: Fact;
  /** A length as typed, or a word of the job file. */
  readonly value: string;
  /** Words to choose from; none for a length. */
  readonly choices: readonly string[];
  /** Sides of walls that it speaks of ("kitchen/n1"); none where it speaks of the storey. */
  readonly walls: readonly string[];
}
/** Entities to write, as plain data. */
export type Writing = Record<string, Record<string, unknown>>;
type Field = { value: unknown; basis?: string } | string | number | boolean | null | undefined;

const isKnown = (field: Field): boolean =>
  field !== null && field !== undefined && !(typeof field === "object" && field.basis === "default");

/** Every default that stands on a storey, those of the whole floor first. */
export const assumedOf = (entities: Entities, storey: string, units: string): Assumed[] => {
  const own = entities[storey];
  if (own?.kind !== "storey") return [];
  const country = countryOf(entities, units);
  const scene = sceneOf(entities, storey, units);
  if (!scene.rooms.length) return [];
  return [...ofStorey(own, entities, country, units), ...ofWalls(entities, scene.walls, country, units)];
};

const ofStorey = (own: Storey, entities: Entities, country: Country, units: string): Assumed[] => {
  const length = (name: Parameters<typeof usual>[0]): string => typedLength(usual(name, country), units);
  const top = Math.max(...ofKind(entities, "storey").map(([, one]) => one.level ?? 0)) === (own.level ?? 0);
  const { build, below } = floorOf(own, entities, country);
  const floor = own.floor ?? {};
  const found: Assumed[] = [];
  const add = (fact: Fact, field: Field, value: string, choices: readonly string[] = []): void => {
    if (!isKnown(field)) found.push({ fact, value: String(known(field as never) ?? value), choices, walls: [] });
  };
  add("height", own.height, length("storey height"));
  add("floor.build", floor.build, build, ["joists", "slab"]);
  add("floor.below", floor.below, below, ["crawl space", "ground", "storey"]);
  if (build === "joists") {
    add("floor.joist_spacing", floor.joist_spacing, length("joist spacing"));
    add("floor.joist_depth", floor.joist_depth, length((own.level ?? 0) === 0 ? "ground joist depth" : "joist depth"));
    if (below !== "storey") add("floor.crawl_height", floor.crawl_height, length(below === "crawl space" ? "crawl height" : "underfloor height"));
  }
  const ceiling = known<string>(own.ceiling) ?? (top ? "loft" : "storey");
  add("ceiling", own.ceiling, ceiling, ["loft", "roof", "storey"]);
  if (ceiling === "loft") add("loft_height", own.loft_height, length("loft height"));
  return found;
};

type WallLike = { readonly id: string; readonly build: string; readonly facing: { room: string; name: string } | null };

const ofWalls = (entities: Entities, walls: readonly WallLike[], country: Country, units: string): Assumed[] => {
  const builds = new Map<string, string[]>();
  const studs: string[] = [];
  for (const wall of walls) {
    const said = wallSaid(entities, wall)?.[1];
    if (!isKnown(said?.build as Field)) builds.set(wall.build, [...(builds.get(wall.build) ?? []), wall.id]);
    if (wall.build === "stud" && !isKnown(said?.stud_spacing as Field)) studs.push(wall.id);
  }
  const found: Assumed[] = [...builds].map(([value, ids]) => ({
    fact: "wall.build", value, choices: ["stud", "cavity", "solid"], walls: [...new Set(ids)],
  }));
  if (studs.length) {
    found.push({
      fact: "wall.stud_spacing", value: typedLength(usual("stud spacing", country), units), choices: [],
      walls: [...new Set(studs)],
    });
  }
  return found;
};

/** What was said of a wall, from either of its faces; of two the one that the program hears first. */
export const wallSaid = (entities: Entities, wall: Pick<WallLike, "id" | "facing">): [string, Wall] | undefined => {
  const saidAt = (side: string) => ofKind(entities, "wall").find(([, one]) => `${one.room}/${one.side}` === side);
  return saidAt(wall.id) ?? (wall.facing ? saidAt(`${wall.facing.room}/${wall.facing.name}`) : undefined);
};

/** The entities that a word on one assumption writes, in one gesture. */
export const saying = (
  entities: Entities, storey: string, units: string, one: Assumed, value: Typed, basis: "told" | "seen" | "measured",
  newId: (what: string) => string,
): Writing => {
  if (!one.walls.length) {
    const own = entities[storey] as unknown as Record<string, unknown>;
    return { [storey]: withFact(own, one.fact.split("."), value, basis) };
  }
  const field = one.fact.split(".")[1]!;
  const scene = sceneOf(entities, storey, units);
  const written: Writing = {};
  for (const id of one.walls) {
    const wall = scene.walls.find((each) => each.id === id);
    if (!wall) continue;
    const said = wallSaid(entities, wall);
    const key = said?.[0] ?? newId("wall");
    const old = said?.[1] ?? { kind: "wall", room: wall.side.room, side: wall.side.name };
    written[key] = withFact(old as unknown as Record<string, unknown>, [field], value, basis);
  }
  return written;
};

// -- which way it runs -------------------------------------------------------------------------

/** No more ways the framing may run are calculated together. */
const MOST_WAYS = 4;
/** Share of what somebody thinks likely and has not seen (judgement). [1] */
export const PROBABLY = 0.75;

export interface Question {
  readonly words: string;
  readonly ways: readonly { readonly id: string; readonly weight: number; readonly choices: Record<string, unknown> }[];
}

export const questionsOf = (entities: Entities): Question[] => {
  const all = new Map<string, [string, FramingGuess][]>();
  for (const pair of ofKind(entities, "framing_guess")) {
    all.set(pair[1].question, [...(all.get(pair[1].question) ?? []), pair]);
  }
  return [...all].map(([words, some]) => ({
    words, ways: some.map(([id, one]) => ({ id, weight: one.weight, choices: one.choices as Record<string, unknown> })),
  }));
};

const targetOf = (storey: string): string => `${storey}.floor.joists_run`;

/** The question of a storey's joists, if somebody asked it. */
export const joistQuestion = (entities: Entities, storey: string): Question | undefined =>
  questionsOf(entities).find((one) => one.ways.some((way) => targetOf(storey) in way.choices));

/** Share of "along x" of a storey's joists: 1 or 0 where it was said, null where nobody said. [1] */
export const joistsAlongX = (entities: Entities, storey: string): number | null => {
  const own = entities[storey];
  if (own?.kind !== "storey") return null;
  const said = known(own.floor?.joists_run as Field);
  if (isKnown(own.floor?.joists_run as Field)) return said === "x" ? 1 : said === "y" ? 0 : null;
  const question = joistQuestion(entities, storey);
  const way = question?.ways.find((one) => known(one.choices[targetOf(storey)] as Field) === "x");
  return way ? way.weight : null;
};

/**
 * What a word on the joists writes: a fact where it is sure, else two guesses that exclude each
 * other; old guesses of this question go out.  Null where too many questions are open.
 */
export const sayJoists = (
  entities: Entities, storey: string, share: number, newId: (what: string) => string, question: string,
): Record<string, Record<string, unknown> | null> | null => {
  const own = entities[storey] as Storey;
  const old = joistQuestion(entities, storey);
  const written: Record<string, Record<string, unknown> | null> = {};
  for (const way of old?.ways ?? []) written[way.id] = null;
  const { joists_run: _, ...floor } = own.floor ?? {};
  if (share === 0 || share === 1) {
    written[storey] = { ...own, floor: { ...floor, joists_run: { value: share ? "x" : "y", basis: "seen" } } };
    return written;
  }
  const others = questionsOf(entities).filter((one) => one.words !== old?.words);
  if (2 * others.reduce((ways, one) => ways * one.ways.length, 1) > MOST_WAYS) return null;
  if (isKnown(own.floor?.joists_run as Field)) written[storey] = { ...own, floor };
  for (const [way, weight] of [["x", share], ["y", 1 - share]] as const) {
    written[newId("guess")] = {
      kind: "framing_guess", question: old?.words ?? question, weight, choices: { [targetOf(storey)]: way },
    };
  }
  return written;
};

/** What settling a question writes: what the chosen way says, as seen, and no guess left. */
export const settled = (
  entities: Entities, sets: Record<string, unknown>, guesses: readonly string[],
): Record<string, Record<string, unknown> | null> => {
  const written: Record<string, Record<string, unknown> | null> = {};
  for (const key of guesses) if (entities[key]) written[key] = null;
  for (const [target, value] of Object.entries(sets)) {
    const [key, ...fields] = target.split(".") as [string, ...string[]];
    const old = written[key] ?? entities[key];
    if (old) written[key] = withFact(old as Record<string, unknown>, fields, known(value as Field));
  }
  return written;
};

/** An entity with a fact written, also into a part of it (`floor.joists_run`). */
export const withFact = (
  one: Record<string, unknown>, [first, ...rest]: readonly string[], value: unknown, basis = "seen",
): Record<string, unknown> => ({
  ...one,
  [first!]: rest.length ? withFact((one[first!] as Record<string, unknown> | undefined) ?? {}, rest, value, basis) : { value, basis },
});

/** The storey whose joists alone a set of choices speaks of. */
export const joistsOf = (sets: Record<string, unknown>): string | undefined => {
  const [only, ...more] = Object.keys(sets);
  return more.length ? undefined : /^(.+)\.floor\.joists_run$/.exec(only ?? "")?.[1];
};

/** A usual length as people would type it: 16 in, not 406.4 mm. */
const typedLength = (metres: number, units: string): string => {
  const thousandths = Math.round(metres * 1e7) / 1e4;
  if (units === "m") return thousandths < 1000 ? `${thousandths} mm` : `${thousandths / 1000} m`;
  const inches = Math.round((metres / 0.0254) * 1000) / 1000;
  return `${inches} in`;
};
