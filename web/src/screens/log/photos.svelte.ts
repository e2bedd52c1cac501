/**
 * Photos of finds: straight from the camera, kept as they came, and what of them waits for the office.
 */
import { BlobError, kept } from "../../record/blobs";
import { photosAt } from "../../record/finds";
import { deliverAll, slipsOf, take, type Slip } from "../../record/outbox";
import { newId, timeOf } from "../../record/store";
import { desk } from "../desk.svelte";
import { whyOf } from "../refused";
import { FULL, LOW, spaceOf } from "../jobs/space";

/** From so many that wait it is told (judgement). */
const MANY = 200;
/** How often what waits is tried again (judgement). [ms] */
const OFTEN = 15_000;

interface Look {
  readonly kind: string;
  readonly finds?: readonly unknown[];
  readonly grade?: string;
}

class Photos {
  /** Those of the open job. */
  slips = $state.raw<readonly Slip[]>([]);
  sending = $state(false);
  /** The job whose photos on this device have been read; until then nobody knows what waits. */
  known = $state("");
  private of = "";
  private due = false;
  /** How many of other jobs on this device wait. */
  others = $state(0);
  waiting = $derived(this.slips.filter((one) => !one.held));
  refused = $derived(this.waiting.filter((one) => one.refused).length);
  lastHeld = $derived(this.slips.map((one) => one.held).sort().at(-1) ?? "");

  /** Reads what waits of the open job, and says so where a camera was open when the page ended. */
  start = async (): Promise<void> => {
    const job = desk.job.id;
    this.of = job;
    this.slips = [];
    await this.read();
    const key = `camera/${job}`;
    const open = (await desk.store?.get("settings", key)) as { look: string } | undefined;
    if (!open || this.of !== job) return;
    await desk.store?.delete("settings", key);
    if (!desk.entities[open.look]) return;
    desk.say(desk.t("photoLost"), [{ words: desk.t("photo"), run: () => void this.camera(open.look) }]);
  };

  /** Tries what waits, now and again, until it is told to stop. */
  follow = (): (() => void) => {
    const again = (): void => {
      if (!document.hidden) void this.send();
    };
    const often = setInterval(again, OFTEN);
    addEventListener("online", again);
    again();
    return () => {
      clearInterval(often);
      removeEventListener("online", again);
    };
  };

  private read = async (): Promise<void> => {
    const { store } = desk;
    const of = this.of;
    const all = store ? await slipsOf(store) : [];
    if (of !== this.of) return;
    this.slips = all.filter((one) => one.job === of);
    this.others = all.filter((one) => one.job !== of && !one.held).length;
    this.known = of;
  };

  /** Opens the camera for what was logged; the draft of it is on the disk before. */
  camera = async (look: string): Promise<void> => {
    const { store } = desk;
    if (!store) return desk.say(desk.t("storeGone", { why: "" }));
    const { left } = await spaceOf(navigator.storage);
    if (left !== null && left < FULL) return desk.say(desk.t("photoNoRoom", { n: Math.floor(left / 2 ** 20) }));
    const key = `camera/${desk.job.id}`;
    try {
      const writing = store.transaction("settings", "readwrite", { durability: "strict" });
      void writing.store.put({ look }, key);
      await writing.done;
    } catch (error) {
      return desk.say(desk.t("storeFull", { why: whyOf(error) }));
    }
    const input = document.createElement("input");
    Object.assign(input, { type: "file", accept: "image/*" });
    input.setAttribute("capture", "environment");
    const done = (): void => void store.delete("settings", key);
    input.oncancel = done;
    input.onchange = () => {
      const file = input.files?.[0];
      void (file ? this.add(look, file) : Promise.resolve()).finally(done);
    };
    input.click();
  };

  /** Keeps a photo and gives it to what was logged; says that it is kept after it was read back. */
  add = async (look: string, file: File): Promise<void> => {
    const again = { words: desk.t("photoAgain"), run: () => void this.camera(look) };
    try {
      const bytes = await file.arrayBuffer();
      if (!(await isPicture(file))) return desk.say(desk.t("photoBad"), [again]);
      const slip = await take(desk.store!, desk.job.id, bytes, file.type);
      await this.read();
      const before = desk.job.entities[look] as unknown as Look | undefined;
      const id = newId("photo");
      if (!(await this.give(look, id, slip.hash))) return;
      navigator.vibrate?.(20);
      const more = { words: desk.t("photoMore"), run: () => void this.camera(look) };
      desk.say(await this.told(), [more], () => void this.takeBack(look, before!, id));
      void this.send();
    } catch (error) {
      const key = error instanceof BlobError ? "photoBad" : "photoNotKept";
      desk.say(desk.t(key, { why: whyOf(error) }), [again]);
    }
  };

  /** A sign that was seen is a photographed one now; what somebody told stays told. */
  private give = (of: string, id: string, photo: string): Promise<boolean> => {
    const look = desk.job.entities[of] as unknown as Look | undefined;
    if (!look?.finds?.length) {
      desk.say(desk.t("photoNoFind"));
      return Promise.resolve(false);
    }
    const added = { kind: "photo", of, photo, at: timeOf(new Date()) };
    const graded = look.grade === "told" ? {} : { [of]: { ...desk.job.entities[of], grade: "photographed" } };
    return desk.set({ [id]: added, ...graded }, desk.t("photo"));
  };

  /** Takes a photo off what was logged; its bytes stay and are sent, for nothing is ever taken out. */
  private takeBack = async (of: string, before: Look, id: string): Promise<void> => {
    desk.hush();
    const { [id]: _, ...left } = desk.job.entities;
    const { grade: __, ...look } = left[of] ?? {};
    const ungraded = left[of] && !photosAt(left, of).length ? { [of]: { ...look, ...(before.grade ? { grade: before.grade } : {}) } } : {};
    if (!(await desk.set({ [id]: null, ...ungraded } as never, desk.t("undo")))) return;
    desk.say(desk.t("takenBack", { what: desk.t("photo") }));
  };

  private told = async (): Promise<string> => {
    const { left } = await spaceOf(navigator.storage);
    const n = this.waiting.length;
    if (left !== null && left < LOW) return `${desk.t("photoKept")} ${desk.t("roomLow", { n: Math.floor(left / 2 ** 20) })}`;
    return n >= MANY ? `${desk.t("photoKept")} ${desk.t("photoMany", { n })}` : desk.t("photoKept");
  };

  /** Sends what waits of every job, the open one's first; what the office refused only when asked by hand. */
  send = async (all = false): Promise<void> => {
    const { store } = desk;
    // One that was taken while others go is not left until the next round.
    this.due = true;
    if (this.sending || !store) return;
    this.sending = true;
    try {
      while (this.due) {
        this.due = false;
        await this.read();
        await deliverAll(store, this.of, all, (after) => {
          this.slips = this.slips.map((one) => (one.hash === after.hash && one.job === after.job ? after : one));
        });
        await this.read();
      }
    } finally {
      this.sending = false;
    }
  };

  /** The address of a photo for the screen: this device's copy, else the office's small one. */
  address = async (hash: string): Promise<string> => {
    const found = desk.store && (await kept(desk.store, hash).catch(() => undefined));
    if (found) return URL.createObjectURL(new Blob([found.bytes], { type: found.type }));
    return `/api/jobs/${encodeURIComponent(desk.job.id)}/photos/${hash}/small?edge=160`;
  };
}

/** Whether the browser can show it. */
const isPicture = async (file: Blob): Promise<boolean> => {
  try {
    (await createImageBitmap(file)).close();
    return true;
  } catch {
    return false;
  }
};
export const photos = new Photos();
