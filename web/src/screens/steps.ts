/**
 * The steps of a job, in its order: what the tray holds, what is laid over the plan, what the main
 * action does.  A new step is one folder and one line here.
 */
import { desk, type Step, type Tray } from "./desk.svelte";
import { opening } from "./open/opening.svelte";
import type { Load } from "./parts/lazy";

export interface Action {
  readonly words: string;
  readonly run: () => void;
  readonly off?: boolean;
}
export interface StepParts {
  readonly name: Step;
  readonly tray: Load;
  readonly layer?: Load;
  /** What stands over the plan, beside its drawing. */
  readonly over?: Load;
  /** The step's own list; without one the list tells what was drawn. */
  readonly list?: Load;
  readonly action: () => Action;
}

export const STEPS: readonly StepParts[] = [
  {
    name: "draw",
    tray: () => import("./draw/DrawTray.svelte"),
    layer: () => import("./find/OutlineLayer.svelte"),
    action: () => ({ words: desk.t(desk.tool), run: () => desk.choose(null) }),
  },
  {
    name: "find",
    tray: () => import("./find/FindTray.svelte"),
    layer: () => import("./find/FindLayer.svelte"),
    over: () => import("./find/FindOver.svelte"),
    list: () => import("./find/FindList.svelte"),
    action: () =>
      desk.office.figures && desk.office.figures.events === desk.held.events.length
        ? { words: desk.t("nextCheck"), run: () => { desk.tray = "checks"; } }
        : { words: desk.t("calculate"), off: desk.office.asking, run: () => void desk.office.calculate(desk.held.events) },
  },
  {
    name: "open",
    tray: () => import("./open/OpenTray.svelte"),
    layer: () => import("./open/OpenLayer.svelte"),
    action: () => ({
      words: desk.t("sheetAct"), off: !desk.office.figures?.answer.openings || opening.sheet?.state === "asked",
      run: () => void opening.makeSheet(),
    }),
  },
  {
    name: "work",
    tray: () => import("./works/WorkTray.svelte"),
    layer: () => import("./watch/WatchLayer.svelte"),
    action: () => ({ words: desk.t("nextPoint"), run: () => void import("./works/points.svelte").then((all) => all.nextPoint()) }),
  },
  {
    name: "watch",
    tray: () => import("./watch/WatchTray.svelte"),
    layer: () => import("./watch/WatchLayer.svelte"),
    action: () => ({ words: desk.t("nextTrap"), run: () => void import("./watch/traps.svelte").then((all) => all.traps.next()) }),
  },
  {
    name: "hand",
    tray: () => import("./handover/HandTray.svelte"),
    layer: () => import("./open/OpenLayer.svelte"),
    action: () => ({ words: desk.t("makePapers"), off: desk.office.asking, run: () => void import("./handover/papers.svelte").then((all) => all.papers.askAll()) }),
  },
];
export const stepOf = (name: Step): StepParts => STEPS.find((one) => one.name === name) ?? STEPS[0]!;

/** What comes up in every step and is loaded with the others. */
export const TRAYS: { readonly [tray in Tray]?: Load } = {
  why: () => import("./find/WhyTray.svelte"),
  checks: () => import("./find/ChecksTray.svelte"),
  record: () => import("./log/RecordTray.svelte"),
  round: () => import("./log/RoundTray.svelte"),
  note: () => import("./log/NoteTray.svelte"),
  correct: () => import("./log/CorrectTray.svelte"),
  paper: () => import("./handover/Reader.svelte"),
  point: () => import("./works/PointTray.svelte"),
  stops: () => import("./works/StopsTray.svelte"),
  traps: () => import("./watch/TrapTray.svelte"),
};
/** What we think of a place, at the head of its tray. */
export const THOUGHT: Load = () => import("./find/Thought.svelte");
/** The contact times that run, over every tray. */
export const STRIP: Load = () => import("./works/Strip.svelte");
/** Few large actions in place of a step's own tray. */
export const GLOVES: Load = () => import("./log/Gloves.svelte");
