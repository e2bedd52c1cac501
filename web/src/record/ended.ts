/** Whether a job is open, closed or called back: what is dated last counts. */
import type { Fields } from "./event";

export type State = "open" | "closed" | "called back";
export interface Standing {
  readonly state: State;
  readonly closed: readonly Fields[];
  readonly callbacks: readonly Fields[];
}

export const standing = (entities: Readonly<Record<string, Fields>>): Standing => {
  const of = (kind: string): Fields[] =>
    Object.values(entities).filter((one) => one["kind"] === kind).sort((a, b) => (String(a["at"]) < String(b["at"]) ? -1 : 1));
  const closed = of("closed");
  const first = String(closed[0]?.["at"] ?? "").slice(0, 10);
  const callbacks = closed.length ? of("callback").filter((one) => String(one["at"]).slice(0, 10) >= first) : [];
  if (!closed.length) return { state: "open", closed, callbacks };
  const again = callbacks.length > 0 && String(callbacks.at(-1)!["at"]) >= String(closed.at(-1)!["at"]);
  return { state: again ? "called back" : "closed", closed, callbacks };
};
