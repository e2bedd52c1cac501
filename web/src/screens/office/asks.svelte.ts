/** Asks the office machine for a part of its screen, and keeps why it could not. */
import { asked } from "../asked";
import { desk } from "../desk.svelte";
import { whyOf } from "../refused";

export class Part<T> {
  told = $state.raw<T | null>(null);
  why = $state("");
  busy = $state(false);
  private readonly path: string;

  constructor(path: string) {
    this.path = path;
  }

  read = (): Promise<boolean> => this.during(async () => {
    this.told = await asked<T>(this.path);
  });

  /** Does something that takes a while; what goes wrong is told in the office's own words. */
  during = async (what: () => Promise<unknown>): Promise<boolean> => {
    this.busy = true;
    this.why = "";
    try {
      await what();
      return true;
    } catch (error) {
      this.why = (error as { status?: number }).status === 0 ? desk.t("officeNeeded") : whyOf(error);
      return false;
    } finally {
      this.busy = false;
    }
  };
}

export const sent = <T>(path: string, body: unknown, method = "POST"): Promise<T> => asked<T>(path, JSON.stringify(body), method);
