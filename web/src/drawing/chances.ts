/** The office's figures laid on the shapes of the plan: bays of walls and fixtures. */
import type { Point } from "../geometry/frame";
import { pointOn } from "../geometry/outline";
import type { Scene } from "./scene";

export interface Said {
  readonly id: string;
  readonly soiled: number;
  readonly settled: boolean;
}
export interface Filled {
  readonly key: string;
  readonly outline: readonly Point[];
  /** Null: cannot be told yet. [1] */
  readonly chance: number | null;
}
/** One plate for a wall: the greatest chance and how many are likely; never a mean. */
export interface WallPlate {
  readonly key: string;
  readonly at: Point;
  readonly greatest: number;
  readonly likely: number;
}

export const LIKELY = 0.66;

export const filled = (scene: Scene, voids: readonly Said[]): { shapes: Filled[]; plates: WallPlate[] } => {
  const shapes: Filled[] = [];
  const plates: WallPlate[] = [];
  for (const wall of scene.walls) {
    const here: number[] = [];
    for (let n = 0; n + 1 < wall.bays.length; n++) {
      const id = `${wall.id}/bay/${wall.firstBay + n}`;
      const chance = greatest(voids, id);
      if (chance === undefined) continue;
      const [from, to] = [wall.bays[n]!, wall.bays[n + 1]!];
      shapes.push({
        key: `${id}@${wall.from}`, chance,
        outline: [
          pointOn(wall.side, from, 0), pointOn(wall.side, to, 0),
          pointOn(wall.side, to, wall.thickness), pointOn(wall.side, from, wall.thickness),
        ],
      });
      if (chance !== null) here.push(chance);
    }
    if (here.length) {
      plates.push({
        key: `${wall.id}@${wall.from}`, greatest: Math.max(...here),
        at: pointOn(wall.side, (wall.from + wall.to) / 2, wall.thickness / 2),
        likely: here.filter((one) => one >= LIKELY).length,
      });
    }
  }
  for (const one of scene.fixtures) {
    const chance = greatest(voids, one.id);
    if (chance === undefined) continue;
    shapes.push({ key: one.id, chance, outline: one.outline });
  }
  return { shapes, plates };
};

/** The greatest chance of the voids with an id or within it; undefined where there is none. */
const greatest = (voids: readonly Said[], id: string): number | null | undefined => {
  const here = voids.filter((one) => one.id === id || one.id.startsWith(`${id}/`));
  if (!here.length) return undefined;
  return here.some((one) => one.settled) ? Math.max(...here.filter((one) => one.settled).map((one) => one.soiled)) : null;
};
