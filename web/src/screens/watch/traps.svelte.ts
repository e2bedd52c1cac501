/** The round of the traps: in which order they are walked, which is next, what was found. */
import { ofKind, placePoint } from "../../drawing/scene";
import { roundOf } from "../../drawing/round";
import type { Trap, TrapCheck } from "../../made/job";
import { timeOf } from "../../record/store";
import { desk } from "../desk.svelte";
import { dayOf, today } from "../today.svelte";
import { longName } from "../plan/where";
import type { Key } from "../words/words";
import { who } from "../works/wet.svelte";

export const STATES: readonly TrapCheck["state"][] = ["set", "caught", "sprung", "missing", "bait taken", "other"];
const day = (at: string): string => dayOf(new Date(at));

class Traps {
  picked = $state("");
  /** What the next tap on the plan is for. */
  asks = $state<"" | "trap" | "bait">("");
  private checks = $derived(ofKind(desk.entities, "trap_check").map(([, one]) => one as TrapCheck).sort((a, b) => Date.parse(a.at) - Date.parse(b.at)));
  private numbered = $derived(
    ofKind(desk.entities, "trap").map(([id, one]) => ({ id, one: one as Trap }))
      .sort((a, b) => Date.parse(a.one.at) - Date.parse(b.one.at) || (a.id < b.id ? -1 : 1)),
  );
  all = $derived(
    this.numbered.map(({ id, one }, index) => {
      const of = this.checks.filter((each) => each.trap === id);
      const last = of.at(-1);
      /** What was said of it today in more than one way, as by two phones on one round. */
      const todays = of.filter((each) => day(each.at) === today.day);
      const told = new Set(todays.map((each) => `${each.state} ${each.species ?? ""}`)).size > 1 ? todays : [];
      const looked = last !== undefined && day(last.at) === today.day;
      const at = this.storeyOf(one) === desk.storey ? placePoint(one.place as never, desk.entities, desk.storey, desk.scene) : null;
      return { id, one, n: index + 1, last, today: looked, told, at, gone: Boolean(last?.taken_up) || last?.state === "missing", up: Boolean(last?.taken_up) };
    }),
  );
  standing = $derived(this.all.filter((one) => !one.up));
  /** In the order of the way: this storey's by the shortest next step, then those of others. */
  round = $derived.by(() => {
    const here = this.standing.filter((one) => one.at);
    const order = roundOf(here.map((one) => one.at!)).map((n) => here[n]!);
    return [...order, ...this.standing.filter((one) => !one.at)];
  });
  left = $derived(this.round.filter((one) => !one.today));
  current = $derived(this.round.find((one) => one.id === this.picked) ?? this.left[0] ?? null);

  private storeyOf = (one: Trap): string => {
    const key = (one.place?.of ?? "").split("/")[0]!;
    const owner = desk.job.entities[key] as { storey?: string; room?: string } | undefined;
    const room = owner?.room ? (desk.job.entities[owner.room] as { storey?: string } | undefined) : undefined;
    return one.place?.storey ?? owner?.storey ?? room?.storey ?? desk.storey;
  };

  /** Goes to the next trap that nobody looked at today; without one the next tap sets one. */
  next = (): void => {
    desk.tray = desk.gloves ? "traps" : "watch";
    if (!this.standing.length) return this.place("trap");
    const at = this.left.findIndex((one) => one.id === this.picked);
    this.pick((this.left[at + 1] ?? this.left[0])?.id ?? "");
  };
  pick = (id: string): void => {
    this.picked = id;
    const one = this.all.find((each) => each.id === id);
    const storey = one && this.storeyOf(one.one);
    if (storey && desk.entities[storey]) desk.storey = storey;
  };
  /** Writes what was found; the next trap of the round comes up by itself. */
  found = async (state: TrapCheck["state"], more: Partial<TrapCheck> = {}): Promise<void> => {
    const one = this.current;
    if (!one) return;
    const words = desk.t("trapChecked", { n: one.n, what: desk.t(`trap_${state}` as Key) });
    const after = this.left.filter((each) => each.id !== one.id)[0]?.id ?? "";
    if (await desk.add("trap_check", { kind: "trap_check", trap: one.id, at: timeOf(new Date()), state, ...(who.name.trim() ? { by: who.name.trim() } : {}), ...more } as never, words)) {
      navigator.vibrate?.(20);
      this.picked = after;
    }
  };
  /** From now on the next tap on the plan is the place of a trap, or of bait. */
  place = (what: "trap" | "bait", name = ""): void => {
    this.asks = what;
    desk.onPlace = (found): void => {
      this.asks = "";
      const place = found[0]?.place;
      if (!place || !found[0]) return;
      if (what === "trap") void this.set(place as never);
      else void desk.add("bait_left", { kind: "bait_left", place: { ...place }, what: name, at: timeOf(new Date()) } as never, `${name}, ${longName(found[0])}`);
    };
  };
  private set = async (place: Trap["place"]): Promise<void> => {
    const words = desk.t("trapIsSet", { n: this.numbered.length + 1 });
    await desk.add("trap", { kind: "trap", place: { ...place }, at: timeOf(new Date()) } as never, words);
  };
  stop = (): void => {
    this.asks = "";
    desk.onPlace = null;
  };
}
export const traps = new Traps();
