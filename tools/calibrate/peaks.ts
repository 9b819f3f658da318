import type { StanceCurves } from './adults.js';
import type { PeakName } from './children.js';

/** Names of what is timed within a stance. */
export const TIMES = ['first', 'valley', 'second', 'braking', 'propulsion', 'zero'] as const;
export type TimeName = (typeof TIMES)[number];

/** Peaks of a stance: sizes in BW, and when, in per cent of stance. */
export interface Peaks {
  readonly size: Readonly<Record<PeakName, number>>;
  readonly time: Readonly<Record<TimeName, number>>;
}

/** Scales in BW over which near-equal humps share a peak's time, where the fit asks for smooth times. */
const SOFT = { vertical: 0.004, forward: 0.0015 };

/**
 * Two humps and the valley between them, braking, propulsion and where the fore-aft force turns round,
 * each extreme refined by a parabola. With `soft` the times of peaks are means weighted by how near the
 * force is to its peak, so that they change smoothly where one hump overtakes another.
 */
export function findPeaks(
  { vertical, forward }: Pick<StanceCurves, 'vertical' | 'forward'>,
  soft = false,
): Peaks {
  const last = vertical.length - 1;
  const middle = Math.floor(vertical.length / 2);
  const least = forward.map((force) => -force);
  const first = refine(vertical, highest(vertical, 0, middle));
  const second = refine(vertical, highest(vertical, middle, last + 1));
  const sunk = vertical.map((force) => -force);
  const valley = refine(sunk, highest(sunk, Math.round(first.at), Math.round(second.at) + 1));
  const braking = refine(least, highest(least, 0, middle));
  const propulsion = refine(forward, highest(forward, middle, last + 1));
  const percent = (at: number): number => (100 * at) / last;
  const when = (values: readonly number[], hard: number, from: number, to: number, scale: number): number =>
    percent(soft ? centre(values, from, to, scale) : hard);
  return {
    size: {
      first: first.value,
      valley: -valley.value,
      second: second.value,
      braking: braking.value,
      propulsion: propulsion.value,
    },
    time: {
      first: when(vertical, first.at, 0, middle, SOFT.vertical),
      valley: when(sunk, valley.at, Math.round(first.at), Math.round(second.at) + 1, SOFT.vertical),
      second: when(vertical, second.at, middle, last + 1, SOFT.vertical),
      braking: when(least, braking.at, 0, middle, SOFT.forward),
      propulsion: when(forward, propulsion.at, middle, last + 1, SOFT.forward),
      zero: percent(turning(forward, Math.round(braking.at), Math.round(propulsion.at))),
    },
  };
}

function highest(values: readonly number[], from: number, to: number): number {
  let best = from;
  for (let i = from + 1; i < to; i++) if (values[i] > values[best]) best = i;
  return best;
}

function refine(values: readonly number[], at: number): { at: number; value: number } {
  if (at <= 0 || at >= values.length - 1) return { at, value: values[at] };
  const [before, here, after] = [values[at - 1], values[at], values[at + 1]];
  const bend = before - 2 * here + after;
  if (bend >= 0) return { at, value: here };
  const shift = (before - after) / (2 * bend);
  return { at: at + shift, value: here - ((before - after) * shift) / 4 };
}

function centre(values: readonly number[], from: number, to: number, scale: number): number {
  const top = values[highest(values, from, to)];
  let weight = 0;
  let moment = 0;
  for (let i = from; i < to; i++) {
    const w = Math.exp((values[i] - top) / scale);
    weight += w;
    moment += w * i;
  }
  return moment / weight;
}

/** Where values first rise above 0 after `from`. */
function turning(values: readonly number[], from: number, to: number): number {
  for (let i = from + 1; i <= to; i++) {
    if (values[i] > 0) return i - values[i] / (values[i] - values[i - 1]);
  }
  return to;
}

/**
 * Times in per cent of stance at a dimensionless speed (L hip joint to floor): F1, F2, F3 by the fits of
 * Schreiber & Moissenet 2019, whose leg length is 0.47 of stature where ours is 0.53, and braking,
 * propulsion and turning as published for all speeds.
 */
export function publishedTimes(speed: number): Readonly<Record<TimeName, number>> {
  const v = speed * Math.sqrt(0.53 / 0.47);
  return {
    first: 30 - 11.8 * v,
    valley: 40.4 + 15.4 * v,
    second: 75 + 6.3 * v,
    braking: 17,
    propulsion: 88,
    zero: 55,
  };
}
