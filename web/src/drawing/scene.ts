/**
 * A storey of the job as shapes: what the plan shows and what a tap can meet.
 *
 * Limits: a picture of what was drawn, with usual sizes where nothing was said.  Which voids there
 * are and what is in them is for the program that calculates.
 */
import { countryOf, known, metres, ofKind, usual } from "./facts";
import { elevationOf } from "./levels";
import { pointAtSide, pointOfRun } from "./points";
import { facings, type Facing } from "../geometry/facing";
import type { Point } from "../geometry/frame";
import {
  anticlockwise, area, placeOn, pointOn, sideLength, sidesOf, stripOn, type Side,
} from "../geometry/outline";
import { lengthOr } from "../geometry/quantity";
import type {
  Callback, Closed, ClosingTerms, Signature,
  AirReading, Application, Authorisation, BaitLeft, Call, ContactMoment, CrewEntry, Declined, Edge, EntryPoint, Fixture, FramingGuess, Gap, Inspection, Kept, OwnCut, PaperPlan, Place, ProductLabel, Release, Room, SealMade, Service, Settings, Storey, Ticked, Trap, TrapCheck, Visit, Wall,
} from "../made/job";
import kinds from "../made/kinds.json";

export type Entity =
  | Storey | Room | Wall | Gap | Fixture | Service | Edge | EntryPoint | FramingGuess | Inspection | Settings
  | Kept | Authorisation | Declined | Release | OwnCut | PaperPlan | Signature | Closed | Callback | ClosingTerms
  | { readonly kind: "other" }
  | ProductLabel | Application | ContactMoment | Ticked | CrewEntry | SealMade | Trap | TrapCheck | BaitLeft | AirReading | Call | Visit;
export type Entities = { readonly [id: string]: Entity };
export type EdgeKind = Edge["is"];

/** The same entities, with their names as they are shown; the very same where no name is shown otherwise. */
export const withNames = (entities: Entities, shown: (name: string) => string): Entities => {
  const other = Object.entries(entities).flatMap(([id, one]) => {
    const name = "name" in one ? one.name : "";
    return name && shown(name) !== name ? [[id, { ...one, name: shown(name) } as Entity] as const] : [];
  });
  return other.length ? { ...entities, ...Object.fromEntries(other) } : entities;
};

export interface RoomShape {
  readonly id: string;
  readonly name: string;
  readonly outline: readonly Point[];
  readonly sides: readonly Side[];
}
export interface OpeningShape {
  readonly id: string;
  readonly type: Gap["type"];
  /** From the left corner of the owner's side. [m] */
  readonly from: number;
  readonly to: number;
}
export interface WallShape {
  readonly id: string;
  readonly side: Side;
  readonly facing: Side | null;
  readonly thickness: number;
  /** From the left corner of its side. [m] */
  readonly from: number;
  readonly to: number;
  readonly outline: readonly Point[];
  readonly build: "stud" | "cavity" | "solid";
  readonly beyond: EdgeKind | "";
  readonly openings: readonly OpeningShape[];
  /** Ends of its stud bays, from the left corner. [m] */
  readonly bays: readonly number[];
  /** Number of the first of them in the ids of voids, which count from the first stud. */
  readonly firstBay: number;
  readonly assumed: boolean;
}
export interface FixtureShape {
  readonly id: string;
  readonly type: string;
  readonly words: string;
  readonly side: Side;
  readonly along: number;
  readonly width: number;
  readonly depth: number;
  readonly outline: readonly Point[];
}
export interface EntryShape {
  readonly id: string;
  readonly name: string;
  readonly at: Point;
}
export interface SignShape {
  readonly id: string;
  readonly letter: string;
  readonly nothing: boolean;
  readonly ring: number;
  readonly at: Point;
  readonly words: string;
}
export interface Scene {
  readonly rooms: readonly RoomShape[];
  readonly walls: readonly WallShape[];
  readonly fixtures: readonly FixtureShape[];
  readonly entries: readonly EntryShape[];
  readonly signs: readonly SignShape[];
  readonly runs: readonly { readonly id: string; readonly type: string; readonly path: readonly Point[] }[];
}

