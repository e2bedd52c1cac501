/** The points of the work: what is next, what waits for which stop, what is ticked as done on any device. */
import kinds from "../../made/kinds.json";
import { ofKind } from "../../drawing/scene";
import type { Ticked } from "../../made/job";
import { newId, timeOf } from "../../record/store";
import { desk } from "../desk.svelte";
import { dayOf, today } from "../today.svelte";
import { openOf, stopsFor, waitingFor } from "../../record/stops";
import type { Hold, Stop } from "../open/told";
import { clockOf, who } from "./wet.svelte";

/** The stop over all that is wetted; it stands before the office has calculated anything. */
export const WET = kinds.wetting_hold as Hold;
export const SECTIONS = ["now", "stops", "points", "seals", "dry", "van", "alone"] as const;
export interface Point {
  readonly key: string;
  readonly words: string;
  /** What it waits for, in words; empty where nothing holds it. */
  readonly waits: string;
}

class Points {
  section = $state<(typeof SECTIONS)[number]>("now");
  work = $derived(desk.office.figures?.answer.work);
  private released = $derived(new Map(ofKind(desk.entities, "release").map(([, one]) => [one.hold, `${one.by}, ${(one.at ?? "").slice(0, 10)}: ${one.evidence}`])));
  holds = $derived((this.work?.holds ?? []) as readonly Hold[]);
  /** In the order of their numbers: what holds the water first, then what holds the fans. */
  stops = $derived<readonly Stop[]>(stopsFor(WET, this.holds, this.released));
  open = $derived(openOf(this.stops));
  /** Who released a hold point on what evidence; empty where nobody did. */
  signed = (key: string): string => this.released.get(key) ?? "";
  /** What holds a thing, as the screen says it: ``waits for STOP 2: combustion``. */
  private held = (keys: readonly string[]): string =>
    waitingFor(this.stops, keys).map(({ n, hold }) => desk.t("waitsForStop", { n, what: desk.tell(hold.hazard) })).join("; ");
  /** An open stop by its number and hazard, ``STOP 2: sign first: combustion``; empty where none has this key. */
  stopCalled = (key: string): string =>
    waitingFor(this.stops, [key]).map(({ n, hold }) => `${desk.t("stopSignN", { n })}: ${desk.tell(hold.hazard)}`).join("; ");
  private fans = $derived(this.work?.fans_wait ?? this.holds.filter((one) => one.key !== WET.key).map((one) => one.key));
  /** What holds every wet start. */
  wetWaits = $derived(this.held([WET.key]));
  all = $derived.by((): readonly Point[] => {
    const cleaning = this.work?.cleaning;
    const fans = this.held(this.fans);
    const wet = this.held([WET.key, ...this.fans]);
    return [
      ...(this.work?.containments ?? []).flatMap((one): Point[] => {
        const room = one.work.names.join(", ");
        const key = (one.work.rooms ?? []).join("+") || room;
        const { sheet, floor, tape, zip_doors: doors, posts } = one.sheets;
        const n = (value: number): string => value.toFixed(0);
        return [
          { key: `sheets/${key}`, waits: "", words: desk.t("sheets", { room, sheet: n(sheet), floor: n(floor), tape: n(tape), doors, posts }) },
          { key: `exhaust/${key}`, waits: fans, words: desk.t("exhaust", { room, flow: n(3600 * one.exhaust.flow), units: one.exhaust.units, purge: n(one.purge_minutes) }) },
        ];
      }),
      // The first step runs fans; those before the first that wets hold nothing; the rest follows both.
      ...(cleaning?.steps ?? []).map((step, n): Point => ({ key: `step/${step}`, words: desk.tell(step), waits: n === 0 ? fans : n >= (cleaning?.wets_from ?? 0) ? wet : "" })),
    ];
  });
  van = $derived((this.work?.cleaning?.van ?? []).map((one): Point => ({ key: `van/${one}`, words: desk.tell(one), waits: "" })));
  left = $derived(this.all.filter((one) => !this.ticked(one.key)));
  /** The first that may be done now. */
  next = $derived(this.left.find((one) => !one.waits) ?? this.left[0]);

  private ticks = $derived.by(() => {
    const found = new Map<string, { ids: string[]; first: Ticked }>();
    for (const [id, one] of ofKind(desk.entities, "tick")) {
      const there = found.get(one.of);
      const first = there && (there.first.at ?? "") <= (one.at ?? "") ? there.first : one;
      found.set(one.of, { ids: [...(there?.ids ?? []), id], first });
    }
    return found;
  });
  ticked = (key: string): boolean => this.ticks.has(key);
  /** Who ticked it, and when. */
  by = (key: string): string => {
    const one = this.ticks.get(key)?.first;
    if (!one?.at) return one?.by ?? "";
    const at = Date.parse(one.at);
    return [one.by, dayOf(new Date(at)) === today.day ? clockOf(at) : one.at.slice(0, 10)].filter(Boolean).join(", ");
  };
  /** Ticks a point, or takes every tick of it back, whoever set it. */
  turn = (point: Point): void => {
    const there = this.ticks.get(point.key);
    const one = { kind: "tick", of: point.key, words: original(point.key) || point.words, at: timeOf(new Date()), ...(who.name.trim() ? { by: who.name.trim() } : {}) };
    const made = there ? Object.fromEntries(there.ids.map((id) => [id, null])) : { [newId("tick")]: one as never };
    void desk.set(made, point.words).then((good) => {
      if (!good) return;
      navigator.vibrate?.(20);
      desk.say(desk.t(there ? "unticked" : "tickedNow", { what: point.words }), [], () => { desk.hush(); void desk.undo(); });
    });
  };
}
/** What the office's own words are, where the key holds them: the paper says them in its own language. */
const original = (key: string): string => (/^(?:step|van)\/(.*)$/s.exec(key)?.[1] ?? "");
export const points = new Points();

/** Shows the next point: in gloves alone and large. */
export const nextPoint = (): void => {
  points.section = "now";
  desk.tray = desk.gloves ? "point" : "work";
  document.querySelector(".tray")?.scrollTo(0, 0);
};
