/** The point that a place names by an entity or a side of a room, as `voids/points.py` finds it. */
import { metres } from "./facts";
import type { Entities, WallShape } from "./scene";
import { pointOn, sideLength, type Side } from "../geometry/outline";
import type { Point } from "../geometry/frame";
import { lengthOr } from "../geometry/quantity";
import type { Place, Service } from "../made/job";

interface Sided {
  readonly rooms: readonly { readonly sides: readonly Side[] }[];
  readonly walls: readonly WallShape[];
}
/** Width of an opening that nobody measured. [m] */
const USUAL_OPENING = 0.8;

/** The middle of the wall at a side: named as `kitchen/n1`, or by the wall or opening drawn there. */
export const pointAtSide = (place: Place, entities: Entities, { rooms, walls }: Sided): Point | null => {
  const named = place.of ? entities[place.of] : undefined;
  const drawn = named?.kind === "wall" || named?.kind === "opening" ? named : undefined;
  const [room, name] = drawn ? [drawn.room, drawn.side] : (place.of ?? "").split("/");
  const side = rooms.flatMap((one) => one.sides).find((one) => one.room === room && one.name === name);
  if (!side) return null;
  const opening = drawn?.kind === "opening" ? (metres(drawn.along) ?? 0) + (metres(drawn.width) ?? USUAL_OPENING) / 2 : undefined;
  const along = opening ?? metres(place.along) ?? sideLength(side) / 2;
  const thick = walls.find((one) => isOf(one.side, side) || (one.facing && isOf(one.facing, side)))?.thickness ?? 0;
  return pointOn(side, along, thick / 2);
};

const isOf = (one: Side, other: Side): boolean => one.room === other.room && one.name === other.name;

/** Where on a run: so far along it; else its open end, else its middle. [m] */
export const pointOfRun = (run: Service, place: Place): readonly [x: number, y: number, z: number] => {
  const path = run.path.map(([x, y, z]) => [lengthOr(x, 0), lengthOr(y, 0), lengthOr(z, 0)] as const);
  const legs = path.slice(1).map((to, n) => Math.hypot(...to.map((value, k) => value - path[n]![k]!)));
  const along = metres(place.along);
  if (along === undefined && run.open_end) return run.open_end === "end" ? path.at(-1)! : path[0]!;
  let left = along ?? legs.reduce((sum, one) => sum + one, 0) / 2;
  for (const [n, long] of legs.entries()) {
    if (long > 0 && left <= long) {
      const [from, to] = [path[n]!, path[n + 1]!];
      return [0, 1, 2].map((k) => from[k]! + ((to[k]! - from[k]!) * left) / long) as unknown as readonly [number, number, number];
    }
    left -= long;
  }
  return path.at(-1)!;
};
