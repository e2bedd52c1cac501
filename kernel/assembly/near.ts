/**
 * In a large house most flips have no bearing on any sign: what lies near the signs and in their
 * corridor is flipped in every sweep, the rest in turns, one eighth of it a sweep.
 *
 * Every flip leaves the target as it is, whichever are made, so the draws are of the same law; far
 * off, draws of one ancestor stay alike for longer, which their stated error shows. Draws begin
 * independent, from the prior, and far off they may stay so.
 */
import { FLAG_IN_TURNS, flags, passageEnds, passages, sourceNamed, sources, sourceVoid, voids } from "./problem";
import { inCorridorPassage, inCorridorSource } from "./corridor";
import { carries } from "./evidence";

export const TURNS: i32 = 8;

const NO_U8 = new StaticArray<u8>(0);

/** By passage and by source: the turn in which it is flipped, or EVERY. */
export let passageTurn: StaticArray<u8> = NO_U8;
export let sourceTurn: StaticArray<u8> = NO_U8;
export const EVERY: u8 = 255;

/** Only after the corridor is known. */
export function findNear(): void {
  passageTurn = new StaticArray<u8>(passages);
  sourceTurn = new StaticArray<u8>(sources);
  if ((flags & FLAG_IN_TURNS) == 0) {
    passageTurn.fill(EVERY);
    sourceTurn.fill(EVERY);
    return;
  }
  const near = nearVoids();
  for (let p = 0; p < passages; p++) {
    const close = near[passageEnds[2 * p]] & near[passageEnds[2 * p + 1]];
    passageTurn[p] = close | inCorridorPassage[p] ? EVERY : <u8>(p % TURNS);
  }
  for (let s = 0; s < sources; s++) {
    const close = near[sourceVoid[s]] | inCorridorSource[s] | sourceNamed[s];
    sourceTurn[s] = close ? EVERY : <u8>(s % TURNS);
  }
}

/** Voids that a sign speaks of, and those that the corridor touches. */
function nearVoids(): StaticArray<u8> {
  const near = new StaticArray<u8>(voids);
  for (let v = 0; v < voids; v++) if (carries[v]) near[v] = 1;
  for (let p = 0; p < passages; p++) {
    if (!inCorridorPassage[p]) continue;
    near[passageEnds[2 * p]] = 1;
    near[passageEnds[2 * p + 1]] = 1;
  }
  for (let s = 0; s < sources; s++) if (inCorridorSource[s]) near[sourceVoid[s]] = 1;
  return near;
}
