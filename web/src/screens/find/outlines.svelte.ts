/**
 * Outlines of the voids as the office machine draws them, without figures.  Asked for again when
 * something was written; where the office cannot be reached, those of before stay.
 */
import type { Shapes } from "../../made/office";
import { desk } from "../desk.svelte";

const PAUSE = 400;

class Outlines {
  shapes = $state.raw<Shapes | null>(null);
  /** How many came with the last change. */
  fresh = $state(0);
  private job = "";
  private of = "";
  private clock: ReturnType<typeof setTimeout> | undefined;

  /** Watches the job; call it within an effect. */
  watch = (): void => {
    const [job, events, held] = [desk.job.id, desk.held.events.length, desk.office.held];
    if (job !== this.job) [this.job, this.shapes, this.fresh, this.of] = [job, null, 0, ""];
    if (!job || held < events) return;
    const key = `${job} ${events}`;
    if (key === this.of) return;
    clearTimeout(this.clock);
    this.clock = setTimeout(() => void this.ask(job, key), PAUSE);
  };

  private ask = async (job: string, key: string): Promise<void> => {
    try {
      const told = await fetch(`/api/jobs/${job}/outlines`, { signal: AbortSignal.timeout(20_000) });
      if (desk.job.id !== job) return;
      this.of = key;
      if (!told.ok) return;
      const shapes = (await told.json()) as Shapes;
      const before = new Set(this.shapes?.voids.map((one) => one.id) ?? []);
      this.fresh = shapes.voids.filter((one) => !before.has(one.id)).length;
      this.shapes = shapes;
    } catch {
      // Without the office there are no outlines; the plan says "not calculated" all the same.
    }
  };
}

export const outlines = new Outlines();
