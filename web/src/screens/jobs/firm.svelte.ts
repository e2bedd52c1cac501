/**
 * The firm: whether its office machine is there, who this device is to it, the jobs that it has, and
 * the keeping in step with it.  Nothing here is waited for: without the office all goes on.
 */
import type { DeviceAbout, JobAbout, JobList, JobPeople, Me } from "../../made/office";
import { adopt, deviceOf } from "../../record/store";
import { asked, OfficeError, whenShut } from "../asked";
import { whyOf } from "../refused";
import { desk } from "../desk.svelte";
import { photos } from "../log/photos.svelte";
import { Office } from "../office.svelte";
import { pull } from "./pull";

/** How often the office is asked what is new while the screen is looked at (judgement). [ms] */
const OFTEN = 15_000;

class Firm {
  /** away: it was there and is not reached now; none: nothing at this address is an office machine. */
  state = $state<"asking" | "away" | "none" | "alone" | "login" | "in">("asking");
  me = $state.raw<Me | null>(null);
  /** This device was let in before and is not any more. */
  ended = $state(false);
  why = $state("");
  jobs = $state.raw<readonly JobAbout[]>([]);
  people = $state.raw<JobPeople>({ accounts: [], devices: [] });
  /** Counts up whenever something of the list of jobs changed. */
  news = $state(0);
  device = $state("");
  private running: Promise<void> | null = null;
  private told = false;

  start = (): (() => void) => {
    whenShut(this.shutOut);
    const now = (): void => void this.sync();
    const seen = (): void => {
      if (!document.hidden) now();
    };
    const often = setInterval(() => {
      if (!document.hidden && this.state !== "none" && this.state !== "login") now();
    }, OFTEN);
    addEventListener("online", now);
    document.addEventListener("visibilitychange", seen);
    return () => {
      clearInterval(often);
      removeEventListener("online", now);
      document.removeEventListener("visibilitychange", seen);
    };
  };

  /** Whether the office takes this device's word now. */
  get reached(): boolean {
    return this.state === "in" || this.state === "alone";
  }

  /** Asks who this device is, unless that is known and good. */
  ask = async (): Promise<void> => {
    try {
      this.me = await asked<Me>("/api/me");
    } catch (error) {
      this.state = error instanceof OfficeError && error.status === 0 ? "away" : "none";
      return;
    }
    const kept = (await desk.store?.get("settings", "firm")) as Me | undefined;
    if (this.me.role === "nobody") {
      this.ended = kept !== undefined;
      this.state = "login";
    } else {
      this.state = this.me.role === "alone" ? "alone" : "in";
      this.ended = false;
      this.told = false;
    }
  };

  /** Brings both sides to the same; who calls while it runs gets what runs. */
  sync = (): Promise<void> => {
    this.running ??= this.bring()
      .catch((error: unknown) => {
        if (error instanceof OfficeError && error.status === 0) this.state = "away";
        else this.why = whyOf(error);
      })
      .finally(() => {
        this.running = null;
      });
    return this.running;
  };

  private bring = async (): Promise<void> => {
    if (!this.reached) await this.ask();
    if (!this.reached || !desk.store) return;
    this.why = "";
    if (desk.job.id) await this.bringJob(desk.job.id);
    else await this.bringAll();
  };

  private bringJob = async (id: string): Promise<void> => {
    try {
      await this.exchange(id);
    } finally {
      const people = await asked<JobPeople>(`/api/jobs/${encodeURIComponent(id)}/people`).catch(() => null);
      if (people) {
        this.people = people;
        await desk.store?.put("settings", people, `people/${id}`);
      }
    }
  };

  /** Sends the open job's entries, and shows what others wrote. */
  private exchange = async (id: string): Promise<void> => {
    const before = desk.job.conflicts.length;
    let told = await pull(desk.store!, id);
    if (told.restored) await desk.reread();
    await desk.office.send(desk.held.events);
    if (told.restored) told = { ...told, added: told.added + (await pull(desk.store!, id)).added };
    if (!told.added || desk.job.id !== id) return;
    await desk.reread();
    const more = desk.job.conflicts.length - before;
    // Words that offer to take something back are not talked over.
    if (desk.said) return;
    if (more > 0) desk.say(desk.t("twoValuesCame", { n: more }), [{ words: desk.t("see"), run: () => { desk.tray = "job"; desk.hush(); } }]);
    else desk.say(desk.t("entriesCame", { n: told.added }));
  };

