/** What has no place on the plan yet, and what an edit took the ground from under. */
import type { Place, Room } from "../made/job";
import { ofKind, roomShape, sceneOf, type Entities, type Scene } from "./scene";
import { contains, distance } from "../geometry/outline";
import { lengthOr } from "../geometry/quantity";

export type Why =
  /** Nobody said where, or what it hung on is gone. */
  | "nowhere"
  /** Its room has a name and no outline. */
  | "undrawn"
  /** It was in the open and lies in a wall now. */
  | "in wall"
  /** It was in a wall and lies in the open now. */
  | "in room"
  /** It lies outside all that is drawn now. */
  | "outside";
export interface Loose {
  readonly id: string;
  readonly kind: "inspection" | "entry_point" | "kept";
  readonly why: Why;
  /** Name of its room, where it has one that is not drawn. */
  readonly room: string;
}

/** A point at a face counts as in it to within this: a tap is no ruler. [m] */
const NEAR = 0.1;
/** What is in a room may lie so far into the wall beside it. [m] */
const FACE = 0.02;

/** Rooms that have a name and no outline yet. */
export const undrawn = (entities: Entities): [string, Room][] => ofKind(entities, "room").filter(([, one]) => !one.polygon?.length);

/** Everything that should lie somewhere else, in the order of the job. */
export const loose = (entities: Entities, units: string): Loose[] => {
  const scenes = new Map<string, Scene>();
  const sceneAt = (storey: string): Scene => {
    const made = scenes.get(storey) ?? sceneOf(entities, storey, units);
    scenes.set(storey, made);
    return made;
  };
  return Object.entries(entities).flatMap(([id, one]): Loose[] => {
    if (one.kind !== "inspection" && one.kind !== "entry_point" && (one.kind as string) !== "kept") return [];
    const kind = one.kind as Loose["kind"];
    const place = (one as { place?: Place | null }).place;
    const why = whyLoose(place, entities, sceneAt);
    if (!why) return [];
    const room = place?.of ? entities[place.of] : undefined;
    return [{ id, kind, why, room: room?.kind === "room" ? room.name : "" }];
  });
};

const whyLoose = (place: Place | null | undefined, entities: Entities, sceneAt: (storey: string) => Scene): Why | "" => {
  if (place?.of) {
    const [key, side] = place.of.split("/") as [string, string | undefined];
    const of = entities[key];
    if (!of) return "nowhere";
    if (of.kind === "room" && !of.polygon?.length) return "undrawn";
    const gone = side !== undefined && !(of.kind === "room" && roomShape(key, of)?.sides.some((one) => one.name === side));
    return gone ? "nowhere" : "";
  }
  if (!place?.at) return "nowhere";
  const storey = place.storey ?? "";
  if (entities[storey]?.kind !== "storey") return "nowhere";
  const scene = sceneAt(storey);
  const at = [lengthOr(place.at[0], NaN), lengthOr(place.at[1], NaN)] as const;
  const inRoom = scene.rooms.some((one) => contains(one.outline, at));
  const inWall = Math.min(...scene.walls.map((one) => distance(one.outline, at)), Infinity);
  const nearRoom = Math.min(...scene.rooms.map((one) => distance(one.outline, at)), Infinity);
  if (place.part === "wall") return inWall <= NEAR ? "" : inRoom ? "in room" : "outside";
  if (inRoom) return "";
  if (place.part === "room") return nearRoom <= FACE ? "" : inWall <= 1e-6 ? "in wall" : "outside";
  return inWall <= NEAR || nearRoom <= NEAR ? "" : "outside";
};
