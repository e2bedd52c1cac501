/** What Find shows: which chance, which level, which void is spoken of; and what the office said of it. */
import { levelOf, levelsOf, nearest, type LevelShown } from "../../drawing/voids";
import { targets, type Target } from "../../drawing/places";
import { placePoint } from "../../drawing/scene";
import type { Point } from "../../geometry/frame";
import { asTyped } from "../../geometry/quantity";
import type { Finding, Shapes, Told, VoidOutline } from "../../made/office";
import { desk } from "../desk.svelte";
import type { VoidSaid } from "../office.svelte";
import { adviceOf, percent, wholly, wordOf } from "./chance";
import { outlines } from "./outlines.svelte";

export type Shows = "soiled" | "now" | "nest" | "entries";
export const SHOWS: readonly Shows[] = ["soiled", "now", "nest", "entries"];

/** How one void looks on the plan. */
export interface Look {
  readonly state: "chance" | "seen" | "unsettled" | "not calculated" | "plain";
  readonly chance: number;
  /** Class of the chance, 1 to 5. */
  readonly n: number;
}
/** How long what changed, or was asked for, stays ringed. [ms] */
const RINGED = 5000;

class Find {
  shows = $state<Shows>("soiled");
  private wanted = $state("view");
  /** Voids that a check speaks of. */
  ringed = $state.raw<readonly string[]>([]);
  changed = $state.raw<readonly string[]>([]);
  announced = $state("");
  /** The inspection that pulses on the plan. */
  pulsed = $state("");
  private clock: ReturnType<typeof setTimeout> | undefined;
  private pulse: ReturnType<typeof setTimeout> | undefined;
  private before: { job: string; said: Map<string, string> } | null = null;

  get answer() {
    return desk.office.figures?.answer;
  }
  get told(): Finding | undefined {
    return this.answer?.find;
  }
  /** The outlines that the figures speak of, else those that were only drawn. */
  get shapes(): Shapes | null {
    return this.told?.shapes ?? outlines.shapes;
  }
  /** Entries that were written since the figures. */
  get since(): number {
    return desk.office.figures ? desk.held.events.length - desk.office.figures.events : 0;
  }
  /** What to say of the checks where the log is newer: only the office ranks them; empty where it did. */
  get checksOld(): string {
    return this.since > 0 ? desk.t("checksOld", { at: desk.office.figures!.at, n: this.since }) : "";
  }
  get rough(): boolean {
    return desk.office.figures?.rough === true;
  }
  private byId = $derived(new Map(this.answer?.diagnosis.voids.map((one) => [one.id, one]) ?? []));
  levels = $derived.by<readonly LevelShown[]>(() => (this.shapes ? levelsOf(this.shapes, desk.storey) : []));
  level = $derived(this.levels.find((one) => one.key === this.wanted) ?? this.levels[0]);
  /** Voids that the office drew since the figures were made. */
  added = $derived.by<readonly VoidOutline[]>(() => {
    if (!this.told || !outlines.shapes) return [];
    const level = levelsOf(outlines.shapes, desk.storey).find((one) => one.key === this.level?.key);
    return (level?.voids ?? []).filter((one) => !this.byId.has(one.id));
  });

  said = (id: string): VoidSaid | undefined => this.byId.get(id);
  toldOf = (id: string): Told | undefined => this.told?.voids[id];
  outline = (id: string): VoidOutline | undefined =>
    this.shapes?.voids.find((one) => one.id === id) ?? outlines.shapes?.voids.find((one) => one.id === id);

  /** The chance that the plan shows of a void. [1] */
  chance = (one: VoidSaid): number =>
    this.shows === "now" ? one.now : this.shows === "nest" ? one.nest ?? 0 : one.soiled;

  look = (id: string): Look => {
    const one = this.said(id);
    if (!one) return { state: "not calculated", chance: 0, n: 0 };
    const chance = this.chance(one);
    const n = wordOf(chance).n;
    if (this.shows === "entries") return { state: "plain", chance, n };
    if (one.seen && this.shows !== "now") return { state: "seen", chance, n };
    return { state: one.settled ? "chance" : "unsettled", chance, n };
  };

