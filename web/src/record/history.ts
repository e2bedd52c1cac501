/** What was said of an entity before: nothing in the record is ever written over. */
import { instant, type Event, type Fields, type Json } from "./event";
import { erasedBy, told } from "./fold";

/** An entity as one change left it. */
export interface Step {
  readonly at: string;
  readonly device: string;
  readonly fields: Fields;
}

/** An entity after each change of it, the first one first; a change that wrote several fields is one step. */
export const stepsOf = (events: readonly Event[], entity: string): Step[] => {
  const mine = events
    .filter((one) => one.entity === entity)
    .sort((a, b) => instant(a.at) - instant(b.at) || (a.device < b.device ? -1 : a.device > b.device ? 1 : a.seq - b.seq));
  const steps: Step[] = [];
  const gone = new Set(erasedBy(events));
  let fields: Record<string, Json> = {};
  for (const one of mine) {
    const value = told(one, gone);
    if (one.kind === "add") fields = { ...(value as Record<string, Json>) };
    else if (one.kind === "set" && one.field) fields = { ...fields, [one.field]: value };
    else if (one.field) {
      const { [one.field]: _, ...rest } = fields;
      fields = rest;
    } else continue;
    const last = steps.at(-1);
    const same = last && last.at === one.at && last.device === one.device;
    if (same) steps.pop();
    steps.push({ at: one.at, device: one.device, fields });
  }
  return steps;
};
