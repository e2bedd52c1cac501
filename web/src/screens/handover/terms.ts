/** What closing a job writes of the terms: the firm's warranty, and the owner's word that it may be learnt from. */
import type { Fields } from "../../record/event";
import type { ClosingTerms } from "../../made/job";

export type Standing = readonly (readonly [id: string, one: ClosingTerms])[];
export interface Said {
  readonly warranty: string;
  readonly until: string;
  readonly mayLearn: boolean;
}

/** Whether the owner lets the firm learn from the job: where nobody said so, no. */
export const mayLearn = (terms: Standing): boolean => terms.some(([, one]) => one.may_learn === true);

/** The entities to write; none where nothing was said that does not stand already.  A word taken back is taken back wherever it stands. */
export const termsOf = (terms: Standing, said: Said, at: string, by: string, id: string): Record<string, Fields> => {
  const warranty = said.warranty.trim();
  const learns = said.mayLearn && !mayLearn(terms);
  const made = { ...(warranty ? { warranty } : {}), ...(said.until ? { warranty_until: said.until } : {}), ...(learns ? { may_learn: true } : {}) };
  const back = said.mayLearn ? [] : terms.filter(([, one]) => one.may_learn).map(([old, one]) => [old, { ...one, may_learn: false } as unknown as Fields] as const);
  return {
    ...Object.fromEntries(back),
    ...(Object.keys(made).length ? { [id]: { kind: "closing_terms", at, ...(by.trim() ? { by: by.trim() } : {}), ...made } } : {}),
  };
};
