export type Tool = "room" | "wall" | "fixture" | "run" | "entry" | "ready" | "paper";
export const TOOLS: readonly Tool[] = ["room", "wall", "fixture", "run", "entry", "ready", "paper"];
/** Step of the grid: 3 in or 50 mm. [m] */
export const snapGrid = (units: "ft-in" | "m"): number => (units === "m" ? 0.05 : 0.0762);
