/**
 * Ready-made pieces of a house: what stands together by common practice (no source), put against a
 * wall in one gesture.  Sizes are those of the kinds; every piece can be moved and changed after.
 */
import { placeOn, pointOn, sideLength, type Side } from "../geometry/outline";
import type { Point } from "../geometry/frame";
import { asTyped } from "../geometry/quantity";
import { keptClear, typedCorner } from "./edit";
import { elevationOf } from "./levels";
import { countryOf, fixtureKind, metres, thicknessOf, usual, type Country, type Entities, type RoomShape, type Scene, type WallShape } from "./scene";

export const READY = ["wet wall", "kitchen corner", "stair with cupboard", "chimney with cupboards", "boxed soil pipe"] as const;
export type Ready = (typeof READY)[number];

export interface Asked {
  readonly ready: Ready;
  readonly room: RoomShape;
  readonly wall: WallShape;
  /** From the left corner of the room's own side. [m] */
  readonly along: number;
  readonly names: { readonly bathroom: string; readonly kitchen: string };
  readonly newId: (what: string) => string;
}
export type Made =
  | { readonly entities: Record<string, Record<string, unknown>> }
  /** It does not fit: what it needs, what is there. [m] */
  | { readonly needs: number; readonly has: number };

interface Ground {
  readonly entities: Entities;
  readonly scene: Scene;
  readonly storey: string;
  readonly country: Country;
}

export const readyMade = (asked: Asked, entities: Entities, scene: Scene, storey: string, units: string): Made => {
  const ground: Ground = { entities, scene, storey, country: countryOf(entities, units) };
  const side = sideFrom(asked.wall, asked.room.id);
  if (asked.ready === "wet wall") return wetWall(asked, side, ground);
  if (asked.ready === "kitchen corner") return kitchenCorner(asked, side, ground);
  if (asked.ready === "stair with cupboard") return inRow(asked, side, ground, [["stair", { options: { cupboard: true } }]]);
  if (asked.ready === "chimney with cupboards") return chimney(asked, side, ground);
  return soilPipe(asked, side, ground);
};

/** The side of a wall that belongs to a room. */
const sideFrom = (wall: WallShape, room: string): Side =>
  wall.side.room === room ? wall.side : wall.facing?.room === room ? wall.facing : wall.side;

const sizeOf = (type: string, name: "width" | "depth", country: Country): number =>
  fixtureKind(type)!.sizes[name]![country === "UK" ? 0 : 1]!;

const fixture = (type: string, side: Side, along: number, more: object = {}): Record<string, unknown> => ({
  kind: "fixture", type, room: side.room, against: side.name,
  along: Math.abs(along) < 1e-6 ? 0 : asTyped(along), ...more,
});

/** Free stretches of a side between what stands there and what projects from the sides beside it. [m] */
const freeOf = (side: Side, scene: Scene, deep: number): [number, number][] => {
  const taken = scene.fixtures.filter((one) => one.side.room === side.room).map((one): [number, number] => {
    const spots = one.outline.map((point) => placeOn(side, point));
    const inside = Math.max(...spots.map((spot) => -spot.out));
    const near = Math.min(...spots.map((spot) => -spot.out));
    return near < deep - 1e-6 && inside > 1e-6
      ? [Math.min(...spots.map((spot) => spot.along)), Math.max(...spots.map((spot) => spot.along))]
      : [0, 0];
  });
  let free: [number, number][] = [[0, sideLength(side)]];
  for (const [from, to] of taken) {
    free = free.flatMap(([a, b]): [number, number][] =>
      to <= a || from >= b ? [[a, b]] : ([[a, from], [to, b]] as [number, number][]).filter(([c, d]) => d - c > 1e-6),
    );
  }
  return free;
};

/** Where a row of such a width goes: in the free stretch that is nearest to the tap. */
const roomFor = (side: Side, scene: Scene, wide: number, deep: number, along: number): number | null => {
  const fits = freeOf(side, scene, deep).filter(([from, to]) => to - from >= wide - 1e-9);
  const starts = fits.map(([from, to]) => {
    const start = Math.min(to - wide, Math.max(from, along - wide / 2));
    // A row near a corner stands in it.
    return start - from < 0.3 ? from : to - wide - start < 0.3 ? to - wide : start;
  });
  return starts.sort((a, b) => Math.abs(a + wide / 2 - along) - Math.abs(b + wide / 2 - along))[0] ?? null;
};

const widest = (side: Side, scene: Scene, deep: number): number =>
  Math.max(0, ...freeOf(side, scene, deep).map(([from, to]) => to - from));

type Piece = readonly [type: string, more: object];

const inRow = (asked: Asked, side: Side, { scene, country }: Ground, pieces: readonly Piece[], gap = 0): Made => {
  const wide = pieces.reduce((sum, [type]) => sum + sizeOf(type, "width", country), 0) + gap * (pieces.length - 1);
  const deep = Math.max(...pieces.map(([type]) => sizeOf(type, "depth", country)));
  const start = roomFor(side, scene, wide, deep, asked.along);
  if (start === null) return { needs: wide, has: widest(side, scene, deep) };
  const entities: Record<string, Record<string, unknown>> = {};
  let at = start;
  for (const [type, more] of pieces) {
    entities[asked.newId("fixture")] = fixture(type, side, at, more);
    at += sizeOf(type, "width", country) + gap;
  }
  return { entities };
};

