/** What is being drawn and is not yet in the job: a room's drag or corners, a run's points. */
import { keptClear, overlaps, rectangle, typedCorner } from "../../drawing/edit";
import { ofKind, roomShape, sceneOf, thicknessOf, type WallShape } from "../../drawing/scene";
import type { Point } from "../../geometry/frame";
import { contains, distance, placeOn, pointOn, sideLength, type Side } from "../../geometry/outline";
import { asTyped, showLength } from "../../geometry/quantity";
import { snap, type Snapped } from "../../geometry/snap";
import { newId } from "../../record/store";
import { desk, type Chosen } from "../desk.svelte";
import { view } from "../plan/view.svelte";
import { measure } from "./measure.svelte";
import { paper } from "./paper.svelte";
import { placing } from "./placing.svelte";
import { push } from "./push.svelte";
import { putReady } from "./ready";
import { run } from "./run.svelte";

/** How near a tap must be to a thing, and a point to what it snaps to. [px] */
export const REACH = 36;
const SNAP = 24;

class Draft {
  drag = $state.raw<{ from: Snapped; to: Snapped } | null>(null);
  corners = $state.raw<readonly Point[]>([]);

  /** A room that has a name only: what is drawn next is its outline. */
  naming = $state("");

  get wall(): number {
    return thicknessOf("stud", desk.country);
  }
  private sides = (): readonly Side[] => desk.scene.rooms.flatMap((room) => room.sides);
  snapped = (at: Point): Snapped => snap(at, this.sides(), SNAP / view.scale, desk.grid, this.wall);

  ghost = $derived.by(() => {
    if (!this.drag || this.pointing) return null;
    const outline = rectangle(this.drag.from.at, this.drag.to.at);
    const [sw, , ne] = outline as [Point, Point, Point];
    return { outline, wide: showLength(ne[0] - sw[0], desk.job.units), deep: showLength(ne[1] - sw[1], desk.job.units) };
  });

  // -- what fingers do -------------------------------------------------------------------------
  drags = (): boolean => (desk.tool === "room" && !this.corners.length && !push.of && !measure.miss && !placing.id) || this.pointing;
  /** A point of the paper is being put: the drag moves the cross only. */
  get pointing(): boolean {
    return desk.tool === "paper" && paper.way !== "" && !desk.chosen;
  }
  dragged = (from: Point, to: Point, free = false): void => {
    const one = (at: Point): Snapped => (this.pointing || (free && at === to) ? { at, word: "" } : this.snapped(at));
    this.drag = { from: one(from), to: one(to) };
  };
  dropped = (): void => {
    if (this.drag && this.pointing) paper.point(this.drag.to.at);
    else if (this.drag) void room(this.drag.from.at, this.drag.to.at);
    this.drag = null;
  };
  gone = (): void => {
    this.drag = null;
  };
  tap = (at: Point): void => {
    const { scene } = desk;
    if (desk.tool === "fixture" && desk.piece) return void putFixture(at);
    if (placing.id) return void placing.put(at, REACH / view.scale);
    if (measure.miss) return measure.pickAt(at, REACH / view.scale);
    if (push.of) return push.point(at);
    if (desk.tool === "paper" && paper.way) return paper.point(at);
    if (desk.tool === "ready" && desk.piece) return void putReady(at);
    if (desk.tool === "entry" && !near(at, "entry")) return void putEntry(at);
    if (desk.tool === "run" && desk.piece) return run.point(at, this.snapped(at).at, SNAP / view.scale);
    if (desk.tool === "room" && (this.corners.length || !scene.rooms.some((one) => contains(one.outline, at)))) {
      const there = this.corners.length ? null : near(at, "any");
      return there ? desk.choose(there) : this.corner(at);
    }
    desk.choose(near(at, "any"));
  };

  private corner = (at: Point): void => {
    let { at: point } = this.snapped(at);
    const { corners } = this;
    const last = corners.at(-1);
    const first = corners[0];
    if (corners.length > 2 && Math.hypot(first![0] - at[0], first![1] - at[1]) < SNAP / view.scale) {
      this.corners = [];
      return void closeRing(corners);
    }
    const upright = last !== undefined && Math.abs(point[0] - last[0]) < Math.abs(point[1] - last[1]);
    const straight = last && Math.min(Math.abs(point[0] - last[0]), Math.abs(point[1] - last[1])) < 0.15;
    if (last && corners.length === 1 && !straight) {
      this.corners = [];
      return void room(last, point);
    }
    // A right angle with the side before.
    if (last) point = upright ? [last[0], point[1]] : [point[0], last[1]];
    this.corners = [...corners, point];
  };
}

export const draft = new Draft();

/** What was drawn at a tap: entry, fixture, wall, run, room, in that order. */
const near = (at: Point, want: "any" | "entry"): Chosen | null => {
  const { scene } = desk;
  const reach = REACH / view.scale;
  const entry = scene.entries.find((one) => Math.hypot(one.at[0] - at[0], one.at[1] - at[1]) < reach);
  if (entry || want === "entry") return entry ? { what: "entry", id: entry.id } : null;
  const fixture = scene.fixtures.find((one) => contains(one.outline, at));
  if (fixture) return { what: "fixture", id: fixture.id };
  const found = nearWall(at, reach / 1.5);
  if (found) return { what: "wall", id: found.id };
  const inside = scene.rooms.find((one) => contains(one.outline, at));
  return inside ? { what: "room", id: inside.id } : null;
};

