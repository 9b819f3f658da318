/** Limits of one variable and the step that the search begins with. */
export interface SearchRange {
  readonly min: number;
  readonly max: number;
  readonly step: number;
}

/** Smallest fraction of the first steps that the search goes down to. */
const FINEST = 1e-4;

/**
 * The least value of a function of a few bounded variables near a start, by pattern search (Hooke & Jeeves
 * 1961): try a step along each variable, go on along what helped, halve the steps when nothing does. Needs no
 * derivatives and always ends: at `limit` evaluations, or at 1/10 000 of the first steps.
 */
export function searchBox(
  cost: (x: readonly number[]) => number,
  start: readonly number[],
  ranges: readonly SearchRange[],
  limit: number,
): { at: number[]; cost: number; tried: number } {
  const hold = (x: readonly number[]): number[] =>
    x.map((value, i) => Math.min(ranges[i].max, Math.max(ranges[i].min, value)));
  let tried = 0;
  const measure = (x: readonly number[]): number => {
    tried++;
    return cost(x);
  };
  let best = hold(start);
  let least = measure(best);
  let scale = 1;
  const explore = (from: readonly number[], level: number): { at: number[]; level: number } => {
    let at = from.slice();
    let now = level;
    for (let i = 0; i < at.length && tried < limit; i++) {
      for (const sign of [1, -1]) {
        const trial = hold(at.map((value, k) => (k === i ? value + sign * scale * ranges[i].step : value)));
        if (trial[i] === at[i]) continue;
        const there = measure(trial);
        if (there < now) {
          at = trial;
          now = there;
          break;
        }
      }
    }
    return { at, level: now };
  };
  while (scale >= FINEST && tried < limit) {
    const found = explore(best, least);
    if (found.level < least) {
      const before = best;
      best = found.at;
      least = found.level;
      // Once more the same way, and explore from there.
      const leap = hold(best.map((value, i) => 2 * value - before[i]));
      const further = explore(leap, measure(leap));
      if (further.level < least) {
        best = further.at;
        least = further.level;
      }
    } else scale /= 2;
  }
  return { at: best, cost: least, tried };
}
