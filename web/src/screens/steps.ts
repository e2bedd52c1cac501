/**
 * The steps of a job, in its order: what the tray holds, what is laid over the plan, what the main
 * action does.  A new step is one folder and one line here.
 */
import { desk, type Step } from "./desk.svelte";
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
  readonly action: () => Action;
}

export const STEPS: readonly StepParts[] = [
  {
    name: "draw",
    tray: () => import("./draw/DrawTray.svelte"),
    action: () => ({ words: desk.t(desk.tool), run: () => desk.choose(null) }),
  },
  {
    name: "find",
    tray: () => import("./find/FindTray.svelte"),
    layer: () => import("./find/FindLayer.svelte"),
    action: () => ({
      words: desk.t("calculate"), off: desk.office.asking,
      run: () => void desk.office.calculate(desk.held.events),
    }),
  },
];
export const stepOf = (name: Step): StepParts => STEPS.find((one) => one.name === name) ?? STEPS[0]!;