const nearWall = (at: Point, reach: number): WallShape | undefined =>
  desk.scene.walls
    .map((one) => ({ one, off: distance(one.outline, at) }))
    .filter(({ off }) => off <= reach)
    .sort((a, b) => a.off - b.off)[0]?.one;

const room = async (from: Point, to: Point): Promise<void> => {
  const { rooms } = desk.scene;
  const placed = keptClear(from, to, rooms, draft.wall);
  if (!placed) {
    if (Math.abs(from[0] - to[0]) > 0.2 && Math.abs(from[1] - to[1]) > 0.2) {
      desk.say(desk.t("noRoomLeft", { name: rooms[0]?.name ?? "" }));
    }
    return;
  }
  await addRoom(placed.outline);
  if (placed.stopped) desk.say(desk.t("stopsAt", { name: placed.stopped }));
};

const addRoom = async (outline: readonly Point[]): Promise<void> => {
  const first = !ofKind(desk.entities, "room").some(([, one]) => one.polygon);
  // The first room begins at nought, so that what is typed stands in the record as typed.
  const [dx, dy] = first ? [Math.min(...outline.map((one) => one[0])), Math.min(...outline.map((one) => one[1]))] : [0, 0];
  if (await desk.addRoom(outline.map(([x, y]) => typedCorner([x - dx, y - dy])), {}, draft.naming)) draft.naming = "";
};

const closeRing = async (corners: readonly Point[]): Promise<void> => {
  const outline = [...corners];
  const [first, last] = [outline[0]!, outline.at(-1)!];
  if (outline.length > 3 && Math.abs(first[0] - last[0]) < 0.3 && first[0] !== last[0]) outline[outline.length - 1] = [first[0], last[1]];
  else if (outline.length > 3 && Math.abs(first[1] - last[1]) < 0.3) outline[outline.length - 1] = [last[0], first[1]];
  const shape = roomShape("new", { kind: "room", name: "", polygon: outline.map(typedCorner) } as never);
  const other = shape && overlaps(shape.outline, desk.scene.rooms);
  if (!shape || other) desk.say(other ? desk.t("runsInto", { name: other.name }) : desk.t("crossing"));
  else await addRoom(shape.outline);
};

const putFixture = async (at: Point): Promise<void> => {
  const { scene } = desk;
  const inside = scene.rooms.find((one) => contains(one.outline, at));
  const found = nearWall(at, REACH / view.scale);
  const own = inside ?? scene.rooms.find((one) => one.id === found?.side.room);
  if (!own) return;
  const side = nearestSide(own.sides, at);
  const id = newId("fixture");
  const drawn = { kind: "fixture", type: desk.piece, room: own.id, against: side.name, along: 0 };
  const size = sceneOf({ ...desk.entities, [id]: drawn as never }, desk.storey, desk.job.units).fixtures.find((one) => one.id === id);
  const width = size?.width ?? 0;
  const most = sideLength(side) - width;
  let along = Math.max(0, Math.min(most, placeOn(side, at).along - width / 2));
  const others = scene.fixtures.filter((one) => one.side.room === own.id && one.side.name === side.name);
  const ends = [0, most, ...others.flatMap((one) => [one.along + one.width, one.along - width])];
  const end = ends.filter((one) => one >= 0).sort((a, b) => Math.abs(a - along) - Math.abs(b - along))[0];
  if (end !== undefined && Math.abs(end - along) < Math.max(0.3, SNAP / view.scale)) along = Math.max(0, end);
  const placed = { ...drawn, along: Math.abs(along) < 1e-6 ? 0 : asTyped(along) };
  if (await desk.set({ [id]: placed }, desk.piece)) {
    desk.piece = "";
    desk.choose({ what: "fixture", id });
  }
};

const nearestSide = (all: readonly Side[], at: Point): Side => {
  const off = (side: Side): number => {
    const { along, out } = placeOn(side, at);
    return Math.hypot(out, Math.max(0, -along, along - sideLength(side)));
  };
  return [...all].sort((a, b) => off(a) - off(b))[0]!;
};

const putEntry = async (at: Point): Promise<void> => {
  const outer = desk.scene.walls.filter((one) => !one.facing);
  const found = outer
    .map((one) => ({ one, off: distance(one.outline, at) }))
    .sort((a, b) => a.off - b.off)[0]?.one;
  if (!found) return;
  const along = Math.min(found.to, Math.max(found.from, placeOn(found.side, at).along));
  const point = pointOn(found.side, along, found.thickness / 2);
  const id = newId("entry");
  const entry = {
    kind: "entry_point", name: desk.t("gap"), beyond: "outside",
    place: { storey: desk.storey, at: [asTyped(point[0]), asTyped(point[1])], height: "10 mm", part: "wall" },
  };
  if (await desk.set({ [id]: entry }, desk.t("entry"))) desk.choose({ what: "entry", id });
};
