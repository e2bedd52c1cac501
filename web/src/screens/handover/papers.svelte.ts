/**
 * The papers of a job: asked for, made by the office machine, kept here once read.
 *
 * What is asked for stays on this device until the office has made it: without signal it waits, and
 * is asked again by itself.  A paper is named by the SHA-256 of its PDF, so a signature and a link
 * mean the same one.
 */
import kinds from "../../made/papers.json";
import type { PaperAbout, PaperList, WalkState } from "../../made/office";
import { ofKind } from "../../drawing/scene";
import { keepPages, letPagesGo, newestOf, pagesHere, pagesOf } from "../../record/pages";
import { timeOf } from "../../record/store";
import { asked, OfficeError, reasonOf } from "../asked";
import { desk } from "../desk.svelte";
import { whyOf } from "../refused";
import type { Language } from "../words/words";

export interface Request {
  readonly kind: string;
  readonly language: Language;
  readonly at: string;
  /** What the office said against it; it is not asked again by itself then. */
  readonly why?: string;
}
export interface Paper extends PaperAbout {
  /** How many entries the job had, as this device knows; none where another device had it made. */
  readonly entries?: number;
}
/** How often what was asked for is asked again (judgement). [ms] */
const OFTEN = 15_000;

class Papers {
  asked = $state.raw<readonly Request[]>([]);
  made = $state.raw<readonly Paper[]>([]);
  /** Those whose pages are on this device. */
  here = $state.raw<ReadonlySet<string>>(new Set());
  /** The paper that is read. */
  open = $state.raw<Paper | null>(null);
  pages = $state.raw<readonly string[]>([]);
  why = $state("");
  /** How far the one that is being made is, 0 to 100; null where none is. */
  share = $state<number | null>(null);
  language = $state<Language>("en");
  private of = "";
  private running = false;
  /** Whether it was to run once more while it ran: the line may have come back meanwhile. */
  private onceMore = false;
  /** What is asked for, written or about to be: what is shown is only what is written. */
  private wanted: readonly Request[] = [];

  /** Every kind with what it still lacks, by the office's last answer; before one, what each needs. */
  kinds = $derived.by(() => {
    const told = desk.office.figures?.answer.papers;
    return kinds.map((one) => {
      const mine = told?.find((other) => other.kind === one.kind);
      const lacks = mine ? mine.lacks[desk.language] ?? "" : one.lacks[desk.language];
      return { kind: one.kind, title: one.title[desk.language], can: Boolean(mine && !lacks), lacks };
    });
  });
  calculated = $derived(Boolean(desk.office.figures?.answer.papers));
  /** Entries that say something of the house; a signature says something of a paper. */
  entries = $derived(desk.held.events.filter((one) => !one.entity.startsWith("signature")).length);

  titleOf = (kind: string): string => this.kinds.find((one) => one.kind === kind)?.title ?? kind;
  /** The newest of each kind and language, the newest first. */
  newest = $derived(newestOf(this.made));
  changed = (one: Paper): boolean => (one.entries === undefined ? one.changed : one.entries !== this.entries);
  signatures = (kind: string) =>
    ofKind(desk.entities, "signature").map(([, one]) => one).filter((one) => one.paper === kind).sort((a, b) => ((a.at ?? "") < (b.at ?? "") ? -1 : 1));

  start = async (): Promise<void> => {
    const job = desk.job.id;
    this.of = job;
    [this.asked, this.wanted, this.made, this.open, this.pages, this.share, this.language] = [[], [], [], null, [], null, desk.language];
    const [waits, made] = await Promise.all([
      desk.store?.get("settings", `papers/asked/${job}`), desk.store?.get("settings", `papers/made/${job}`),
    ]);
    if (this.of !== job) return;
    this.asked = this.wanted = (waits as Request[] | undefined) ?? [];
    this.made = (made as Paper[] | undefined) ?? [];
    await this.tidy();
  };
  private tidy = async (): Promise<void> => {
    if (!desk.store) return;
    await letPagesGo(desk.store);
    this.here = await pagesHere(desk.store);
  };
  /** Asks for what waits, now and again, until it is told to stop. */
  follow = (): (() => void) => {
    const again = (): void => {
      if (!document.hidden) void this.run();
    };
    const often = setInterval(again, OFTEN);
    addEventListener("online", again);
    again();
    return () => {
      clearInterval(often);
      removeEventListener("online", again);
    };
  };

  /** Asks for a paper in the language that is chosen; asked twice it is asked once. */
  ask = async (...wanted: readonly string[]): Promise<void> => {
    const { language } = this;
    const new_ = wanted.map((kind): Request => ({ kind, language, at: timeOf(new Date()) }));
    const rest = this.wanted.filter((one) => one.language !== language || !wanted.includes(one.kind));
    await this.keepAsked([...rest, ...new_]);
    await this.run();
  };
  drop = (one: Request): Promise<void> => this.keepAsked(this.wanted.filter((other) => other !== one));
  /** Everything that can be made and is not there as the job stands. */
  askAll = async (): Promise<void> => {
    if (!this.calculated || desk.office.figures?.events !== desk.held.events.length) await desk.office.calculate(desk.held.events);
    const there = new Set(this.made.filter((one) => one.language === this.language && !this.changed(one)).map((one) => one.kind));
    await this.ask(...this.kinds.filter((one) => one.can && !there.has(one.kind)).map((one) => one.kind));
  };

