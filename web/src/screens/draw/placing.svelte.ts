/** Finds, entry points and kept things that lie nowhere, put where they belong by a tap each. */
import { targets } from "../../drawing/places";
import { loose } from "../../drawing/unplaced";
import type { Point } from "../../geometry/frame";
import { asTyped } from "../../geometry/quantity";
import type { Place } from "../../made/job";
import { desk } from "../desk.svelte";
import { longName } from "../plan/where";

class Placing {
  id = $state("");
  all = $derived(loose(desk.entities, desk.job.units));

  put = async (at: Point, reach: number): Promise<void> => {
    const entity = desk.job.entities[this.id] as { kind?: string; place?: Place } | undefined;
    const found = targets(desk.scene, desk.storey, at, reach)[0];
    if (!entity) return void (this.id = "");
    if (!found) return desk.say(desk.t("placeHint"));
    const { height, extent, radius } = entity.place ?? {};
    const kept = Object.fromEntries(Object.entries({ height, extent, radius }).filter(([, value]) => value !== undefined && value !== null));
    // A way in lies at its own point, never in something else.
    const spot = entity.kind === "entry_point" ? { storey: desk.storey, at: [asTyped(found.at[0]), asTyped(found.at[1])], part: entity.place?.part ?? "wall" } : found.place;
    const id = this.id;
    if (!(await desk.fields(id, { place: { ...kept, ...spot } }, desk.t("placeIt")))) return;
    this.id = "";
    desk.say(desk.t("placed", { where: longName(found) }), [], () => { desk.hush(); void desk.undo(); });
  };
}

export const placing = new Placing();
