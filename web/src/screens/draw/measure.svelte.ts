/** A clear length as the tape reads; where measured lengths do not meet, which of them gives way. */
import { withMeasured, type Measured } from "../../drawing/lengths";
import { placeOn, sideLength, type Side } from "../../geometry/outline";
import type { Point } from "../../geometry/frame";
import { showLength } from "../../geometry/quantity";
import type { Fields } from "../../record/event";
import { desk } from "../desk.svelte";

interface Miss extends Measured {
  readonly metres: number;
  readonly typed: string;
  readonly edges: readonly Measured[];
  readonly free: readonly Measured[];
}

class Measure {
  miss = $state.raw<Miss | null>(null);
  /** Rooms whose form came up before. */
  readonly met = new Set<string>();

  /** Sets a length; "" where it stands, else why not. */
  set = async (room: string, side: string, typed: string, free: readonly Measured[] = []): Promise<string> => {
    const outcome = withMeasured(desk.entities, room, side, typed, free);
    if ("into" in outcome) return desk.t("runsInto", { name: outcome.into });
    if ("misses" in outcome) {
      this.miss = { room, side, typed, free, metres: outcome.misses, edges: outcome.edges };
      return this.words;
    }
    this.miss = null;
    await desk.set(outcome.rooms as Record<string, Fields>, desk.t("clearLength", { way: desk.t(side[0] as "n") }));
    return "";
  };

  get words(): string {
    return this.miss ? desk.t("missesBy", { by: showLength(this.miss.metres, desk.job.units) }) : "";
  }

  /** The least sure one gives way; where that is the new one, nothing is changed. */
  pick = async (edge: Measured): Promise<void> => {
    const { miss } = this;
    this.miss = null;
    if (!miss || (edge.room === miss.room && edge.side === miss.side)) return;
    const wrong = await this.set(miss.room, miss.side, miss.typed, [...miss.free, edge]);
    if (wrong && !this.miss) desk.say(wrong);
  };

  pickAt = (at: Point, reach: number): void => {
    const near = (this.miss?.edges ?? [])
      .map((edge) => ({ edge, side: sideOf(edge) }))
      .flatMap(({ edge, side }) => (side ? [{ edge, off: offOf(side, at) }] : []))
      .sort((a, b) => a.off - b.off)[0];
    if (near && near.off <= reach) void this.pick(near.edge);
  };
}

export const measure = new Measure();

export const sideOf = (edge: Measured): Side | undefined =>
  desk.scene.rooms.find((one) => one.id === edge.room)?.sides.find((one) => one.name === edge.side);

/** A measured length in words: ``Kitchen, south side 4.20 m``. */
export const edgeWords = (edge: Measured): string => {
  const side = sideOf(edge);
  const name = desk.scene.rooms.find((one) => one.id === edge.room)?.name ?? "";
  return side ? `${name}, ${desk.t(side.normal)} ${showLength(sideLength(side), desk.job.units)}` : name;
};

const offOf = (side: Side, at: Point): number => {
  const { along, out } = placeOn(side, at);
  return Math.hypot(out, Math.max(0, -along, along - sideLength(side)));
};
