/** How much is due in a step, once what counts it is loaded. */
import type { Step } from "./desk.svelte";

export const due = $state<{ [step in Step]?: number }>({});
