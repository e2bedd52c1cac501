/** Which of a row comes next. */

/**
 * The first after one, in the direction of the walk, that has no answer yet; -1 where the row nextOf.
 * What lies behind is left: a bay that nobody opened is not asked for.
 */
export const nextOf = (answered: readonly boolean[], n: number, backwards: boolean): number => {
  for (let at = n + (backwards ? -1 : 1); at >= 0 && at < answered.length; at += backwards ? -1 : 1) {
    if (!answered[at]) return at;
  }
  return -1;
};
