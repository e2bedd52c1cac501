/**
 * Places one after the other, each answered by one tap: the bays of a wall once it is open, or the
 * places of a level where one person calls and the other taps.
 */
import { bayOf, centre, inWall, type Target } from "../../drawing/places";
import type { Scene } from "../../drawing/scene";
import { asTyped } from "../../geometry/quantity";
import { newId, timeOf } from "../../record/store";
import { desk } from "../desk.svelte";
import { find } from "../find/find.svelte";
import { nextOf } from "./order";

/** How long a tap may be taken back by one tap. [s] */
const TAKE_BACK = 10;

/** One answer to a place; without a find nothing is logged. */
export interface Answer {
  readonly words: string;
  readonly find?: { readonly kind: string; readonly amount: string };
  readonly method?: string;
  /** Whether it speaks for all kinds that were looked for. */
  readonly finished?: boolean;
}
interface Said {
  readonly answer: Answer;
  /** The inspection that was written, or nothing. */
  readonly id: string;
}

class Round {
  what = $state<"bays" | "calling">("bays");
  places = $state.raw<readonly Target[]>([]);
  n = $state(0);
  said = $state.raw<ReadonlyMap<string, Said>>(new Map());
  last = $state.raw<{ readonly n: number; readonly before: Said | undefined } | null>(null);
  left = $state(0);
  done = $state(false);
  private backwards = false;
  private busy = false;
  private clock: ReturnType<typeof setInterval> | undefined;
  place = $derived(this.places[this.n]);

  /** The bays of the same wall or floor, in their order; nothing where the place is no bay. */
  rowOf = (place: Target): readonly Target[] => {
    if (place.what === "void") return find.row(place.key.slice("void/".length));
    if (place.what !== "bay") return [];
    const wall = desk.scene.walls.find((one) => place.key.startsWith(`${one.id}/`) && place.key === inWall(one, desk.storey, place.at, new Map()).key);
    const names = new Map(desk.scene.rooms.map((room) => [room.id, room.name]));
    return wall ? wall.bays.slice(0, -1).map((_, bay) => bayOf(wall, desk.storey, bay, 0, names)) : [];
  };

  /** Goes on at the bay after one that was opened; at the end of the row towards its beginning. */
  bays = (from: Target): void => {
    const row = this.rowOf(from);
    const at = row.findIndex((one) => one.key === from.key);
    this.backwards = at === row.length - 1;
    this.begin("bays", row, at + (this.backwards ? -1 : 1));
  };
  /** Goes through the places of the level that is shown. */
  calling = (): void => {
    this.backwards = false;
    this.begin("calling", find.targets() ?? drawn(desk.scene, desk.storey), 0);
  };
  private begin = (what: "bays" | "calling", places: readonly Target[], n: number): void => {
    this.what = what;
    this.places = places;
    this.said = new Map();
    this.forget();
    this.go(n);
    desk.tray = "round";
  };

  go = (n: number): void => {
    this.n = n;
    this.done = this.places.length === 0;
    if (this.place) desk.pick(this.place);
  };

  /** Writes the answer to the place that is shown; only then the next one comes up. */
  answer = async (answer: Answer): Promise<void> => {
    const { place, n } = this;
    // A second touch while the first is being written would speak of the same place.
    if (!place || this.busy) return;
    this.busy = true;
    const before = this.said.get(place.key);
    const id = before?.id || (answer.find ? newId("look") : "");
    const good = !id || (await desk.set({ [id]: lookOf(place, answer) as never }, answer.words));
    this.busy = false;
    if (!good) return;
    navigator.vibrate?.(20);
    desk.endPlaceDraft();
    this.said = new Map([...this.said, [place.key, { answer, id: answer.find ? id : "" }]]);
    this.last = { n, before };
    this.count();
    const next = nextOf(this.places.map((one) => this.said.has(one.key)), n, this.backwards);
    if (next < 0) this.done = true;
    else this.go(next);
  };

  /** Takes the last answer back and shows its place again. */
  takeBack = async (): Promise<void> => {
    const last = this.last;
    const place = last && this.places[last.n];
    const now = place && this.said.get(place.key);
    if (!last || !place || !now || this.busy) return;
    const id = now.id || last.before?.id;
    if (id) {
      const value = last.before?.id ? lookOf(place, last.before.answer) : null;
      this.busy = true;
      const good = await desk.set({ [id]: value as never }, desk.t("undo"));
      this.busy = false;
      if (!good) return;
    }
    const said = new Map(this.said);
    if (last.before) said.set(place.key, last.before);
    else said.delete(place.key);
    this.said = said;
    this.forget();
    this.go(last.n);
  };

  private count = (): void => {
    clearInterval(this.clock);
    this.left = TAKE_BACK;
    this.clock = setInterval(() => {
      this.left -= 1;
      if (this.left <= 0) clearInterval(this.clock);
    }, 1000);
  };
  private forget = (): void => {
    clearInterval(this.clock);
    this.left = 0;
    this.last = null;
  };
}

const lookOf = (place: Target, answer: Answer): object | null =>
  answer.find
    ? {
        kind: "inspection", place: { ...place.place }, method: answer.method, at: timeOf(new Date()), grade: "seen",
        ...(answer.finished ? {} : { finished: false }), finds: [{ ...answer.find }],
      }
    : null;

/** The places of a storey without figures: each room, its fixtures, under its floor, over its ceiling. */
const drawn = (scene: Scene, storey: string): readonly Target[] =>
  scene.rooms.flatMap((room) => {
    const at = centre(room.outline);
    const point: [string, string] = [asTyped(at[0]), asTyped(at[1])];
    const base = { room: room.name, name: "", facing: "", outline: room.outline, at };
    return [
      { ...base, key: `${room.id}/room`, what: "room" as const, place: { of: room.id, part: "room" as const } },
      ...scene.fixtures.filter((one) => one.side.room === room.id).map((one) => ({
        key: one.id, place: { of: one.id }, what: "fixture" as const, name: one.words, facing: "",
        room: room.name, outline: one.outline, at: centre(one.outline),
      })),
      { ...base, key: `${room.id}/floor`, what: "floor" as const, place: { storey, at: point, part: "floor" as const } },
      { ...base, key: `${room.id}/ceiling`, what: "ceiling" as const, place: { storey, at: point, part: "ceiling" as const } },
    ];
  });

export const round = new Round();