/**
 * A bathroom back to back with a kitchen: bath, basin and WC at one face of a stud wall, base
 * cabinets and dishwasher at the other, waste and supply in the wall between.  Where nothing is
 * drawn beyond the wall, the other room is drawn there.
 */
const wetWall = (asked: Asked, side: Side, ground: Ground): Made => {
  const { country, scene } = ground;
  const gap = 0.1;
  const full = (["bath", "wash-basin cabinet", "wc"] as const).reduce((sum, one) => sum + sizeOf(one, "width", country) + gap, -gap);
  const entities: Record<string, Record<string, unknown>> = {};
  let other = asked.wall.facing ? (side === asked.wall.side ? asked.wall.facing : asked.wall.side) : null;
  const wet = isWet(asked.room.name, asked.names.bathroom);
  let scene2 = scene;
  if (!other) {
    const made = roomBeyond(asked, side, ground, Math.min(sideLength(side), Math.max(full, 2.4)), wet);
    if (!made) return { needs: 2, has: 0 };
    entities[made.id] = made.room;
    other = made.side;
    scene2 = { ...scene, rooms: [...scene.rooms, made.shape] };
  }
  const bath = wet ? side : other;
  const kitchen = bath === side ? other : side;
  const middle = pointOn(side, asked.along);
  const along = (one: Side): number => placeOn(one, middle).along;
  const rows: Piece[][] = [
    [["bath", {}], ["wash-basin cabinet", {}], ["wc", {}]], [["bath", {}], ["wc", {}]], [["wash-basin cabinet", {}], ["wc", {}]],
  ];
  const row = rows.map((one) => inRow({ ...asked, along: along(bath) }, bath, { ...ground, scene: scene2 }, one, gap)).find((one) => "entities" in one);
  if (!row || !("entities" in row)) return { needs: 1.08, has: widest(bath, scene2, 0.7) };
  const room = widest(kitchen, scene2, 0.6);
  const dish = sizeOf("dishwasher", "width", country);
  const run = Math.min(sizeOf("base cabinet run", "width", country), room - dish);
  if (run < 0.6) return { needs: 0.6 + dish, has: room };
  const start = roomFor(kitchen, scene2, run + dish, 0.6, along(kitchen)) ?? 0;
  Object.assign(entities, row.entities);
  entities[asked.newId("fixture")] = fixture("base cabinet run", kitchen, start, { width: asTyped(run) });
  entities[asked.newId("fixture")] = fixture("dishwasher", kitchen, start + run);
  if (!scene.walls.some((one) => one.id === asked.wall.id && !one.assumed)) {
    entities[asked.newId("wall")] = { kind: "wall", room: side.room, side: side.name, build: { value: "stud", basis: "estimated" } };
  }
  const thick = asked.wall.facing ? asked.wall.thickness : thicknessOf("stud", country);
  // Waste and supply come up in the wall behind the WC end of the row and run along it.
  const alongs = Object.values(row.entities).map((one) => lengthMetres(one["along"]));
  const [from, to] = [Math.min(...alongs) + 0.3, Math.max(...alongs) + 0.2].sort((a, b) => a - b) as [number, number];
  const at = (value: number, height: number): unknown[] => [...typedCorner(pointOn(bath, value, thick / 2)), asTyped(height)];
  const floor = elevationOf(ground.entities, ground.storey, country);
  entities[asked.newId("run")] = { kind: "service", type: "drain", path: [at(from, floor + 0.1), at(to, floor + 0.08), at(to, floor - 0.3)], diameter: "50 mm" };
  entities[asked.newId("run")] = { kind: "service", type: "supply", path: [at(to, floor - 0.1), at(to, floor + 0.5), at(from, floor + 0.5)], diameter: "15 mm" };
  return { entities };
};

const lengthMetres = (typed: unknown): number => (typeof typed === "number" ? typed : Number.parseFloat(String(typed)) / 1000);
const isWet = (name: string, bathroom: string): boolean => name.toLocaleLowerCase().startsWith(bathroom.toLocaleLowerCase());

const roomBeyond = (
  asked: Asked, side: Side, { country, scene, storey }: Ground, wide: number, wet: boolean,
): { id: string; room: Record<string, unknown>; side: Side; shape: RoomShape } | null => {
  const wall = thicknessOf("stud", country);
  const start = Math.max(0, Math.min(sideLength(side) - wide, asked.along - wide / 2));
  const [a, b] = [pointOn(side, start, wall), pointOn(side, start + wide, wall + 2)];
  const placed = keptClear(a, b, scene.rooms, wall);
  const id = asked.newId("room");
  const corners = placed?.outline;
  if (!corners || placed.stopped) return null;
  const polygon = corners.map(typedCorner);
  const name = wet ? asked.names.kitchen : asked.names.bathroom;
  const shape = shapeOf(id, name, corners);
  const back = shape.sides.find((one) => one.normal === { n: "s", s: "n", e: "w", w: "e" }[side.normal]);
  return back ? { id, room: { kind: "room", storey, name, polygon }, side: back, shape } : null;
};

