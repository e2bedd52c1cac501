/** What is ticked off on this device: points of the work and the list of the van. */
import { desk } from "../desk.svelte";

class Ticks {
  private of = $state("");
  done = $state.raw<readonly string[]>([]);
  load = async (): Promise<void> => {
    const job = desk.job.id;
    this.done = ((await desk.store?.get("settings", `ticks/${job}`)) as string[] | undefined) ?? [];
    this.of = job;
  };
  has = (what: string): boolean => this.done.includes(what);
  turn = (what: string): void => {
    this.done = this.has(what) ? this.done.filter((one) => one !== what) : [...this.done, what];
    if (this.of === desk.job.id) void desk.store?.put("settings", [...this.done], `ticks/${this.of}`);
  };
}
export const ticks = new Ticks();
/** Shows the first point that is not ticked. */
export const nextPoint = (): void => {
  desk.tray = "work";
  const at = document.querySelector<HTMLElement>(".points [aria-pressed=false]") ?? document.querySelector<HTMLElement>(".points button");
  at?.scrollIntoView({ block: "center" });
  at?.focus();
};
