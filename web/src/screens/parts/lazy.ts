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
