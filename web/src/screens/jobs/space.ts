/** How much room is left on this device, and whether the browser may clear what is here. */

export interface Space {
  /** What the browser still grants; null where it does not tell. [B] */
  readonly left: number | null;
  /** Whether it has promised to keep what is here. */
  readonly lasting: boolean;
}
/** Below this it is told (common practice, no source). [B] */
export const LOW = 2 ** 30;
/** Below this no photo is taken (common practice, no source). [B] */
export const FULL = 200 * 2 ** 20;

export const spaceOf = async (storage: StorageManager | undefined): Promise<Space> => {
  const told = await storage?.estimate?.().catch(() => null);
  const left = told?.quota === undefined || told.usage === undefined ? null : told.quota - told.usage;
  const lasting = ((await storage?.persisted?.().catch(() => false)) ?? false) || ((await storage?.persist?.().catch(() => false)) ?? false);
  return { left, lasting };
};

/** What is to be said of it: nothing, little room, or almost none. */
export const roomOf = ({ left }: Space): "" | "roomLow" | "roomFull" =>
  left === null || left >= LOW ? "" : left < FULL ? "roomFull" : "roomLow";
