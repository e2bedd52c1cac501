/** Parts that are loaded when they are first shown, or before; what was loaded shows at once. */
import type { Component } from "svelte";

export type Load = () => Promise<{ readonly default: Component }>;
const loaded = new Map<Load, Component>();

export const partOf = (of: Load): Component | undefined => loaded.get(of);
export const preload = async (of: Load): Promise<Component> => {
  const part = loaded.get(of) ?? (await of()).default;
  loaded.set(of, part);
  return part;
};
/** Loads a part before it is shown; where that fails, the place that shows it says so. */
export const ahead = (of: Load): void => void preload(of).catch(() => undefined);