  /** The greatest chance of some voids, as its plate says it; empty where nothing is calculated. */
  greatest = (voids: readonly VoidOutline[]): number =>
    Math.max(-1, ...voids.flatMap((one) => {
      const said = this.said(one.id);
      return said && said.settled ? [this.chance(said)] : [];
    }));

  /** A void for a reader: name, chance word, number, signs, how far it was looked at. */
  nameFor = (id: string): string => {
    const [one, said] = [this.outline(id), this.said(id)];
    if (!one) return "";
    if (!said) return `${nameOf(one)}. ${desk.t("notCalculated")}.`;
    const chance = this.chance(said);
    const parts = [
      nameOf(one),
      said.seen
        ? desk.t("openedSeenIs", { what: desk.word(said.seen) })
        : said.settled
          ? desk.t("readerChance", { what: desk.t(`shows_${this.shows === "entries" ? "soiled" : this.shows}`), word: desk.t(`chance_${wordOf(chance).n}`), n: percent(chance) })
          : desk.t("cantTell"),
    ];
    return `${parts.join(". ")}. ${this.lookedAndSigns(id)}`.trim();
  };
  /** ``Two signs speak for it. Looked at in part.`` */
  lookedAndSigns = (id: string): string => {
    const said = this.said(id);
    const signs = (this.toldOf(id)?.weighs ?? []).filter((each) => each.log_odds > 0 && this.told?.signs.some((sign) => sign.id === each.inspection && sign.found)).length;
    const looked = said?.looked ?? 0;
    const parts = [
      signs ? desk.t(signs === 1 ? "oneSignFor" : "signsFor", { n: signs }) : "",
      looked <= 0 ? "" : desk.t(wholly(looked) ? "lookedAll" : "lookedPart"),
    ];
    return parts.filter(Boolean).map((words) => `${words}.`).join(" ");
  };

  advice = (said: VoidSaid): string =>
    desk.t(adviceOf(said, this.since > 0 || desk.office.figures?.state !== undefined));

  show = (level: string): void => {
    this.wanted = level;
  };
  /** Brings a void on the screen: its storey, its level. */
  bring = (id: string): void => {
    const one = this.outline(id);
    const shapes = this.shapes;
    if (!one || !shapes) return;
    // A floor that is the ceiling of the storey beneath is shown where it already stands.
    if (!levelOf(shapes, desk.storey, id)) desk.storey = shapes.levels.find((level) => level.voids.some((n) => shapes.voids[n]!.id === id))?.storey ?? one.storey;
    const level = levelOf(shapes, desk.storey, id);
    if (level) this.wanted = level.key;
  };

  /** A void as a place to log at: a point within it. */
  target = (one: VoidOutline): Target => ({
    key: `void/${one.id}`, what: "void", room: "", name: nameOf(one), label: one.label, facing: "",
    place: { storey: one.storey, at: [asTyped(one.spot[0]), asTyped(one.spot[1])], height: asTyped(one.spot[2]) },
    outline: one.outline, at: [one.spot[0], one.spot[1]],
  });
  open = (id: string): void => {
    const one = this.outline(id);
    if (!one) return;
    this.bring(id);
    desk.openPlace(this.beside(one).map(this.target));
  };
  /** A void, then those on its two sides that belong to the same wall, floor or fixture. */
  private beside = (one: VoidOutline): VoidOutline[] => {
    const same = this.sameAs(one);
    const at = same.findIndex((each) => each.id === one.id);
    return [one, ...same.filter((_, n) => n !== at && Math.abs(n - at) <= 2)];
  };
  private sameAs = (one: VoidOutline): VoidOutline[] =>
    (this.shapes?.voids ?? []).filter((each) => each.owner === one.owner && each.kind === one.kind && each.storey === one.storey);
  /** All voids of the same wall, floor or fixture, in their order, as places to log at. */
  row = (id: string): Target[] => {
    const one = this.outline(id);
    return one ? this.sameAs(one).map(this.target) : [];
  };
  /** The voids of the level that is shown as places to log at; null where none is known. */
  targets = (): Target[] | null => {
    const voids = this.level?.voids ?? [];
    return voids.length ? voids.map(this.target) : null;
  };