const shapeOf = (id: string, name: string, corners: readonly Point[]): RoomShape => {
  const [[w, s], , [e, n]] = corners as [Point, Point, Point];
  const of = (normal: Side["normal"], line: number, low: number, high: number): Side => ({ room: id, name: `${normal}1`, normal, line, low, high, turn: 0 });
  return { id, name, outline: corners, sides: [of("n", n, w, e), of("e", e, s, n), of("s", s, w, e), of("w", w, s, n)] };
};

/** A corner cabinet with a run of base cabinets along either wall. */
const kitchenCorner = (asked: Asked, side: Side, { scene, country }: Ground): Made => {
  const corner = sizeOf("corner base cabinet", "width", country);
  const room = scene.rooms.find((one) => one.id === side.room)!;
  const left = beside(room, side, "left");
  const right = beside(room, side, "right");
  const atLeft = asked.along <= sideLength(side) / 2;
  const other = atLeft ? left : right;
  const deep = sizeOf("corner base cabinet", "depth", country);
  const free = [side, other].map((each, n) => (each ? freeFrom(each, scene, deep, atLeft === (n === 0) ? "left" : "right") : 0));
  const has = Math.min(...free);
  if (!other || has < corner + 0.6) return { needs: corner + 0.6, has };
  const most = sizeOf("base cabinet run", "width", country);
  const [one, two] = free.map((each) => Math.min(most, each - corner)) as [number, number];
  const placed: Record<string, Record<string, unknown>> = {
    [asked.newId("fixture")]: fixture("corner base cabinet", side, atLeft ? 0 : sideLength(side) - corner, atLeft ? {} : { flip: true }),
    [asked.newId("fixture")]: fixture("base cabinet run", side, atLeft ? corner : sideLength(side) - corner - one, { width: asTyped(one) }),
    [asked.newId("fixture")]: fixture("base cabinet run", other, atLeft ? sideLength(other) - corner - two : corner, { width: asTyped(two) }),
  };
  return { entities: placed };
};

/** How far a side is free from one of its corners on. [m] */
const freeFrom = (side: Side, scene: Scene, deep: number, corner: "left" | "right"): number => {
  const at = corner === "left" ? 0 : sideLength(side);
  const free = freeOf(side, scene, deep).find((ends) => ends.some((end) => Math.abs(end - at) < 1e-6));
  return free ? free[1] - free[0] : 0;
};

/** The side that meets this one in its left or right corner, seen from inside the room. */
const beside = (room: RoomShape, side: Side, which: "left" | "right"): Side | undefined => {
  const corner = pointOn(side, which === "left" ? 0 : sideLength(side));
  return room.sides.find((one) => {
    const end = pointOn(one, which === "left" ? sideLength(one) : 0);
    return one !== side && Math.hypot(end[0] - corner[0], end[1] - corner[1]) < 1e-6;
  });
};

/** A chimney breast in the middle of a wall with a built-in cupboard in either alcove. */
const chimney = (asked: Asked, side: Side, { scene, country }: Ground): Made => {
  const breast = sizeOf("chimney breast", "width", country);
  const whole = sideLength(side);
  const alcove = (whole - breast) / 2;
  if (alcove < 0.4) return { needs: breast + 0.8, has: whole };
  if (widest(side, scene, 0.4) < whole - 1e-6) return { needs: whole, has: widest(side, scene, 0.4) };
  const depth = asTyped(sizeOf("chimney breast", "depth", country));
  return { entities: {
    [asked.newId("fixture")]: fixture("built-in wardrobe", side, 0, { width: asTyped(alcove), depth }),
    [asked.newId("fixture")]: fixture("chimney breast", side, alcove),
    [asked.newId("fixture")]: fixture("built-in wardrobe", side, alcove + breast, { width: asTyped(alcove), depth }),
  } };
};

/** A soil pipe from under the floor through the ceiling, boxed in beside the nearer corner. */
const soilPipe = (asked: Asked, side: Side, { entities, scene, storey, country }: Ground): Made => {
  const wide = sizeOf("boxed pipe run", "width", country);
  const deep = sizeOf("boxed pipe run", "depth", country);
  const start = roomFor(side, scene, wide, deep, asked.along <= sideLength(side) / 2 ? 0 : sideLength(side));
  if (start === null) return { needs: wide, has: widest(side, scene, deep) };
  const floor = elevationOf(entities, storey, country);
  const own = entities[storey];
  const high = floor + ((own?.kind === "storey" ? metres(own.height) : undefined) ?? usual("storey height", country));
  const at = typedCorner(pointOn(side, start + wide / 2, -deep / 2));
  return { entities: {
    [asked.newId("fixture")]: fixture("boxed pipe run", side, start),
    [asked.newId("run")]: {
      kind: "service", type: "drain",
      path: [[...at, asTyped(floor - 0.5)], [...at, asTyped(high + usual("joist depth", country))]],
    },
  } };
};
