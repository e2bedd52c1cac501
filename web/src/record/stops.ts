/** Hold points of the work with their numbers, and what still waits for which. */

export interface HoldLike {
  readonly key: string;
  readonly standing: string;
}
export interface StopLike<Hold extends HoldLike> {
  readonly hold: Hold;
  readonly waits: readonly string[];
  readonly rooms: readonly string[];
  /** Who settled it on what evidence; empty: it stands. */
  readonly settled: string;
}

/** The first always stands, whether the office told of it or not; cautions hold nothing and are left out. */
export const stopsFor = <Hold extends HoldLike>(
  first: Hold, holds: readonly Hold[], released: ReadonlyMap<string, string>,
): StopLike<Hold>[] =>
  [first, ...holds.filter((one) => one.standing !== "care" && one.key !== first.key)]
    .map((hold) => ({ hold, waits: [], rooms: [], settled: released.get(hold.key) ?? "" }));

export const openOf = <One extends { readonly settled: string }>(stops: readonly One[]): One[] => stops.filter((one) => !one.settled);

/** Those of some holds that nobody settled, with their numbers as the list of stops shows them. */
export const waitingFor = <Hold extends HoldLike>(
  stops: readonly StopLike<Hold>[], keys: readonly string[],
): { readonly n: number; readonly hold: Hold }[] =>
  stops.flatMap((one, index) => (!one.settled && keys.includes(one.hold.key) ? [{ n: index + 1, hold: one.hold }] : []));
