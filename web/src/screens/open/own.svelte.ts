/** Cuts of one's own: drawn here and kept as the job's, held against studs and pipes by the office. */
import { placeOn, sideLength, type Side } from "../../geometry/outline";
import { metres, ofKind, usual } from "../../drawing/scene";
import type { Target } from "../../drawing/places";
import { length, showLength, type Typed } from "../../geometry/quantity";
import type { OwnCut } from "../../made/job";
import type { OwnCutTold } from "../../made/office";
import { newId, timeOf } from "../../record/store";
import { asked } from "../asked";
import { desk } from "../desk.svelte";
import { whyOf } from "../refused";

export type Part = "wall" | "floor" | "ceiling";
export interface Rect {
  readonly along: number;
  readonly width: number;
  readonly bottom: number;
  readonly height: number;
}
const EDGES = ["along", "width", "bottom", "height"] as const;

class Own {
  /** Which cut is being drawn; empty while none is. */
  picked = $state("");
  tapping = $state(false);
  /** What the office said last, and of how many entries. */
  private said = $state.raw<{ readonly job: string; readonly events: number; readonly told: readonly OwnCutTold[] }>({ job: "", events: -1, told: [] });
  why = $state("");
  private asking = false;

  /** Those drawn last first. */
  cuts = $derived(ofKind(desk.entities, "own_cut").sort((a, b) => (b[1].at ?? "").localeCompare(a[1].at ?? "")));

  /** What the office says of a cut as it stands; null where it has not seen it so. */
  told = (id: string): OwnCutTold | null => {
    const now = desk.held.events.length;
    if (this.said.job === desk.job.id && this.said.events === now) return this.said.told.find((one) => one.id === id) ?? null;
    const { figures } = desk.office;
    if (figures?.events === now) return figures.answer.openings?.own_cuts?.find((one) => one.id === id) ?? null;
    return null;
  };

  /** Asks the office of every cut; where it is not reached they stay "not checked yet". */
  check = async (): Promise<void> => {
    if (this.asking || !this.cuts.length) return;
    const [job, events] = [desk.job.id, desk.held.events];
    this.asking = true;
    try {
      await desk.office.send(events);
      const told = await asked<OwnCutTold[]>(`/api/jobs/${job}/cuts`, undefined, "POST");
      this.said = { job, events: events.length, told };
      this.why = "";
    } catch (error) {
      this.why = whyOf(error);
    } finally {
      this.asking = false;
    }
    // What was drawn while the office answered is asked of it too.
    if (!this.why && job === desk.job.id && events.length !== desk.held.events.length) void this.check();
  };

  /** From now on the next tap on the plan names the wall. */
  tap = (): void => {
    this.tapping = true;
    desk.onPlace = (found): void => {
      this.tapping = false;
      const target = found[0];
      if (target) void this.begin(target);
    };
  };
  endTap = (): void => {
    this.tapping = false;
    desk.onPlace = null;
  };

  /** Draws a cut at a place that was tapped, or low in the middle of the first wall. */
  begin = async (target?: Target): Promise<void> => {
    const [first, second] = target?.key.split("/") ?? [];
    const room = desk.scene.rooms.find((one) => one.id === first) ?? desk.scene.rooms[0];
    if (!room) return;
    const part: Part = target?.what === "floor" || target?.what === "ceiling" ? target.what : "wall";
    const side = room.sides.find((one) => one.name === second) ?? room.sides[0]!;
    const at = target ? placeOn(side, target.at) : { along: sideLength(side) / 2, out: 0 };
    const rect = this.snapped({ along: at.along - 0.15, width: 0.3, bottom: part === "wall" ? 0.1 : Math.max(0.1, -at.out - 0.15), height: 0.4 });
    const id = newId("own_cut");
    const made = { kind: "own_cut", room: room.id, side: side.name, ...(part === "wall" ? {} : { part }), ...this.typed(rect), at: timeOf(new Date()) };
    if (await desk.set({ [id]: made }, desk.t("ownCut"))) this.picked = id;
  };

  snapped = (rect: Rect): Rect => {
    const { grid } = desk;
    const on = (value: number, least: number): number => Math.max(least, Math.round(value / grid) * grid);
    return { along: on(rect.along, 0), width: on(rect.width, grid), bottom: on(rect.bottom, 0), height: on(rect.height, grid) };
  };

  /** Lengths as they are written down; one that did not change stays as it was typed. */
  typed = (rect: Rect, before?: OwnCut): Record<string, Typed> =>
    Object.fromEntries(EDGES.map((name) => {
      const old = before?.[name];
      const same = old !== undefined && Math.abs(length(old) - rect[name]) < 1e-9;
      return [name, same ? old : exact(rect[name])];
    }));

  lay = (id: string, rect: Rect): Promise<boolean> => {
    const before = desk.entities[id] as OwnCut;
    return desk.fields(id, this.typed(rect, before), desk.t("ownCut"));
  };

  /** Takes the nearest that would do instead; where it takes several cuts, the others beside it. */
  take = async (id: string, told: OwnCutTold): Promise<void> => {
    const before = desk.entities[id] as OwnCut;
    const [first, ...others] = told.nearest;
    if (!first) return;
    const moved = { ...before, ...this.typed(first, before) };
    const beside = others.map((one) => [newId("own_cut"), { ...before, ...this.typed(one, before) }] as const);
    if (await desk.set(Object.fromEntries([[id, moved], ...beside]) as never, desk.t("useMoved"))) {
      desk.say(desk.t("movedCut"), [], () => { desk.hush(); void desk.undo(); });
    }
  };
  takeOut = async (id: string): Promise<void> => {
    if (this.picked === id) this.picked = "";
    await desk.set({ [id]: null }, desk.t("remove"));
    desk.say(desk.t("takenBack", { what: desk.t("ownCut") }), [], () => { desk.hush(); void desk.undo(); });
  };

  /** The face that a cut lies on: its side, and how far it goes up or out. [m] */
  face = (cut: OwnCut): { side: Side; far: number } | null => {
    const room = desk.scene.rooms.find((one) => one.id === cut.room);
    const side = room?.sides.find((one) => one.name === cut.side);
    if (!room || !side) return null;
    const storey = ofKind(desk.entities, "storey").find(([id]) => id === desk.storey)?.[1];
    const high = metres(storey?.height) ?? usual("storey height", desk.country);
    const deep = Math.max(...room.outline.map((point) => -placeOn(side, point).out));
    return { side, far: (cut.part ?? "wall") === "wall" ? high : deep };
  };
}

/** A length to saw by: millimetres also above a metre, or sixteenths of an inch. */
export const exact = (value: number): string =>
  desk.job.units === "m" ? `${Math.round(value * 1000)} mm` : showLength(value, "ft-in");

export const rectOf = (cut: OwnCut): Rect =>
  ({ along: length(cut.along), width: length(cut.width), bottom: length(cut.bottom ?? 0), height: length(cut.height) });

export const own = new Own();