  /** What a tap on the plan may mean, where outlines are known. */
  hits = (at: Point, reach: number): Target[] => {
    const drawn = targets(desk.scene, desk.storey, at, reach);
    const level = this.level;
    if (!level) return drawn;
    const near = nearest(level.voids, at, level.where === "view" ? reach : reach / 2);
    if (!near.length) return drawn;
    const [first] = near;
    const voids = [...new Map([...this.beside(first!.one), ...near.slice(1, 4).map(({ one }) => one)].map((one) => [one.id, this.target(one)])).values()];
    const rest = drawn.filter((one) => !["bay", "wall", "fixture"].includes(one.what));
    if (drawn[0]?.what === "entry") return [...drawn.slice(0, 1), ...voids, ...rest.slice(1)];
    const inTheOpen = level.where === "view" && first!.off > reach / 3 && rest[0]?.what === "room";
    return inTheOpen ? [rest[0]!, ...voids, ...rest.slice(1)] : [...voids, ...rest];
  };

  /** The void that the place tray speaks of: the one that was opened, or where the place lies. */
  get picked(): VoidOutline | undefined {
    const place = desk.place;
    if (!place || !this.shapes) return undefined;
    if (place.key.startsWith("void/")) return this.outline(place.key.slice("void/".length));
    const levels = levelsOf(this.shapes, desk.storey);
    const of = { floor: "under", ceiling: "over" }[place.what as string] ?? "view";
    if (place.what === "room" || place.what === "entry") return undefined;
    const here = levels.find((one) => one.where === of);
    if (place.what === "fixture") {
      const own = here?.voids.filter((one) => one.owner === place.place.of) ?? [];
      return [...own].sort((a, b) => (this.said(b.id)?.soiled ?? 0) - (this.said(a.id)?.soiled ?? 0))[0];
    }
    return here && nearest(here.voids, place.at, 0.1)[0]?.one;
  }

  /** Pulses a sign on the plan, once. */
  pulseAt = (inspection: string): void => {
    const one = desk.entities[inspection];
    if (one?.kind === "inspection") {
      const on = desk.storeys.find(([id]) => placePoint(one.place, desk.entities, id, { rooms: [], fixtures: [], walls: [] }) !== null)?.[0]
        ?? this.storeyOf(one.place?.of ?? "");
      if (on) desk.storey = on;
    }
    this.pulsed = inspection;
    clearTimeout(this.pulse);
    this.pulse = setTimeout(() => (this.pulsed = ""), RINGED);
  };
  private storeyOf = (id: string): string => {
    const one = desk.entities[id];
    if (one?.kind === "room") return one.storey ?? "";
    if (one?.kind === "fixture" || one?.kind === "wall") return this.storeyOf(one.room);
    if (one?.kind === "entry_point") return one.place?.storey || this.storeyOf(one.place?.of ?? "");
    return "";
  };

  /** Tells what new figures changed; the first figures of a job change nothing. */
  compare = (): void => {
    const said = new Map((this.answer?.diagnosis.voids ?? []).filter((one) => one.hidden).map((one) => [one.id, one.settled ? percent(one.soiled) : "?"]));
    const before = this.before;
    this.before = { job: desk.job.id, said };
    if (!before || before.job !== desk.job.id || !before.said.size || !said.size) return;
    const changed = [...said].filter(([id, one]) => before.said.has(id) && before.said.get(id) !== one).map(([id]) => id);
    this.changed = changed;
    const first = changed.map((id) => this.said(id)!).sort((a, b) => b.soiled - a.soiled)[0];
    this.announced = first
      ? desk.t("placesChanged", { n: changed.length, first: `${first.label} ${said.get(first.id)}` })
      : desk.t("nothingChanged");
    clearTimeout(this.clock);
    this.clock = setTimeout(() => (this.changed = []), RINGED);
  };
}

/** A void's words with its label in front: ``N7, stud bay, kitchen north wall``. */
export const nameOf = (one: { readonly label: string; readonly words: string }): string => {
  const words = desk.tell(one.words).replace(` ${one.label}`, "");
  return `${one.label}, ${words}`;
};

export const find = new Find();
