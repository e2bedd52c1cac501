/** How high the floors lie: the storeys stacked by the program's own rule. */
import type { Storey } from "../made/job";
import { known, metres, ofKind, usual } from "./facts";
import type { Country, Entities } from "./scene";

/** How deep a slab counts, from its upper face down; what is under it is nobody's way. [m] */
const SLAB = 0.1;

/** The build of a storey's floor as it stands, said or not. */
export const floorOf = (own: Storey, entities: Entities, country: Country): { build: string; below: string } => {
  const year = known(ofKind(entities, "settings")[0]?.[1].year_built);
  const level = own.level ?? 0;
  const slab = level < 0 || (level === 0 && country === "UK" && year !== undefined && year >= 1970);
  const build = known<string>(own.floor?.build) ?? (slab ? "slab" : "joists");
  const over = level > 0 || ofKind(entities, "storey").some(([, one]) => (one.level ?? 0) === level - 1);
  const under = over ? "storey" : country === "UK" || build === "slab" ? "ground" : "crawl space";
  return { build, below: known<string>(own.floor?.below) ?? under };
};

/** Depth from the finished floor to the underside of joists or slab. [m] */
const depthOf = (own: Storey, entities: Entities, country: Country): number => {
  const joists = floorOf(own, entities, country).build === "joists";
  const name = (own.level ?? 0) === 0 ? "ground joist depth" : "joist depth";
  return usual("floor board", country) + (joists ? metres(own.floor?.joist_depth) ?? usual(name, country) : SLAB);
};

/** Height of a storey's finished floor above that of level 0. [m] */
export const elevationOf = (entities: Entities, storey: string, country: Country): number => {
  const all = ofKind(entities, "storey").map(([, one]) => one);
  const at = (level: number): Storey[] => all.filter((one) => (one.level ?? 0) === level);
  const high = (one: Storey): number => (metres(one.height) ?? usual("storey height", country)) + usual("ceiling board", country);
  const clear = (level: number): number => Math.max(0, ...at(level).map(high)) || usual("storey height", country);
  const deep = (level: number): number =>
    Math.max(0, ...at(level).map((one) => depthOf(one, entities, country))) || usual("joist depth", country) + usual("floor board", country);
  const own = entities[storey];
  const level = own?.kind === "storey" ? own.level ?? 0 : 0;
  let height = 0;
  for (let one = 1; one <= level; one++) height += clear(one - 1) + deep(one);
  for (let one = -1; one >= level; one--) height -= deep(one + 1) + clear(one);
  return height;
};
