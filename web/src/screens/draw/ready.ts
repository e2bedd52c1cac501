/** A ready-made piece of a house at a tap, in one gesture. */
import { readyMade, type Ready } from "../../drawing/readymade";
import { contains, placeOn, sideLength } from "../../geometry/outline";
import type { Point } from "../../geometry/frame";
import { showLength } from "../../geometry/quantity";
import type { Fields } from "../../record/event";
import { newId } from "../../record/store";
import { desk } from "../desk.svelte";

const WORDS: Record<Ready, "ready_wet" | "ready_corner" | "ready_stair" | "ready_chimney" | "ready_soil"> = {
  "wet wall": "ready_wet", "kitchen corner": "ready_corner", "stair with cupboard": "ready_stair",
  "chimney with cupboards": "ready_chimney", "boxed soil pipe": "ready_soil",
};
export const readyWords = (one: Ready): string => desk.t(WORDS[one]);

export const putReady = async (at: Point): Promise<void> => {
  const { scene } = desk;
  const room = scene.rooms.find((one) => contains(one.outline, at));
  if (!room) return desk.say(desk.t("readyHint"));
  const walls = scene.walls
    .filter((one) => one.side.room === room.id || one.facing?.room === room.id)
    .map((wall) => {
      const side = wall.side.room === room.id ? wall.side : wall.facing!;
      const { along, out } = placeOn(side, at);
      const within = Math.max(0, -along, along - sideLength(side));
      return { wall, along, off: Math.hypot(out, within) };
    })
    .sort((a, b) => a.off - b.off);
  const near = walls[0];
  if (!near) return;
  const ready = desk.piece as Ready;
  const names = { bathroom: desk.t("bathroomName"), kitchen: desk.t("kitchenName") };
  const made = readyMade({ ready, room, wall: near.wall, along: near.along, names, newId }, desk.entities, scene, desk.storey, desk.job.units);
  const name = readyWords(ready);
  const show = (metres: number): string => showLength(metres, desk.job.units);
  if (!("entities" in made)) return desk.say(desk.t("readyTooLong", { name, needs: show(made.needs), has: show(made.has) }));
  if (await desk.set(made.entities as Record<string, Fields>, name)) {
    desk.piece = "";
    desk.say(desk.t("readyPut", { name }), [], () => { desk.hush(); void desk.undo(); });
  }
};
