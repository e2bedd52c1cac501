/** What was logged last: a photo or a note that is taken now belongs to it. */
import type { Entities } from "../../drawing/scene";
import { ofKind } from "../../drawing/scene";

export interface LastLook {
  readonly id: string;
  /** Kind and amount. */
  readonly words: readonly string[];
  readonly note: string;
}

/** The newest inspection that found or told something; by time, then by the order of the job. */
export const lastLook = (entities: object): LastLook | null => {
  const looks = ofKind(entities as Entities, "inspection").filter(([, one]) => one.finds?.length && one.at);
  const newest = looks.reduce<(typeof looks)[number] | null>(
    (best, one) => (best && Date.parse(best[1].at!) > Date.parse(one[1].at!) ? best : one), null,
  );
  if (!newest) return null;
  const find = newest[1].finds![0]!;
  return { id: newest[0], words: [find.kind, find.amount ?? ""].filter(Boolean), note: newest[1].note ?? "" };
};
