/**
 * A paper plan or a photo of one, laid under the drawing of a storey: brought in, straightened by
 * four taps, scaled by two taps and a length, moved by two taps.
 *
 * It is an entity of the job, and its bytes go to the office as a photo's do; the other phone fetches
 * them from there.  Whether it is shown is this device's own.  Nothing is calculated from it.
 */
import { cornersOf, liesOf, paperUnder, pixelAt } from "../../drawing/paper";
import type { Point } from "../../geometry/frame";
import { after, perspective, shifted, turned, type Plane } from "../../geometry/perspective";
import type { PaperPlan } from "../../made/job";
import { BlobError, keep, kept } from "../../record/blobs";
import type { Fields } from "../../record/event";
import { take } from "../../record/outbox";
import { newId } from "../../record/store";
import { desk } from "../desk.svelte";
import { whyOf } from "../refused";
import { photos } from "../log/photos.svelte";
import { view } from "../plan/view.svelte";

export type PaperWay = "" | "straighten" | "scale" | "move";
export const TAPS: Record<PaperWay, number> = { "": 0, straighten: 4, scale: 2, move: 2 };
/** A line that is off by less is made level or upright. [rad] */
const NEARLY = 0.14;
/** What the office takes as a photo; another picture is written as PNG. */
const TAKEN = ["image/jpeg", "image/png", "image/webp"];

/** What this device keeps beside the job: whether it is hidden; from before it was in the job, all of it. */
interface Here {
  readonly hidden?: boolean;
  readonly hash?: string;
  readonly lies?: Plane;
}

class Paper {
  hidden = $state(false);
  url = $state("");
  /** Its bytes are neither here nor at the office now. */
  missing = $state(false);
  way = $state<PaperWay>("");
  taps = $state.raw<readonly Point[]>([]);
  private under = $derived(paperUnder(desk.entities, desk.storey));
  private of = "";
  private at = "";
  laid = $derived.by(() => {
    const lies = this.under && liesOf(this.under[1]);
    return this.under && lies ? { id: this.under[0], plan: this.under[1], lies, shown: !this.hidden } : null;
  });

  private key = (): string => `paper/${desk.job.id}/${desk.storey}`;

  /** What lies under the storey that is shown. */
  load = async (): Promise<void> => {
    const { store } = desk;
    const key = this.key();
    if (key !== this.at) {
      this.at = key;
      this.start("");
      const here = (await store?.get("settings", key)) as Here | undefined;
      if (key !== this.at) return;
      this.hidden = here?.hidden ?? false;
      if (here?.hash && !this.laid) await this.takeOver(here);
    }
    const hash = this.laid?.plan.image ?? "";
    if (hash === this.of && !this.missing) return;
    this.of = hash;
    this.show("");
    if (!hash || !store) return;
    try {
      const bytes = (await kept(store, hash)) ?? (await this.fetched(hash));
      if (hash !== this.of) return;
      if (bytes) this.show(URL.createObjectURL(new Blob([bytes.bytes], { type: bytes.type })));
      else this.missing = true;
    } catch (error) {
      desk.say(desk.t("paperDamaged", { why: whyOf(error) }));
    }
  };

  /** The bytes from the office, kept here from now on; undefined where it has none or is not reached. */
  private fetched = async (hash: string): Promise<{ bytes: ArrayBuffer; type: string } | undefined> => {
    const path = `/api/jobs/${encodeURIComponent(desk.job.id)}/photos/${hash}`;
    const told = await fetch(path, { signal: AbortSignal.timeout(60_000) }).catch(() => null);
    const bytes = told?.ok ? await told.arrayBuffer().catch(() => null) : null;
    if (!bytes) return undefined;
    const type = told!.headers.get("content-type") ?? "";
    // What came otherwise is kept under its own name and does no harm.
    return (await keep(desk.store!, bytes, type)) === hash ? { bytes, type } : undefined;
  };

