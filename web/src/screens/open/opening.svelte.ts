/** What the step Open keeps while it is looked at: which set, which opening, what is asked. */
import { timeOf } from "../../record/store";
import type { Target } from "../../drawing/places";
import type { Place } from "../../made/job";
import type { Laid } from "../../made/office";
import { desk } from "../desk.svelte";
import { whyOf } from "../refused";
import { longName } from "../plan/where";
import { grouped, SETS, signedIn, type ChoiceTold, type Group, type OpeningTold, type SetName, type SetTold } from "./told";

class Opening {
  set = $state<SetName>("balanced");
  /** The opening that is looked at, with those alike; the id of the first. */
  picked = $state("");
  /** What the tray asks for. */
  asks = $state<"" | "sign" | "keep">("");
  /** The paper: its address while the office holds it, and how far it is. */
  sheet = $state.raw<{ state: "asked" | "ready" | "failed"; url: string; why: string } | null>(null);

  choice = $derived<ChoiceTold | null>(desk.office.figures?.answer.openings ?? null);
  told = $derived<SetTold | null>(this.choice ? this.choice[this.set] : null);
  /** The openings of the set, those that find most first. */
  openings = $derived<readonly OpeningTold[]>(this.choice?.openings.filter((one) => this.told?.openings.includes(one.id)) ?? []);
  laid = $derived(new Map<string, Laid>((desk.office.figures?.answer.find?.openings ?? []).map((one) => [one.id, one])));
  said = $derived(signedIn(desk.entities));
  groups = $derived<readonly Group[]>(grouped(this.openings, (id) => this.said.declined.get(id) ?? this.said.signed.get(id) ?? ""));

  isPicked = (group: Group): boolean => group.all.some((one) => one.id === this.picked);
  pick = (group: Group): void => {
    this.picked = this.isPicked(group) ? "" : group.all[0]!.id;
    const at = this.laid.get(group.all[0]!.id)?.storey;
    if (this.picked && at && desk.entities[at]) desk.storey = at;
  };
  step = (by: 1 | -1): void => {
    const sets = [...SETS].sort((a, b) => (this.choice?.[a].openings.length ?? 0) - (this.choice?.[b].openings.length ?? 0));
    const next = sets[sets.indexOf(this.set) + by];
    if (next) this.show(next);
  };
  show = (set: SetName): void => {
    this.set = set;
    this.picked = "";
    this.sheet = null;
  };

  /** From now on the next tap on the plan names what the owner wants kept. */
  keep = (): void => {
    this.asks = "keep";
    desk.onPlace = (found: readonly Target[]): void => {
      this.asks = "";
      const first = found[0];
      if (!first) return;
      this.keepThat(longName(first), { ...first.place });
    };
  };
  /** Keeps a place by its name: what a tap meant, or what was picked without one. */
  keepThat = (name: string, place: Place): void => {
    this.endKeep();
    void desk.add("kept", { kind: "kept", name, place: place as never }, name);
  };
  endKeep = (): void => {
    this.asks = "";
    desk.onPlace = null;
  };

  decline = async (group: Group, by: string, reason: string): Promise<void> => {
    const given = { kind: "declined", by, at: timeOf(new Date()), ...(reason ? { reason } : {}) };
    await desk.addAll("declined", group.all.map((one) => ({ ...given, opening: one.id })), desk.t("declined"));
  };
  release = async (hold: string, by: string, evidence: string): Promise<void> => {
    await desk.add("release", { kind: "release", hold, by, evidence, at: timeOf(new Date()) }, desk.t("settled"));
  };
  authorise = async (by: string, price: string, signature: string): Promise<boolean> => {
    const { signed, declined } = this.said;
    const openings = this.openings.filter((one) => !signed.has(one.id) && !declined.has(one.id));
    const given = { ...(price ? { price } : {}), ...(signature ? { signature } : {}) };
    const entity = { kind: "authorisation", openings: openings.map((one) => one.id), by, at: timeOf(new Date()), ...given };
    const good = await desk.add("authorisation", entity, desk.t("authorised"));
    if (good) this.asks = "";
    return good;
  };

  makeSheet = async (): Promise<void> => {
    if (!this.choice) return;
    this.sheet = { state: "asked", url: "", why: "" };
    try {
      const url = await desk.office.sheet(desk.held.events, this.set === "all_of_it" ? "all" : this.set);
      this.sheet = { state: "ready", url, why: "" };
    } catch (error) {
      this.sheet = { state: "failed", url: "", why: whyOf(error) };
    }
  };
}

export const opening = new Opening();
