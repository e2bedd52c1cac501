/**
 * A newer version waits until somebody asks for it: nothing is loaded anew under a hand that draws
 * or logs.
 */
class Update {
  /** The newer version that is ready. */
  waiting = $state.raw<ServiceWorker | null>(null);
  private asked = false;

  /** Keeps the app on this device, and looks for a newer one. */
  start = async (): Promise<void> => {
    const workers = navigator.serviceWorker;
    const kept = await workers.register("./worker.js");
    const ready = (one: ServiceWorker | null): void => {
      // The first one to be kept replaces nothing.
      if (one && workers.controller) this.waiting = one;
    };
    ready(kept.waiting);
    kept.addEventListener("updatefound", () => {
      const coming = kept.installing;
      coming?.addEventListener("statechange", () => {
        if (coming.state === "installed") ready(coming);
      });
    });
    document.addEventListener("visibilitychange", () => {
      if (!document.hidden) void kept.update().catch(() => undefined);
    });
    workers.addEventListener("controllerchange", () => {
      if (this.asked) location.reload();
    });
  };

  /** Goes over to it; only this window is loaded anew. */
  use = (): void => {
    this.asked = true;
    this.waiting?.postMessage("use");
  };
}

export const update = new Update();
