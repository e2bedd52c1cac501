/** A run of pipe, cable or duct as it is drawn: points with heights, up and down between storeys. */
import { typedCorner } from "../../drawing/edit";
import { elevationOf } from "../../drawing/levels";
import { HEIGHTS, outletNear, type Height } from "../../drawing/runs";
import { metres, usual } from "../../drawing/scene";
import type { Point } from "../../geometry/frame";
import { asTyped } from "../../geometry/quantity";
import type { Fields } from "../../record/event";
import type { Fixture, Storey } from "../../made/job";
import { newId } from "../../record/store";
import { desk } from "../desk.svelte";

interface Bend {
  readonly at: Point;
  /** Over the floor of level 0. [m] */
  readonly height: number;
}

class Run {
  bends = $state.raw<readonly Bend[]>([]);
  height = $state<Height>("under");
  /** Outside diameter as typed; "" takes the usual one. */
  size = $state("");
  outlet = $state(false);

  private floor = (storey: string): number => elevationOf(desk.entities, storey, desk.country);
  private over = (storey: string): number => {
    const own = desk.entities[storey] as Storey;
    const clear = metres(own?.height) ?? usual("storey height", desk.country);
    const told = HEIGHTS[this.height];
    return this.floor(storey) + (told === null ? clear + 0.1 : Math.min(told, clear));
  };

  point = (at: Point, snapped: Point, reach: number): void => {
    const flipped = (id: string): boolean => (desk.entities[id] as Fixture | undefined)?.flip === true;
    const outlet = outletNear(desk.scene, flipped, desk.piece, at, reach);
    this.outlet = outlet !== undefined;
    const bend = outlet
      ? { at: outlet.at, height: this.floor(desk.storey) + outlet.height }
      : { at: snapped, height: this.over(desk.storey) };
    const last = this.bends.at(-1);
    // From an outlet a run first drops or rises where it stands, then goes along.
    const apart = last && Math.abs(last.height - bend.height) > 1e-6 && Math.hypot(last.at[0] - bend.at[0], last.at[1] - bend.at[1]) > 1e-6;
    const level = outlet ? last?.height : bend.height;
    const corner = apart && level !== undefined ? [{ at: outlet ? bend.at : last.at, height: level }] : [];
    this.bends = [...this.bends, ...corner, bend];
  };

  /** The storey above or below, where there is one. */
  beside = (way: 1 | -1): string => {
    const order = [...desk.storeys].reverse().map(([id]) => id);
    return order[order.indexOf(desk.storey) + way] ?? "";
  };
  /** Straight up or down to the next storey, which is shown then. */
  climb = (way: 1 | -1): void => {
    const [last, next] = [this.bends.at(-1), this.beside(way)];
    if (!last || !next) return;
    this.bends = [...this.bends, { at: last.at, height: this.over(next) }];
    desk.storey = next;
  };
  back = (): void => {
    this.bends = this.bends.slice(0, -1);
  };

  end = async (): Promise<void> => {
    const path = this.bends.map(({ at, height }) => [...typedCorner(at), Math.abs(height) < 1e-7 ? 0 : asTyped(height)]);
    const id = newId("run");
    const run: Record<string, unknown> = { kind: "service", type: desk.piece, path };
    if (this.size) run["diameter"] = this.size;
    this.bends = [];
    if (path.length > 1 && (await desk.set({ [id]: run as Fields }, desk.piece))) desk.choose({ what: "run", id });
  };
}

export const run = new Run();