  /** The list of jobs; what waits in any of them is sent, and those this person is on are fetched. */
  private bringAll = async (): Promise<void> => {
    const db = desk.store!;
    this.jobs = (await asked<JobList>("/api/jobs")).jobs;
    const here = new Set((await db.getAllKeys("jobs")) as string[]);
    for (const id of here) await this.sendAll(id);
    await photos.send();
    for (const { id, mine } of this.jobs) {
      if (here.has(id) || mine) await this.unlessRefused(() => pull(db, id).then(() => this.named(id)));
    }
    await desk.relist();
    this.news += 1;
  };

  private sendAll = async (id: string): Promise<void> => {
    const db = desk.store!;
    const [all, held] = [await db.countFromIndex("events", "job", id), await db.countFromIndex("receipts", "job", id)];
    if (all <= held) return;
    const office = new Office();
    await office.start(db, id);
    const events = await db.getAllFromIndex("events", "job", id);
    await this.unlessRefused(() => office.send(events));
  };

  /** What is refused for one job is told and holds up no other. */
  private unlessRefused = async (what: () => Promise<unknown>): Promise<void> => {
    try {
      await what();
    } catch (error) {
      if (!(error instanceof OfficeError) || error.status === 0) throw error;
      this.why = whyOf(error);
    }
  };

  /** Fetches a job that only the office has, and opens it. */
  fetch = async (id: string): Promise<void> => {
    try {
      await pull(desk.store!, id);
      await this.named(id);
      location.hash = `#/job/${id}`;
    } catch (error) {
      this.why = whyOf(error);
    }
  };

  private named = async (id: string): Promise<void> => {
    const people = await asked<JobPeople>(`/api/jobs/${encodeURIComponent(id)}/people`).catch(() => null);
    if (people) await desk.store?.put("settings", people, `people/${id}`);
  };

  /** Who may be named on the open job, as told last. */
  recall = async (): Promise<void> => {
    this.device = desk.store ? await deviceOf(desk.store) : "";
    const kept = (await desk.store?.get("settings", `people/${desk.job.id}`)) as JobPeople | undefined;
    this.people = kept ?? { accounts: [], devices: [] };
  };

  login = (name: string, password: string, called: string): Promise<boolean> =>
    this.entered(async () => {
      const me = await asked<Me>("/api/login", JSON.stringify({ name, password }));
      if (me.device || me.role === "alone") return me;
      const device = desk.store ? await deviceOf(desk.store) : "";
      const made = await asked<DeviceAbout>("/api/devices", JSON.stringify({ name: called, device: ownId(device) }));
      return { ...me, device: made.id };
    });

  join = (code: string, called: string): Promise<boolean> =>
    this.entered(async () => {
      const device = desk.store ? await deviceOf(desk.store) : "";
      const me = await asked<Me>("/api/join", JSON.stringify({ code, name: called, device: ownId(device) }));
      // The code is spent; it stands in the address no more.
      if (location.hash.startsWith("#/join/")) history.replaceState(null, "", "#/");
      return me;
    });

  private entered = async (how: () => Promise<Me>): Promise<boolean> => {
    this.why = "";
    try {
      const me = await how();
      if (me.device) await adopt(desk.store!, me.device);
      await desk.store?.put("settings", me, "firm");
      this.state = "asking";
      await this.sync();
      return this.reached;
    } catch (error) {
      this.why = whyOf(error);
      return false;
    }
  };

  /** Leaves the firm; what is here stays here. */
  leave = async (): Promise<void> => {
    try {
      if (this.me?.device) await asked(`/api/devices/${this.me.device}`, undefined, "DELETE");
      await asked("/api/logout", "{}");
      await desk.store?.delete("settings", "firm");
      await this.ask();
      this.jobs = [];
      this.news += 1;
    } catch (error) {
      this.why = whyOf(error);
    }
  };

  private shutOut = (): void => {
    this.state = "login";
    this.ended = true;
    if (this.told || !desk.job.id) return;
    this.told = true;
    desk.say(desk.t("shutOut"), [{ words: desk.t("logIn"), run: () => { location.hash = "#/"; desk.hush(); } }]);
  };

  /** What a device is called: by the firm's list, else by the end of its id. */
  called = (device: string): string => {
    if (device === this.device) return desk.t("thisDevice");
    const one = this.people.devices.find(({ id }) => id === device);
    if (!one) return desk.t("otherDevice", { id: device.slice(-4) });
    const who = this.people.accounts.find(({ id }) => id === one.account)?.name;
    return who ? `${who}, ${one.name}` : one.name;
  };
}

/** Only an id of our own making is asked for again. */
const ownId = (device: string): string => (/^device_[0-9a-z]{10}$/.test(device) ? device : "");
export const firm = new Firm();
