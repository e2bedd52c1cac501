/**
 * A clock that is not believed blindly: while the page lives, the device's clock is held against the
 * monotonic one, and a jump is counted and told.  What ran is timed on by the steady one.
 */

/** From so much on a jump is told (judgement). [ms] */
export const JUMP = 120_000;

export interface Tick {
  readonly wall: number;
  readonly steady: number;
}
/** What happened between two ticks: the clock was set, or the page slept while time went on. */
export type Told = { readonly what: "jump" | "slept"; readonly by: number } | null;

/**
 * Compares two ticks.  A clock that is behind the steady one was set back, whatever else happened; one that is ahead
 * was set forward if the page was seen all the time, else nobody can tell that from a device that slept.
 */
export const compared = (before: Tick, now: Tick, seen: boolean): Told => {
  const by = now.wall - before.wall - (now.steady - before.steady);
  if (Math.abs(by) < JUMP) return null;
  return { what: by < 0 || seen ? "jump" : "slept", by };
};

/** A page that came up anew knows only when it was last looked at: a clock before that was set back. */
export const wentBack = (lastSeen: number, now: number): number => (now < lastSeen - JUMP ? now - lastSeen : 0);