export type Country = "UK" | "US";
export { countryOf, known, metres, ofKind, usual };

export const fixtureKind = (type: string) => kinds.fixtures.find((one) => one.name === type);

export const roomShape = (id: string, room: Room): RoomShape | null => {
  const points = (room.polygon ?? []).map(
    ([x, y]): Point => [lengthOr(x, NaN), lengthOr(y, NaN)],
  );
  if (points.length < 3 || points.flat().some(Number.isNaN)) return null;
  const outline = anticlockwise(points);
  if (outline.length < 3 || area(outline) < 1e-4) return null;
  return { id, name: room.name, outline, sides: sidesOf(id, outline) };
};

/** The shapes of one storey. */
export const sceneOf = (entities: Entities, storey: string, units: string): Scene => {
  const country = countryOf(entities, units);
  const rooms = ofKind(entities, "room")
    .filter(([, room]) => room.storey === storey)
    .map(([id, room]) => roomShape(id, room))
    .filter((one) => one !== null);
  const sides = new Map(rooms.flatMap((room) => room.sides.map((side) => [`${room.id}/${side.name}`, side])));
  const walls = wallsOf(entities, rooms, country);
  const fixtures = ofKind(entities, "fixture").flatMap(([id, one]) => {
    const shape = fixtureShape(id, one, sides.get(`${one.room}/${one.against}`), country);
    return shape ? [shape] : [];
  });
  const whole = { rooms, walls, fixtures };
  return {
    ...whole,
    entries: ofKind(entities, "entry_point").flatMap(([id, one]) => {
      const at = placePoint(one.place, entities, storey, whole);
      return at ? [{ id, name: one.name, at }] : [];
    }),
    signs: signsOf(entities, storey, whole),
    runs: ofKind(entities, "service").flatMap(([id, one]) =>
      piecesWithin(one, levelOf(entities, storey, country)).map((path) => ({ id, type: one.type, path })),
    ),
  };
};

/** Lowest and highest of what belongs to a storey: its floor and what lies under it, its rooms. [m] */
const levelOf = (entities: Entities, storey: string, country: Country): [number, number] => {
  const own = entities[storey];
  if (own?.kind !== "storey") return [0, 0];
  const floor = elevationOf(entities, storey, country);
  return [floor - 1, floor + (metres(own.height) ?? usual("storey height", country))];
};

/** The parts of a run that lie on a storey, seen from above. */
const piecesWithin = (run: Service, [low, high]: readonly [number, number]): Point[][] => {
  const pieces: Point[][] = [];
  let before = false;
  for (const [x, y, z] of run.path) {
    const here = lengthOr(z, 0) >= low && lengthOr(z, 0) < high;
    if (here && !before) pieces.push([]);
    if (here) pieces.at(-1)!.push([lengthOr(x, 0), lengthOr(y, 0)]);
    before = here;
  }
  return pieces.filter((one) => one.length > 1);
};

