/** Contact times while the page lives: events with their stored start, told by a clock that is not believed blindly. */
import { ofKind } from "../../drawing/scene";
import type { Application, ContactMoment, ProductLabel } from "../../made/job";
import { contactOf, judged, type Judged } from "../../record/contact";
import { compared, wentBack, type Tick } from "../../record/steady";
import { newId, timeOf } from "../../record/store";
import { desk } from "../desk.svelte";

const SECOND = 1000;
/** How often it is written down when the page was last seen. [ms] */
const KEEP = 15 * SECOND;
const KEY = "clock";

export interface Wet extends Judged {
  readonly id: string;
  readonly one: Application;
  readonly where: string;
}
interface Kept {
  readonly seen: number;
  readonly off: number;
}

class Wets {
  /** What the clock would say if nobody had set it since something was wet. [ms] */
  now = $state(Date.now());
  /** By how much the clock was set while something was wet. [ms] */
  off = $state(0);
  told = $state.raw<{ readonly what: "jump" | "slept" | "back"; readonly by: number } | null>(null);
  all = $derived.by((): readonly Wet[] => {
    const moments = ofKind(desk.entities, "contact").map(([, one]) => one as ContactMoment);
    return ofKind(desk.entities, "application")
      .map(([id, one]) => {
        const label = desk.job.entities[one.label] as unknown as ProductLabel | undefined;
        return {
          ...judged(one, label, moments.filter((each) => each.application === id), this.now),
          id, one: one as Application, where: nameOf(one.place?.of ?? ""), open: !moments.some((each) => each.application === id && each.what === "end"),
        };
      })
      .sort((a, b) => (a.one.at < b.one.at ? 1 : -1));
  });
  /** Not ended: next end first. */
  running = $derived(this.all.filter((one) => one.standing === "running" || (one.standing === "done" && one.since !== null)).sort((a, b) => endOf(a) - endOf(b)));
  labels = $derived(ofKind(desk.entities, "product_label").map(([id, one]) => [id, one as ProductLabel] as const).sort((a, b) => ((a[1].at ?? "") < (b[1].at ?? "") ? 1 : -1)));
  /** The newest that something can be judged by. */
  label = $derived(this.labels.find(([, one]) => contactOf(one) !== null)?.[0] ?? "");
  /** Where the next one is wetted: the room of the last, or the first of the work. */
  room = $state("");
  surface = $state("wood");
  /** Rooms of the work first, then the others of the storey. */
  rooms = $derived.by(() => {
    const work = desk.office.figures?.answer.work?.containments.flatMap((one) => one.work.rooms ?? []) ?? [];
    return [...new Set([...work, ...desk.scene.rooms.map((one) => one.id)])].filter((id) => desk.job.entities[id]);
  });
  /** Where a wet start is taken to be; empty where no room is drawn or named. */
  where = $derived.by(() => {
    const last = this.all[0]?.one.place?.of ?? "";
    return [this.room, last, ...this.rooms].find((id) => id && desk.job.entities[id]?.["kind"] === "room") ?? "";
  });
  private last: Tick = { wall: Date.now(), steady: performance.now() };
  private seen = !document.hidden;
  private written = 0;
  private lock: WakeLockSentinel | null = null;