  private keepAsked = async (next: readonly Request[]): Promise<void> => {
    const job = this.of;
    this.wanted = next;
    await desk.store?.put("settings", [...next], `papers/asked/${job}`);
    if (job === this.of) this.asked = next;
  };
  private keepMade = async (next: readonly Paper[]): Promise<void> => {
    const job = this.of;
    this.made = next;
    await desk.store?.put("settings", [...next], `papers/made/${job}`);
  };

  /** Has made what waits, one after the other; what the office cannot be reached for stays asked. */
  run = async (): Promise<void> => {
    this.onceMore = this.running;
    if (this.running) return;
    this.running = true;
    const job = this.of;
    try {
      for (let next = this.next(); next && job === this.of; next = this.next()) await this.one(job, next);
    } catch (error) {
      if (!(error instanceof OfficeError) || error.status !== 0) this.why = whyOf(error);
    } finally {
      this.running = false;
      this.share = null;
    }
    if (this.onceMore) await this.run();
  };
  private next = (): Request | undefined => this.asked.find((one) => !one.why);

  private one = async (job: string, wanted: Request): Promise<void> => {
    const { entries } = this;
    try {
      await desk.office.send(desk.held.events);
      const path = `/api/jobs/${job}`;
      const begun = await asked<WalkState>(`${path}/papers`, JSON.stringify({ kind: wanted.kind, language: wanted.language }));
      const ended = await this.ended(path, begun);
      if (ended.state !== "done") throw new OfficeError(409, "", ended.faults?.map((one) => one.what).join("; ") || ended.reason || ended.state);
      const about = await asked<PaperAbout>(`${path}/walks/${begun.id}/answer`);
      if (job !== this.of) return;
      await this.keepMade([{ ...about, entries }, ...this.made.filter((one) => one.digest !== about.digest)]);
      await this.keepAsked(this.wanted.filter((one) => one.kind !== wanted.kind || one.language !== wanted.language));
      const pages = await this.fetched(job, about.digest);
      if (pages && job === this.of) this.tell(this.made[0]!);
    } catch (error) {
      if (error instanceof OfficeError && error.status === 0) throw error;
      const why = reasonOf(error);
      if (job === this.of) await this.keepAsked(this.wanted.map((one) => (one.kind === wanted.kind && one.language === wanted.language ? { ...one, why } : one)));
    }
  };
  private ended = async (path: string, begun: WalkState): Promise<WalkState> => {
    let walk = begun;
    while (walk.state === "waiting" || walk.state === "running") {
      this.share = Math.round(100 * walk.share);
      await new Promise((done) => setTimeout(done, 300));
      try {
        walk = await asked(`${path}/walks/${walk.id}`);
      } catch (error) {
        // An office machine that was started anew knows nothing of it: it is asked for again.
        throw error instanceof OfficeError && error.status === 404 ? new OfficeError(0, "not-reached", reasonOf(error)) : error;
      }
    }
    return walk;
  };
  private tell = (one: Paper): void => {
    if (this.open?.kind === one.kind) void this.read(one);
    else desk.say(desk.t("paperMade", { what: this.titleOf(one.kind) }), [{ words: desk.t("readIt"), run: () => { desk.hush(); void this.read(one); } }]);
  };

  /** What was made elsewhere, and whether the job has changed since, as the office knows it. */
  refresh = async (): Promise<void> => {
    const job = this.of;
    try {
      const told = await asked<PaperList>(`/api/jobs/${job}/papers`);
      if (job !== this.of) return;
      const mine = new Map(this.made.map((one) => [one.digest, one]));
      await this.keepMade(told.papers.map((one) => ({ ...mine.get(one.digest), ...one })));
    } catch {
      // What this device holds stays.
    }
  };

  private fetched = async (job: string, digest: string): Promise<readonly string[]> => {
    const kept = desk.store && (await pagesOf(desk.store, digest));
    if (kept) return kept;
    const pages = await asked<string[]>(`/api/jobs/${job}/papers/${digest}/pages`);
    if (desk.store) await keepPages(desk.store, digest, pages);
    // The one that it takes the place of goes only now.
    await this.tidy();
    return pages;
  };
  /** Opens a paper; its pages are kept from then on. */
  read = async (one: Paper): Promise<void> => {
    [this.open, this.pages, this.why] = [one, [], ""];
    desk.tray = "paper";
    try {
      const pages = await this.fetched(this.of, one.digest);
      if (this.open === one) this.pages = pages;
    } catch (error) {
      this.why = whyOf(error);
    }
  };
  shut = (): void => {
    this.open = null;
    desk.tray = desk.step;
  };

  /** Signs the paper that is open, and has it made again with the signature on it. */
  sign = async (by: string, role: string, signature: string): Promise<boolean> => {
    const one = this.open;
    if (!one) return false;
    const entity = {
      kind: "signature", paper: one.kind, digest: one.digest, version: one.version, by, at: timeOf(new Date()),
      ...(role ? { role } : {}), ...(signature ? { signature } : {}),
    };
    const good = await desk.add("signature", entity, desk.t("signedPaper", { what: this.titleOf(one.kind) }));
    if (good) {
      this.language = one.language as Language;
      void this.ask(one.kind);
    }
    return good;
  };
}

export const papers = new Papers();