const wallsOf = (entities: Entities, rooms: readonly RoomShape[], country: Country): WallShape[] => {
  const drawn = new Map(ofKind(entities, "wall").map(([, one]) => [`${one.room}/${one.side}`, one]));
  const edges = new Map(
    ofKind(entities, "edge")
      .filter(([, one]) => (one.part ?? "wall") === "wall")
      .map(([, one]) => [one.side ? `${one.room}/${one.side}` : one.room, one.is]),
  );
  const year = known(ofKind(entities, "settings")[0]?.[1].year_built);
  return facings(rooms.flatMap((room) => room.sides)).map((facing) => {
    const own = `${facing.side.room}/${facing.side.name}`;
    const said = drawn.get(own) ?? (facing.other && drawn.get(`${facing.other.room}/${facing.other.name}`));
    const beyond = facing.other ? "" : edges.get(own) ?? edges.get(facing.side.room) ?? "not drawn yet";
    const build = (known(said?.build) as WallShape["build"]) ?? usualBuild(facing, beyond, country, year);
    const thickness = facing.other ? facing.gap : metres(said?.thickness) ?? thicknessOf(build, country);
    const [from, to] = ends(facing);
    const spacing = metres(said?.stud_spacing) ?? usual("stud spacing", country);
    const given = metres(said?.first_stud) ?? 0;
    // Said from the other face, left and right change places.
    const first = said && facing.other && drawn.get(own) !== said ? placeOn(facing.side, pointOn(facing.other, given)).along : given;
    return {
      id: own, side: facing.side, facing: facing.other, thickness, from, to, build, beyond,
      outline: stripOn(facing.side, from, to, 0, thickness),
      openings: openingsOf(entities, facing),
      bays: build === "stud" ? baysOf(from, to, first, spacing) : [],
      firstBay: spacing > 0.05 ? Math.floor((from - first) / spacing + 1e-6) : 0,
      assumed: !said,
    };
  });
};

const ends = ({ side, low, high }: Facing): [number, number] =>
  "nw".includes(side.normal) ? [low - side.low, high - side.low] : [side.high - high, side.high - low];

/** The program's own rule for a wall that nobody described. */
const usualBuild = (
  facing: Facing, beyond: string, country: Country, year: number | undefined,
): WallShape["build"] => {
  if (facing.other) return facing.gap <= 0.18 + 1e-9 ? "stud" : "solid";
  if (beyond === "not drawn yet" || country !== "UK") return "stud";
  return beyond === "neighbour" || (year !== undefined && year < 1925) ? "solid" : "cavity";
};

export const thicknessOf = (build: WallShape["build"], country: Country): number => {
  const board = usual("wall board", country);
  if (build === "stud") return usual("stud depth", country) + 2 * board;
  if (build === "solid") return usual("solid wall", country);
  return 2 * usual("inner leaf", country) + usual("wall cavity", country) + usual("plaster", country);
};

const baysOf = (from: number, to: number, first: number, spacing: number): number[] => {
  const found = [from];
  if (spacing > 0.05) {
    const start = Math.ceil((from - first) / spacing + 1e-6);
    for (let n = start; first + n * spacing < to - 0.02; n++) found.push(first + n * spacing);
  }
  return [...found, to];
};

const openingsOf = (entities: Entities, facing: Facing): OpeningShape[] =>
  ofKind(entities, "opening").flatMap(([id, one]) => {
    const along = metres(one.along);
    const width = metres(one.width) ?? (one.type === "window" ? 1.2 : 0.8);
    if (along === undefined) return [];
    const at = `${one.room}/${one.side}`;
    if (at === `${facing.side.room}/${facing.side.name}`) {
      return [{ id, type: one.type, from: along, to: along + width }];
    }
    if (!facing.other || at !== `${facing.other.room}/${facing.other.name}`) return [];
    // Seen from the other face, left and right change places.
    const turned = (value: number): number => {
      const on = "nw".includes(facing.other!.normal) ? facing.other!.low + value : facing.other!.high - value;
      return "nw".includes(facing.side.normal) ? on - facing.side.low : facing.side.high - on;
    };
    return [{ id, type: one.type, from: turned(along + width), to: turned(along) }];
  });

const fixtureShape = (
  id: string, one: Fixture, side: Side | undefined, country: Country,
): FixtureShape | null => {
  const kind = fixtureKind(one.type);
  if (!side || !kind) return null;
  const at = country === "UK" ? 0 : 1;
  const size = (name: "width" | "depth"): number => metres(one[name]) ?? kind.sizes[name]?.[at] ?? 0.6;
  const width = kind.wholeRoom && !one.width ? sideLength(side) : size("width");
  const [along, depth] = [metres(one.along) ?? 0, size("depth")];
  return {
    id, type: one.type, words: one.name || kind.words, side, along, width, depth,
    outline: stripOn(side, along, along + width, 0, -depth),
  };
};

