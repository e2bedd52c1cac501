/**
 * Fingers on the plan: one taps, drags or pans, two pan and pinch; a second one put down while the
 * first drags frees the drag of every snap.
 *
 * What a finger does is told to `does`; whether one finger drags something or pans is asked there
 * at its first move.
 */
import type { Point } from "../../geometry/frame";
import { view } from "./view.svelte";

/** How far a finger moves before it drags. [px] */
const MOVED = 12;
/** A touch that is shorter is a brush of a glove, not a tap (judgement). [ms] */
const BRUSH = 60;
/** How far over the finger the working point floats. [px] */
const OVER = 56;

export interface Does {
  /** Whether gloves are on: one finger does not pan, and a brush is no tap. */
  readonly gloves: () => boolean;
  readonly tap: (at: Point) => void;
  readonly drags: () => boolean;
  readonly drag: (from: Point, to: Point, free: boolean) => void;
  readonly dropped: () => void;
  readonly gone: () => void;
}
interface Spot {
  readonly x: number;
  readonly y: number;
}

export class Fingers {
  private down_ = new Map<number, Spot>();
  private start: (Spot & { touch: boolean; id: number; since: number }) | null = null;
  private free = false;
  private moved = false;
  private tapped: Point | null = null;
  private pinch = { x: 0, y: 0, apart: 0 };
  private does: Does;

  constructor(does: Does) {
    this.does = does;
  }

  down = (event: PointerEvent): void => {
    // A third finger is the rest of the hand.
    if (this.down_.size === 2) return;
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    const at = spotOf(event);
    this.down_.set(event.pointerId, at);
    if (this.down_.size === 2 && this.dragging()) this.free = true;
    else if (this.down_.size === 2) {
      this.does.gone();
      [this.start, this.moved] = [null, true];
      this.pinch = this.between();
    } else if (this.down_.size === 1) {
      this.start = { ...at, id: event.pointerId, touch: event.pointerType === "touch", since: event.timeStamp };
      this.free = false;
      this.moved = false;
    }
  };

  move = (event: PointerEvent): void => {
    const before = this.down_.get(event.pointerId);
    if (!before) return;
    const at = spotOf(event);
    this.down_.set(event.pointerId, at);
    if (this.down_.size === 2 && !this.free) return this.pinched();
    if (this.start?.id !== event.pointerId) return;
    if (!this.moved && Math.hypot(at.x - this.start.x, at.y - this.start.y) < MOVED) return;
    this.moved = true;
    if (this.does.drags()) {
      const over = this.start.touch ? OVER : 0;
      this.does.drag(view.world(this.start.x, this.start.y), view.world(at.x, at.y - over), this.free);
    } else if (!this.start.touch || !this.does.gloves()) view.pan(at.x - before.x, at.y - before.y);
  };

  up = (event: PointerEvent): void => {
    if (!this.down_.delete(event.pointerId)) return;
    if (this.free && this.start && this.start.id !== event.pointerId) return;
    this.does.dropped();
    this.tapped = this.start && !this.moved && !this.brushed(event) ? view.world(this.start.x, this.start.y) : null;
    this.start = null;
  };

  /**
   * A tap counts at the click, not where the finger lifts: what the tray shows then would move under
   * the click that is still to come.
   */
  click = (): void => {
    if (this.tapped) this.does.tap(this.tapped);
    this.tapped = null;
  };

  private brushed = (event: PointerEvent): boolean =>
    this.start!.touch && this.does.gloves() && event.timeStamp - this.start!.since < BRUSH;
  private dragging = (): boolean => this.moved && this.start !== null && this.does.drags();

  cancel = (event: PointerEvent): void => {
    if (!this.down_.delete(event.pointerId)) return;
    this.does.gone();
    this.start = null;
  };

  wheel = (event: WheelEvent): void => {
    event.preventDefault();
    const at = spotOf(event);
    view.zoom(event.deltaY < 0 ? 1.15 : 1 / 1.15, at.x, at.y);
  };

  private pinched = (): void => {
    const now = this.between();
    view.pan(now.x - this.pinch.x, now.y - this.pinch.y);
    if (this.pinch.apart > 10) view.zoom(now.apart / this.pinch.apart, now.x, now.y);
    this.pinch = now;
  };
  private between = (): { x: number; y: number; apart: number } => {
    const [a, b] = [...this.down_.values()];
    return { x: (a!.x + b!.x) / 2, y: (a!.y + b!.y) / 2, apart: Math.hypot(a!.x - b!.x, a!.y - b!.y) };
  };
}

const spotOf = (event: PointerEvent | WheelEvent): Spot => {
  const box = (event.currentTarget as Element).getBoundingClientRect();
  return { x: event.clientX - box.left, y: event.clientY - box.top };
};