  /** One from before paper plans were in the job goes into it. */
  private takeOver = async ({ hash, lies }: Here): Promise<void> => {
    const bytes = await kept(desk.store!, hash!).catch(() => undefined);
    const url = bytes ? URL.createObjectURL(new Blob([bytes.bytes], { type: bytes.type })) : "";
    const size = url && lies ? await sizeOf(url) : null;
    URL.revokeObjectURL(url);
    if (!size || !lies || !bytes) return;
    await take(desk.store!, desk.job.id, bytes.bytes, bytes.type);
    if (await this.put(newId("paper"), { kind: "paper_plan", storey: desk.storey, image: hash!, size, corners: cornersOf(lies, size) })) await this.keepHere();
  };

  private show = (url: string): void => {
    if (this.url) URL.revokeObjectURL(this.url);
    this.url = url;
    this.missing = false;
  };

  private put = (id: string, plan: PaperPlan | null): Promise<boolean> =>
    desk.set({ [id]: plan as unknown as Fields | null }, desk.t("paper"));
  private keepHere = async (): Promise<void> => void (await desk.store?.put("settings", { hidden: this.hidden } satisfies Here, this.key()));

  bring = async (file: File): Promise<void> => {
    const { store } = desk;
    const found = await pictureOf(file);
    if (!found || !store) return desk.say(desk.t("paperBad", { name: file.name }));
    const { size, bytes, type } = found;
    try {
      const { hash } = await take(store, desk.job.id, bytes, type);
      // As wide as the plan that is seen, its upper edge up.
      const [west, top] = view.world(view.width * 0.08, view.height * 0.08);
      const k = Math.min((view.width * 0.84) / size[0], (view.height * 0.84) / size[1]) / view.scale;
      const corners = cornersOf([k, 0, west, 0, -k, top, 0, 0, 1], size);
      this.hidden = false;
      await this.keepHere();
      if (!(await this.put(newId("paper"), { kind: "paper_plan", storey: desk.storey, image: hash, size, corners }))) return;
      await this.load();
      this.start("straighten");
      void photos.send();
    } catch (error) {
      const why = whyOf(error);
      desk.say(error instanceof BlobError ? desk.t("paperDamaged", { why }) : desk.t("storeFull", { why }));
    }
  };

  start = (way: PaperWay): void => {
    [this.way, this.taps] = [way, []];
  };
  toggle = (): void => {
    this.hidden = !this.hidden;
    void this.keepHere();
  };

  /** A point of the paper, where it lies now. */
  point = (at: Point): void => {
    if (!this.way || this.taps.length >= TAPS[this.way]) return;
    this.taps = [...this.taps, at];
    if (this.taps.length < TAPS[this.way]) return;
    if (this.way === "move") {
      const [from, to] = this.taps as [Point, Point];
      this.lay(shifted(to[0] - from[0], to[1] - from[1]), "");
    } else if (this.way === "straighten") this.straighten();
  };

  /** Four taps round something with right angles make it upright; its sides keep their mean. */
  private straighten = (): void => {
    const [a, b, c, d] = this.taps as [Point, Point, Point, Point];
    const wide = (apart(a, b) + apart(d, c)) / 2;
    const deep = (apart(b, c) + apart(a, d)) / 2;
    const [ux, uy] = levelled(a, b);
    const round = (b[0] - a[0]) * (d[1] - a[1]) - (b[1] - a[1]) * (d[0] - a[0]) > 0 ? 1 : -1;
    const [vx, vy] = [-uy * round, ux * round];
    const to: Point[] = [
      a, [a[0] + wide * ux, a[1] + wide * uy],
      [a[0] + wide * ux + deep * vx, a[1] + wide * uy + deep * vy], [a[0] + deep * vx, a[1] + deep * vy],
    ];
    const made = round && convex(this.taps) ? perspective(this.taps, to) : null;
    if (!made) {
      this.start("straighten");
      return desk.say(desk.t("paperCrossed"));
    }
    this.lay(made, "scale");
  };