/** Where a place lies on a storey's plan; null where it is on another or nowhere. */
export const placePoint = (
  place: Place | null | undefined, entities: Entities, storey: string,
  shapes: Pick<Scene, "rooms" | "fixtures" | "walls">,
): Point | null => {
  if (!place) return null;
  if (place.at && place.storey === storey) {
    const [x, y] = place.at;
    return [lengthOr(x, 0), lengthOr(y, 0)];
  }
  const room = shapes.rooms.find((one) => one.id === place.of);
  if (room) return middle(room.outline);
  const fixture = shapes.fixtures.find((one) => one.id === place.of);
  if (fixture) return middle(fixture.outline);
  const of = place.of ? entities[place.of] : undefined;
  if (of?.kind === "entry_point") return placePoint(of.place, entities, storey, shapes);
  if (of?.kind === "service" && of.path.length) {
    const [x, y, z] = pointOfRun(of, place);
    const [low, high] = levelOf(entities, storey, countryOf(entities, "m"));
    return z >= low && z < high ? [x, y] : null;
  }
  return pointAtSide(place, entities, shapes);
};

const signsOf = (
  entities: Entities, storey: string, shapes: Pick<Scene, "rooms" | "fixtures" | "walls">,
): SignShape[] =>
  ofKind(entities, "inspection").flatMap(([id, one]) => {
    const place = placePoint(one.place, entities, storey, shapes);
    if (!place) return [];
    const at = besideName(one.place!, place, shapes);
    const find = one.finds?.[0];
    const sign = kinds.signs.find((each) => each.name === find?.kind);
    const none = ["nothing", "none", "clean", "in order"].includes(find?.amount ?? "");
    const nothing = !find || sign?.form === "silence" || none;
    return [{
      id, at, nothing, letter: sign && sign.form !== "silence" ? sign.letter : "",
      ring: metres(one.place?.radius) ?? 0,
      words: find ? [find.kind, find.amount].filter(Boolean).join(", ") : "looked and saw nothing",
    }];
  });

/** A mark of a whole room or fixture stands beside the name or number in its middle. */
const besideName = (place: Place, [x, y]: Point, shapes: Pick<Scene, "rooms" | "fixtures">): Point => {
  if (place.at) return [x, y];
  const fixture = shapes.fixtures.find((one) => one.id === place.of);
  if (fixture) return pointOn(fixture.side, fixture.along + fixture.width * 0.15, -fixture.depth / 2);
  const room = shapes.rooms.find((one) => one.id === place.of);
  if (!room) return [x, y];
  const south = Math.min(...room.outline.map((one) => one[1]));
  return [x, y - 0.5 * (y - south)];
};

/** The middle of the largest strip that lies inside, so that a name never stands outside. */
export const middle = (outline: readonly Point[]): Point => {
  const ys = [...new Set(outline.map(([, y]) => y))].sort((a, b) => a - b);
  let best: { size: number; at: Point } | null = null;
  for (let n = 0; n + 1 < ys.length; n++) {
    const [low, high] = [ys[n]!, ys[n + 1]!];
    const y = (low + high) / 2;
    const xs = outline
      .flatMap(([x1, y1], m): number[] => {
        const [x0, y0] = outline.at(m - 1)!;
        return y1 > y !== y0 > y ? [x0 + ((y - y0) / (y1 - y0)) * (x1 - x0)] : [];
      })
      .sort((a, b) => a - b);
    for (let m = 0; m + 1 < xs.length; m += 2) {
      const size = Math.min(xs[m + 1]! - xs[m]!, 3 * (high - low)) * (high - low);
      if (!best || size > best.size) best = { size, at: [(xs[m]! + xs[m + 1]!) / 2, y] };
    }
  }
  return best?.at ?? outline[0] ?? [0, 0];
};
