/**
 * While sources are flipped no passage moves, so a component is known by the void of it that was
 * asked for first, and what it would gain by rising is worked out once for all of its sources.
 */
import { carries } from "./evidence";
import { voids } from "./problem";
import { gather, nextTurn, queue, turn, weighPart } from "./state";

const NO_F64 = new StaticArray<f64>(0);
const NO_I32 = new StaticArray<i32>(0);
const NO_I64 = new StaticArray<i64>(0);

let firstOf: StaticArray<i32> = NO_I32; // by void
let knownIn: StaticArray<i64> = NO_I64; // the sweep in which `firstOf` was found
let sweepNumber: i64 = 0;
let signs: StaticArray<i32> = NO_I32; // voids that carry a sign, component by component
let signsEnd: i32 = 0;
let signsFrom: StaticArray<i32> = NO_I32; // by first void: where its component's begin and end
let signsTo: StaticArray<i32> = NO_I32;
let gainKnown: StaticArray<f64> = NO_F64; // [first void, level - 1]
let gainTurn: StaticArray<i64> = NO_I64; // the turn in which it was worked out

export function allocateComponents(): void {
  firstOf = new StaticArray<i32>(voids);
  knownIn = new StaticArray<i64>(voids);
  sweepNumber = 0;
  signs = new StaticArray<i32>(voids);
  signsFrom = new StaticArray<i32>(voids);
  signsTo = new StaticArray<i32>(voids);
  gainKnown = new StaticArray<f64>(2 * voids);
  gainTurn = new StaticArray<i64>(2 * voids);
}

/** Passages have moved: what is known of the components is worth nothing now. */
export function forgetComponents(): void {
  sweepNumber += 1;
  signsEnd = 0;
  nextTurn();
}

/** The void of the component of `v` that was asked for first; only while no passage moves. */
export function firstOfComponent(v: i32): i32 {
  if (unchecked(knownIn[v]) != sweepNumber) meetComponent(v);
  return unchecked(firstOf[v]);
}

function meetComponent(v: i32): void {
  const count = gather(v);
  unchecked((signsFrom[v] = signsEnd));
  for (let i = 0; i < count; i++) {
    const w = unchecked(queue[i]);
    unchecked((knownIn[w] = sweepNumber));
    unchecked((firstOf[w] = v));
    if (unchecked(carries[w]) == 0) continue;
    unchecked((signs[signsEnd] = w));
    signsEnd += 1;
  }
  unchecked((signsTo[v] = signsEnd));
}

/** Change of the log likelihood if the component of `first`, its first void, rose to `level`. */
export function gainOfRise(first: i32, level: u8): f64 {
  const at = 2 * first + <i32>level - 1;
  if (unchecked(gainTurn[at]) != turn) {
    const from = unchecked(signsFrom[first]);
    unchecked((gainKnown[at] = weighPart(signs, from, unchecked(signsTo[first]), level)));
    unchecked((gainTurn[at] = turn));
  }
  return unchecked(gainKnown[at]);
}
