/**
 * A paper plan or a photo of one, laid under the drawing of a storey: brought in, straightened by
 * four taps, scaled by two taps and a length, moved by two taps.
 *
 * It stays on this device: the bytes by their hash, how it lies among the settings.  The job file has
 * no place for it, and nothing is calculated from it.
 */
import type { Point } from "../../geometry/frame";
import { after, perspective, shifted, turned, type Plane } from "../../geometry/perspective";
import { BlobError, keep, kept } from "../../record/blobs";
import { desk } from "../desk.svelte";
import { view } from "../plan/view.svelte";

export type PaperWay = "" | "straighten" | "scale" | "move";
export const TAPS: Record<PaperWay, number> = { "": 0, straighten: 4, scale: 2, move: 2 };
/** A line that is off by less is made level or upright. [rad] */
const NEARLY = 0.14;

interface Laid {
  readonly hash: string;
  readonly lies: Plane;
  readonly shown: boolean;
}

class Paper {
  laid = $state.raw<Laid | null>(null);
  url = $state("");
  way = $state<PaperWay>("");
  taps = $state.raw<readonly Point[]>([]);
  private of = "";

  private key = (): string => `paper/${desk.job.id}/${desk.storey}`;

  /** What lies under the storey that is shown. */
  load = async (): Promise<void> => {
    const key = this.key();
    if (key === this.of) return;
    this.of = key;
    this.start("");
    this.show(null, "");
    const { store } = desk;
    const laid = store && ((await store.get("settings", key)) as Laid | undefined);
    if (!laid || key !== this.of) return;
    try {
      const bytes = await kept(store, laid.hash);
      if (bytes && key === this.of) this.show(laid, URL.createObjectURL(new Blob([bytes.bytes], { type: bytes.type })));
    } catch (error) {
      desk.say(desk.t("paperDamaged", { why: error instanceof Error ? error.message : "" }));
    }
  };

  private show = (laid: Laid | null, url: string): void => {
    if (this.url) URL.revokeObjectURL(this.url);
    [this.laid, this.url] = [laid, url];
  };

  bring = async (file: File): Promise<void> => {
    const { store } = desk;
    const url = URL.createObjectURL(file);
    const size = await sizeOf(url);
    if (!size || !store) {
      URL.revokeObjectURL(url);
      return desk.say(desk.t("paperBad", { name: file.name }));
    }
    try {
      const hash = await keep(store, await file.arrayBuffer(), file.type);
      // As wide as the plan that is seen, its upper edge up.
      const [west, top] = view.world(view.width * 0.08, view.height * 0.08);
      const k = Math.min((view.width * 0.84) / size.wide, (view.height * 0.84) / size.high) / view.scale;
      this.show({ hash, lies: [k, 0, west, 0, -k, top, 0, 0, 1], shown: true }, url);
      await this.write();
      this.start("straighten");
    } catch (error) {
      URL.revokeObjectURL(url);
      const why = error instanceof Error ? error.message : "";
      desk.say(error instanceof BlobError ? desk.t("paperDamaged", { why }) : desk.t("storeFull", { why }));
    }
  };

  private write = async (): Promise<void> => {
    if (this.laid) await desk.store?.put("settings", $state.snapshot(this.laid), this.key());
    else await desk.store?.delete("settings", this.key());
  };

  start = (way: PaperWay): void => {
    [this.way, this.taps] = [way, []];
  };
  toggle = (): void => {
    if (this.laid) this.laid = { ...this.laid, shown: !this.laid.shown };
    void this.write();
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

  /** Two taps and their distance: larger or smaller about the first, level where it nearly was. [m] */
  scaled = (metres: number): void => {
    const [a, b] = this.taps as [Point, Point];
    const now = Math.atan2(b[1] - a[1], b[0] - a[0]);
    const level = (Math.round(now / (Math.PI / 2)) * Math.PI) / 2;
    const angle = Math.abs(level - now) < NEARLY ? level - now : 0;
    this.lay(turned(a, angle, metres / apart(a, b)), "");
  };

  private lay = (moved: Plane, next: PaperWay): void => {
    const before = this.laid;
    if (!before) return;
    this.laid = { ...before, lies: after(moved, before.lies) };
    this.start(next);
    void this.write();
    if (!next) desk.say(desk.t("paperLies"), [], () => {
      desk.hush();
      this.laid = before;
      this.start("");
      void this.write();
    });
  };

  /** It goes off the plan; its bytes go too where no other storey has them. */
  takeOut = async (): Promise<void> => {
    const { laid } = this;
    if (!laid) return;
    const [url, key] = [this.url, this.key()];
    [this.laid, this.url] = [null, ""];
    this.start("");
    await this.write();
    desk.say(desk.t("takenBack", { what: desk.t("paper") }), [], () => {
      desk.hush();
      if (key !== this.key()) return;
      [this.laid, this.url] = [laid, url];
      void this.write();
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

const sizeOf = async (url: string): Promise<{ wide: number; high: number } | null> => {
  const image = new Image();
  image.src = url;
  try {
    await image.decode();
  } catch {
    return null;
  }
  return image.naturalWidth ? { wide: image.naturalWidth, high: image.naturalHeight } : null;
};