  /** Follows the clock until it is told to stop. */
  follow = (): (() => void) => {
    void this.begin();
    const tick = (): void => this.tick();
    const shown = (): void => {
      this.tick();
      this.seen = !document.hidden;
      void this.awake();
    };
    const often = setInterval(tick, SECOND);
    document.addEventListener("visibilitychange", shown);
    return () => {
      clearInterval(often);
      document.removeEventListener("visibilitychange", shown);
      void this.lock?.release();
      this.lock = null;
    };
  };
  private begin = async (): Promise<void> => {
    const kept = (await desk.store?.get("settings", KEY)) as Kept | undefined;
    this.off = this.running.length ? (kept?.off ?? 0) : 0;
    const back = wentBack(kept?.seen ?? 0, Date.now());
    if (back && this.running.length) this.told = { what: "back", by: back };
    void this.awake();
  };
  private tick = (): void => {
    const now = { wall: Date.now(), steady: performance.now() };
    const found = compared(this.last, now, this.seen && !document.hidden);
    this.seen = !document.hidden;
    this.last = now;
    if (found && this.running.length) {
      this.told = found;
      if (found.what === "jump") this.off += found.by;
    }
    const before = this.running.filter((one) => one.standing === "running").map((one) => one.id);
    this.now = now.wall - this.off;
    const reached = this.running.find((one) => one.standing === "done" && before.includes(one.id));
    if (reached) {
      navigator.vibrate?.([200, 100, 200]);
      desk.say(`${reached.where}: ${desk.t("timeReached")}`);
    }
    if (found || now.wall - this.written > KEEP) void this.keep(now.wall);
  };
  private keep = async (seen: number): Promise<void> => {
    this.written = seen;
    await desk.store?.put("settings", { seen, off: this.off }, KEY);
  };
  private awake = async (): Promise<void> => {
    if (!this.running.length || document.hidden || (this.lock && !this.lock.released)) return;
    this.lock = (await navigator.wakeLock?.request("screen").catch(() => null)) ?? null;
  };
  /** What was applied once more after one that failed, at the same place and on the same surface. */
  again = (one: Wet): Wet | undefined =>
    this.all.find((each) => each.one.at > one.one.at && each.one.place?.of === one.one.place?.of && each.one.surface === one.one.surface && each.standing !== "failed");
  checked = (): void => {
    this.told = null;
  };

  /** The time that is written down: with the clock set while something was wet, that of before. */
  private at = (): string => timeOf(new Date(Date.now() - this.off));
  start = async (room: string, surface: string = this.surface): Promise<void> => {
    if (!this.running.length) this.off = 0;
    this.room = room;
    const one = { kind: "application", label: this.label, place: { of: room }, at: this.at(), ...(surface ? { surface } : {}), ...byOf() };
    if (!(await desk.add("application", one as never, `${desk.t("wetStart")}, ${nameOf(room)}`))) return;
    this.now = Date.now() - this.off;
    void this.keep(Date.now());
    void this.awake();
  };
  moment = async (of: string, what: ContactMoment["what"], words: string): Promise<void> => {
    const note = this.off ? { note: `clock was set by ${Math.round(this.off / 60_000)} min meanwhile; timed on without it` } : {};
    await desk.add("contact", { kind: "contact", application: of, at: this.at(), what, ...byOf(), ...note } as never, words);
    this.now = Date.now() - this.off;
  };
  addLabel = (label: Omit<ProductLabel, "kind" | "at">): Promise<boolean> =>
    desk.set({ [newId("label")]: { kind: "product_label", ...label, at: timeOf(new Date()) } as never }, desk.t("label"));
}

/** Who is at work here, kept on this device. */
class Who {
  name = $state("");
  load = async (): Promise<void> => {
    const kept = ((await desk.store?.get("settings", "who")) as string | undefined) ?? "";
    // What was typed while the device was read stays.
    if (!this.name) this.name = kept;
  };
  keep = (): void => void desk.store?.put("settings", this.name.trim(), "who");
}
export const who = new Who();
const byOf = (): { by?: string } => (who.name.trim() ? { by: who.name.trim() } : {});

export const nameOf = (id: string): string => String(desk.job.entities[id]?.["name"] ?? id);
/** When it has been wet long enough, as it stands; far off where it is not wet. [ms] */
export const endOf = (one: Judged): number => (one.since === null ? Infinity : one.since + (one.needed ?? 0) * 60_000);
export const clockOf = (ms: number): string => new Date(ms).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hour12: false });
export const wets = new Wets();
