import { wrapPhase } from '../share.js';
import type { Shot } from './shot.js';
import { findPiece } from './tracks.js';

/**
 * A reader of a shot's phase, a fraction of the stride in [0, 1): a right foot lands at 0, a left one at ½, and
 * between landings it goes evenly. Before the first step and after the last it stays.
 */
export function prepareShotPhase({ steps }: Shot): (t: number) => number {
  const landed = steps.filter(({ kind }, i) => kind !== 'begin' || i === 1);
  // From standing it begins when the first foot leaves the floor; walking in, with the first landing.
  const begin = Math.max(landed[0].land, steps[0].land < 0 ? 0 : steps[0].lift);
  const lands = landed.slice(1).map(({ land }) => land);
  const times = Float64Array.from([begin, ...lands, Number.POSITIVE_INFINITY]);
  const first = landed[0].foot === 'right' ? 0 : 0.5;
  let last = 0;
  return (t) => {
    if (t < times[0]) return first;
    last = findPiece(times, landed.length, t, last);
    const start = first + last / 2;
    if (last + 1 === landed.length) return wrapPhase(start);
    return wrapPhase(start + (t - times[last]) / (2 * (times[last + 1] - times[last])));
  };
}
