/** What the office tells of openings, and what the job says of each: signed, declined, settled. */
import { ofKind, type Entities } from "../../drawing/scene";
import type { OwnCutTold, Verdict } from "../../made/office";

export interface Hold {
  readonly key: string;
  readonly hazard: string;
  readonly standing: "find out" | "stop" | "care";
  readonly words: string;
  readonly first: string;
  readonly who: string;
  readonly evidence: string;
}
export interface OpeningTold {
  readonly id: string;
  readonly act: string;
  readonly words: string;
  readonly room: string;
  readonly charges: readonly { readonly kind: string; readonly of: string }[];
  readonly voids: readonly string[];
  readonly partly: readonly string[];
  readonly chance: number;
  readonly cost: number;
  readonly hours: number;
  readonly holds: readonly Hold[];
  readonly limits: readonly Readonly<Pick<Verdict, "words" | "needs" | "overridden">>[];
  readonly kept: readonly string[];
  /** Id of the cut of one's own that it is; answers from before lack it. */
  readonly given?: string;
}
export interface SetTold {
  readonly name: string;
  readonly openings: readonly string[];
  readonly cost: number;
  readonly missed: number;
  readonly error: number;
  readonly avoidable: number;
  readonly heavy: number;
  readonly number: number;
  readonly voids: number;
}
export interface ChoiceTold {
  readonly least: SetTold;
  readonly balanced: SetTold;
  readonly all_of_it: SetTold;
  readonly curve: readonly SetTold[];
  readonly openings: readonly OpeningTold[];
  readonly declined: readonly { readonly id: string; readonly words: string; readonly chance: number; readonly loss: number }[];
  readonly not_reached: readonly string[];
  readonly not_reached_chance: number;
  readonly soiled: number;
  readonly currency: string;
  readonly judged: readonly string[];
  readonly own_cuts?: readonly OwnCutTold[];
}
export type SetName = "least" | "balanced" | "all_of_it";
export const SETS: readonly SetName[] = ["least", "balanced", "all_of_it"];

/** Who signed for each opening, who declined it: a declined one counts as declined, whatever the dates. */
export const signedIn = (entities: Entities): { signed: Map<string, string>; declined: Map<string, string> } => {
  const signed = new Map<string, string>();
  const declined = new Map<string, string>();
  for (const [, one] of ofKind(entities, "authorisation")) for (const id of one.openings) signed.set(id, said(one.by, one.at));
  for (const [, one] of ofKind(entities, "declined")) {
    signed.delete(one.opening);
    declined.set(one.opening, [said(one.by, one.at), one.reason].filter(Boolean).join(": "));
  }
  for (const id of declined.keys()) signed.delete(id);
  return { signed, declined };
};
const said = (by: string, at: string | undefined): string => [by, at?.slice(0, 10)].filter(Boolean).join(", ");

/** Openings of one sort at one place: one line, one number on the plan. */
export interface Group {
  readonly key: string;
  readonly n: number;
  readonly all: readonly OpeningTold[];
}

/** Alike openings of one place together, as the command line tells them; the order stays. */
export const grouped = (
  openings: readonly OpeningTold[], standing: (id: string) => string,
): Group[] => {
  const groups = new Map<string, OpeningTold[]>();
  for (const one of openings) {
    const entered = one.charges.filter((charge) => charge.kind === "enter").map((charge) => charge.of);
    const key = [one.act, one.room, standing(one.id), ...entered, ...one.kept].join("|");
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  return [...groups].map(([key, all], n) => ({ key, n: n + 1, all }));
};

/** What is done, once: ``Clear between the open joists from below``. */
export const doing = (words: string): string => words.split(/[:,]/)[0]!;

/** Labels that follow each other are told as a span: ``F20 to F36``. */
export const spans = (labels: readonly string[], to: string): string => {
  const parts = labels.map((label) => /^(\D*)(\d+)$/.exec(label));
  const told: string[] = [];
  for (let n = 0; n < labels.length; ) {
    let last = n;
    while (parts[last] && parts[last + 1]?.[1] === parts[last]![1] && Number(parts[last + 1]![2]) === Number(parts[last]![2]) + 1) last += 1;
    told.push(...(last > n + 1 ? [`${labels[n]} ${to} ${labels[last]}`] : labels.slice(n, last + 1)));
    n = last + 1;
  }
  return told.join(", ");
};

export interface Stop {
  readonly hold: Hold;
  /** Openings that wait for it, and the rooms that they are made from. */
  readonly waits: readonly string[];
  readonly rooms: readonly string[];
  /** Who settled it on what evidence; empty: it stands. */
  readonly settled: string;
}

/** Hold points of some openings, each once: what stops first, then what is to be found out; cautions apart. */
export const stopsOf = (
  entities: Entities, openings: readonly OpeningTold[],
): { stops: Stop[]; cares: Hold[]; before: string[] } => {
  const released = new Map(ofKind(entities, "release").map(([, one]) => [one.hold, `${said(one.by, one.at)}: ${one.evidence}`]));
  const found = new Map<string, { hold: Hold; waits: string[]; rooms: string[] }>();
  for (const one of openings) {
    for (const hold of one.holds) {
      const there = found.get(hold.key) ?? { hold, waits: [], rooms: [] };
      there.waits.push(one.id);
      if (one.room && !there.rooms.includes(one.room)) there.rooms.push(one.room);
      found.set(hold.key, there);
    }
  }
  const all = [...found.values()];
  const rank = { stop: 0, "find out": 1, care: 2 } as const;
  return {
    stops: all
      .filter(({ hold }) => hold.standing !== "care")
      .sort((a, b) => rank[a.hold.standing] - rank[b.hold.standing] || b.waits.length - a.waits.length)
      .map((one) => ({ ...one, settled: released.get(one.hold.key) ?? "" })),
    // What was settled before these figures were made is no hold point of theirs any more.
    before: [...released].filter(([key]) => !found.has(key)).map(([key, text]) => `${key}: ${text}`),
    cares: all.filter(({ hold }) => hold.standing === "care").map(({ hold }) => hold),
  };
};

/** An amount: money where the rates name a currency, else hours. */
export const amount = (value: number, currency: string, hours: string): string =>
  currency ? `${Math.round(value).toLocaleString("en")} ${currency}` : `${value.toFixed(value < 10 ? 1 : 0)} ${hours}`;

/** Whole numbers in a hundred, never none and never all. */
export const inHundred = (chance: number): string => {
  const whole = Math.round(100 * chance);
  if (whole < 1) return "<1";
  return whole > 99 ? ">99" : String(whole);
};