  /** Two taps and their distance: larger or smaller about the first, level where it nearly was. [m, as typed] */
  scaled = (metres: number, typed: string): void => {
    const [a, b] = this.taps as [Point, Point];
    const now = Math.atan2(b[1] - a[1], b[0] - a[0]);
    const level = (Math.round(now / (Math.PI / 2)) * Math.PI) / 2;
    const angle = Math.abs(level - now) < NEARLY ? level - now : 0;
    const plan = this.laid?.plan;
    const [start, stop] = plan ? [pixelAt(plan, a), pixelAt(plan, b)] : [null, null];
    this.lay(turned(a, angle, metres / apart(a, b)), "", start && stop ? { start, stop, length: typed } : null);
  };

  /** Lays it anew; straightened anew it has no known length any more, moved it keeps the one it has. */
  private lay = (moved: Plane, next: PaperWay, known?: PaperPlan["known"]): void => {
    const before = this.laid;
    if (!before) return;
    const { known: had, ...plan } = before.plan;
    const kept = known ?? (next ? null : had);
    this.start(next);
    void this.put(before.id, { ...plan, corners: cornersOf(after(moved, before.lies), plan.size), ...(kept ? { known: kept } : {}) });
    if (!next) desk.say(desk.t("paperLies"), [], () => {
      desk.hush();
      this.start("");
      void this.put(before.id, before.plan);
    });
  };

  /** It goes off the plan; its bytes stay, for it may come back. */
  takeOut = async (): Promise<void> => {
    const { laid } = this;
    if (!laid) return;
    this.start("");
    await this.put(laid.id, null);
    desk.say(desk.t("takenBack", { what: desk.t("paper") }), [], () => {
      desk.hush();
      void this.put(laid.id, laid.plan);
    });
  };

  /** How it lies on the screen, as the browser writes a plane in space. */
  get css(): string {
    const { x, y, scale } = view.at;
    const m = after(
      [scale, 0, view.width / 2 - x * scale, 0, -scale, view.height / 2 + y * scale, 0, 0, 1], this.laid?.lies ?? [1, 0, 0, 0, 1, 0, 0, 0, 1],
    );
    return `matrix3d(${[m[0], m[3], 0, m[6], m[1], m[4], 0, m[7], 0, 0, 1, 0, m[2], m[5], 0, m[8]].join(",")})`;
  }
}

export const paper = new Paper();

const apart = (a: Point, b: Point): number => Math.hypot(b[0] - a[0], b[1] - a[1]);

/** Direction from one point to another, along the nearest axis where it nearly is. */
const levelled = (a: Point, b: Point): Point => {
  const now = Math.atan2(b[1] - a[1], b[0] - a[0]);
  const level = (Math.round(now / (Math.PI / 2)) * Math.PI) / 2;
  // Whatever is straightened lies along the axes after: that is what it is for.
  return [Math.cos(level), Math.sin(level)];
};

const convex = (points: readonly Point[]): boolean => {
  const turns = points.map((b, n) => {
    const [a, c] = [points.at(n - 1)!, points[(n + 1) % points.length]!];
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);
  });
  return turns.every((one) => one > 1e-6) || turns.every((one) => one < -1e-6);
};

/** The bytes of a picture as the office takes them, and its size; null where the browser cannot show it. [px] */
const pictureOf = async (file: File): Promise<{ size: [number, number]; bytes: ArrayBuffer; type: string } | null> => {
  const url = URL.createObjectURL(file);
  try {
    const size = await sizeOf(url);
    if (!size || TAKEN.includes(file.type)) return size && { size, bytes: await file.arrayBuffer(), type: file.type };
    const [sheet, image] = [document.createElement("canvas"), new Image()];
    [sheet.width, sheet.height, image.src] = [...size, url];
    await image.decode();
    sheet.getContext("2d")?.drawImage(image, 0, 0, ...size);
    const png = await new Promise<Blob | null>((made) => sheet.toBlob(made, "image/png"));
    return png && { size, bytes: await png.arrayBuffer(), type: "image/png" };
  } finally {
    URL.revokeObjectURL(url);
  }
};

const sizeOf = async (url: string): Promise<[number, number] | null> => {
  const image = new Image();
  image.src = url;
  try {
    await image.decode();
  } catch {
    return null;
  }
  return image.naturalWidth ? [image.naturalWidth, image.naturalHeight] : null;
};
