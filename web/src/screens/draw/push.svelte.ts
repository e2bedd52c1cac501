/** A piece of wall pushed out or in: two taps along the wall, then how far. */
import { withPiece } from "../../drawing/push";
import { length } from "../../geometry/quantity";
import { placeOn, sideLength, type Side } from "../../geometry/outline";
import type { Point } from "../../geometry/frame";
import type { Fields } from "../../record/event";
import { newId } from "../../record/store";
import { desk } from "../desk.svelte";
import { whyNot } from "../refused";

class Push {
  /** The room that it is done to. */
  of = $state("");
  side = $state.raw<Side | null>(null);
  ends = $state.raw<readonly number[]>([]);
  inwards = $state(false);

  start = (room: string): void => {
    [this.of, this.side, this.ends, this.inwards] = [room, null, [], false];
  };
  stop = (): void => this.start("");

  point = (at: Point): void => {
    const room = desk.scene.rooms.find((one) => one.id === this.of);
    if (!room || this.ends.length > 1) return;
    const side = this.side ?? [...room.sides].sort((a, b) => off(a, at) - off(b, at))[0]!;
    const rounded = Math.round(placeOn(side, at).along / desk.grid) * desk.grid;
    const along = Math.min(sideLength(side), Math.max(0, rounded));
    this.side = side;
    this.ends = [...this.ends, along];
  };

  set = async (typed: string): Promise<string> => {
    if (!this.side) return "";
    try {
      const by = length(typed, false) * (this.inwards ? -1 : 1);
      const made = withPiece(desk.entities, this.of, this.side.name, this.ends[0]!, this.ends[1]!, by, newId);
      if ("into" in made) return desk.t("runsInto", { name: made.into });
      if (await desk.set(made.entities as Record<string, Fields | null>, desk.t("pushPiece"))) this.stop();
      return "";
    } catch (error) {
      return whyNot(error);
    }
  };
}

export const push = new Push();

const off = (side: Side, at: Point): number => {
  const { along, out } = placeOn(side, at);
  return Math.hypot(out, Math.max(0, -along, along - sideLength(side)));
};
