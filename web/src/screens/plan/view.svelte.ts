/** What part of the building is on the screen, and where: metres to pixels and back. */
import type { Point } from "../../geometry/frame";

export type Box = readonly [left: number, top: number, right: number, bottom: number];

class View {
  width = $state(390);
  height = $state(400);
  /** Middle of the screen, and how many pixels a metre takes. [m, px] */
  at = $state.raw({ x: 2, y: 1.5, scale: 60 });
  /** Where the numbers of a layer stand, so that no name is written beneath them. [px] */
  plates = $state.raw<readonly Box[]>([]);

  get scale(): number {
    return this.at.scale;
  }
  px = ([x, y]: Point): [number, number] => [
    this.width / 2 + (x - this.at.x) * this.at.scale, this.height / 2 - (y - this.at.y) * this.at.scale,
  ];
  world = (x: number, y: number): Point => [
    this.at.x + (x - this.width / 2) / this.at.scale, this.at.y - (y - this.height / 2) / this.at.scale,
  ];
  /** A path through points, open. */
  line = (points: readonly Point[]): string =>
    points.length ? `M${points.map((one) => this.px(one).map((v) => v.toFixed(1)).join(" ")).join("L")}` : "";
  /** A path round points, closed. */
  ring = (points: readonly Point[]): string => (points.length ? `${this.line(points)}Z` : "");
  box = (points: readonly Point[]): Box => {
    const all = points.map(this.px);
    const [xs, ys] = [all.map((one) => one[0]), all.map((one) => one[1])];
    return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
  };

  /** Shows all of some points, with room at the sides for what stands there. */
  fit = (points: readonly Point[], aside: number): void => {
    if (!points.length) {
      this.at = { x: 2, y: 1.5, scale: Math.min(this.width, this.height) / 6 };
      return;
    }
    const [xs, ys] = [points.map((one) => one[0]), points.map((one) => one[1])];
    const [west, east] = [Math.min(...xs), Math.max(...xs)];
    const [south, north] = [Math.min(...ys), Math.max(...ys)];
    const scale = Math.min((this.width - aside) / (east - west + 0.8), this.height / (north - south + 1.2));
    this.at = { x: (west + east) / 2, y: (south + north) / 2, scale: Math.min(scale, 140) };
  };
  zoom = (by: number, x = this.width / 2, y = this.height / 2): void => {
    const [at, scale] = [this.world(x, y), Math.min(600, Math.max(8, this.at.scale * by))];
    this.at = { scale, x: at[0] - (x - this.width / 2) / scale, y: at[1] + (y - this.height / 2) / scale };
  };
  pan = (dx: number, dy: number): void => {
    this.at = { ...this.at, x: this.at.x - dx / this.at.scale, y: this.at.y + dy / this.at.scale };
  };
}

export const view = new View();
/** How wide a plate is round its text. [px] */
export const plateWidth = (text: string): number => text.length * 8.6 + 14;
