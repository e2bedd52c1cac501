/** Workers of this page, and how many of them may draw at once without the screen's noticing. */
import type { Hand } from "./phone";

export const spawn = (): Hand =>
  new Worker(new URL("./worker.ts", import.meta.url), { type: "module" }) as unknown as Hand;

export const most = (): number => Math.min(4, Math.max(1, (navigator.hardwareConcurrency || 2) - 1));
