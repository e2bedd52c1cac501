/**
 * The figures on the phone: one worker weighs the draws anew as soon as something was logged, others
 * share out the populations of a full diagnosis after that.  What is newer ends what is older.
 */
import type { Fields } from "../record/event";
import type { Numbers, Receipt } from "./diagnose";
import type { Population } from "./module";
import type { Asked, Told } from "./worker";

export interface Hand {
  postMessage(asked: Asked): void;
  onmessage: ((event: MessageEvent<Told>) => void) | null;
  /** Called where its own script cannot be had. */
  onerror: ((event: Pick<ErrorEvent, "message">) => void) | null;
  terminate(): void;
}
export interface Heard {
  /** Draws of before, weighed anew. */
  atOnce(numbers: Numbers): void;
  /** How far a full diagnosis is, 0 to 1. */
  share(share: number): void;
  inFull(numbers: Numbers, receipt: Receipt): void;
  failed(why: string): void;
}
interface Task {
  readonly one: number;
  readonly population: number;
}

export class Phone {
  private readonly weigher: Hand;
  private readonly drawers: Hand[] = [];
  private busy = new Map<Hand, Task>();
  private turn = 0;
  private populations = 0;
  private module = "";
  private inputs: readonly Uint8Array[] = [];
  private left: Task[] = [];
  private drawn: Population[][] = [];
  private shares = new Map<string, number>();
  private ready: Promise<boolean>;
  private isReady: (carried: boolean) => void = () => undefined;

  /** `spawn` makes a worker; `most` of them draw at once. */
  constructor(private readonly spawn: () => Hand, private readonly most: number, private readonly heard: Heard) {
    this.ready = Promise.resolve(false);
    this.weigher = this.hand();
  }

  /** Takes up a pocket; false where it cannot be carried. */
  load = (text: string): Promise<boolean> => {
    this.stop();
    this.ready = new Promise((done) => (this.isReady = done));
    this.weigher.postMessage({ do: "pocket", text });
    return this.ready;
  };

  /** Weighs the job as it stands, then diagnoses it in full. */
  changed = async (entities: Readonly<Record<string, Fields>>): Promise<void> => {
    this.stop();
    const { turn } = this;
    if ((await this.ready) && turn === this.turn) this.weigher.postMessage({ do: "weigh", turn, entities });
  };

  /** Ends what is under way. */
  stop = (): void => {
    this.turn += 1;
    this.left = [];
    for (const [hand] of this.busy) {
      hand.terminate();
      this.drawers.splice(this.drawers.indexOf(hand), 1);
    }
    this.busy.clear();
  };

  close = (): void => {
    this.stop();
    for (const hand of [this.weigher, ...this.drawers]) hand.terminate();
  };

  private hand(): Hand {
    const hand = this.spawn();
    hand.onmessage = ({ data }) => this.take(data, hand);
    hand.onerror = ({ message }) => this.fail(message || "worker");
    return hand;
  }

  private take(told: Told, hand: Hand): void {
    if (told.done === "pocket") {
      [this.populations, this.module] = [told.populations, told.module];
      this.isReady(told.carried);
      return;
    }
    // A pocket that cannot be read has no turn.
    if (told.done === "failed" && !told.turn) return this.fail(told.why);
    if (told.turn !== this.turn) return;
    if (told.done === "weigh") this.begin(told.numbers, told.inputs);
    else if (told.done === "share") this.tell(`${told.one}/${told.population}`, told.share);
    else if (told.done === "draw") this.keep(told.one, told.drawn, hand);
    else if (told.done === "full") this.heard.inFull(told.numbers, told.receipt);
    else this.fail(told.why);
  }

  /** Nothing goes on, and nobody waits for a pocket that does not come. */
  private fail(why: string): void {
    this.stop();
    this.isReady(false);
    this.heard.failed(why);
  }

  private begin(numbers: Numbers, inputs: readonly Uint8Array[]): void {
    this.heard.atOnce(numbers);
    this.inputs = inputs;
    this.drawn = inputs.map(() => []);
    this.shares.clear();
    this.left = inputs.flatMap((_, one) => Array.from({ length: this.populations }, (__, population) => ({ one, population })));
    while (this.drawers.length < this.most) this.drawers.push(this.hand());
    for (const hand of this.drawers) this.next(hand);
  }

  private next(hand: Hand): void {
    const task = this.left.shift();
    if (!task) {
      this.busy.delete(hand);
      return;
    }
    this.busy.set(hand, task);
    hand.postMessage({ do: "draw", turn: this.turn, ...task, input: this.inputs[task.one]!, module: this.module });
  }

  private keep(one: number, drawn: Population, hand: Hand): void {
    this.drawn[one]!.push(drawn);
    this.tell(`${one}/${drawn.number}`, 1);
    this.next(hand);
    if (this.drawn.some((all) => all.length < this.populations)) return;
    const sorted = this.drawn.map((all) => [...all].sort((a, b) => a.number - b.number));
    this.weigher.postMessage({ do: "full", turn: this.turn, drawn: sorted });
  }

  private tell(what: string, share: number): void {
    this.shares.set(what, share);
    const whole = [...this.shares.values()].reduce((sum, each) => sum + each, 0);
    this.heard.share(whole / Math.max(1, this.inputs.length * this.populations));
  }
}
