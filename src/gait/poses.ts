import { type Series, seriesValue } from '../curves/series.js';
import { seriesExtremes } from '../curves/series-extremes.js';
import { wrapPhase } from './share.js';
import type { Side, Walk } from './walk.js';

/** The four poses of a step. */
export type Pose = 'contact' | 'down' | 'passing' | 'up';

/** A pose, the foot whose landing began its step, and its phase. */
export interface PoseAt {
  readonly pose: Pose;
  readonly foot: Side;
  readonly phase: number;
}

/** Where the low of a step is looked for, in steps from its contact: it lies about double support. */
const LOW_WINDOW = [-0.25, 0.6] as const;

/** Where the high of a step is looked for, in steps from its contact: it lies about single support. */
const HIGH_WINDOW = [0.25, 1] as const;

/** The poses of a stride in order of phase, with the first one again at the end, a whole stride later. */
export function posesOf(walk: Walk): PoseAt[] {
  const timing = walk.spec.poseTiming ?? 0;
  const poses: PoseAt[] = [];
  for (const foot of ['left', 'right'] as const) {
    const own = walk.stance[foot];
    const other = walk.stance[foot === 'left' ? 'right' : 'left'];
    const length = wrapPhase(other.contact - own.contact);
    const doubleSupport = other.fraction - wrapPhase(own.contact - other.contact);
    const passing = (1 - timing) * ((doubleSupport + length) / 2) + timing * (length / 2);
    const within = ([from, to]: readonly [number, number], sign: number): number =>
      farthestPhase(walk.centre.height, own.contact + from * length, own.contact + to * length, sign);
    poses.push({ pose: 'contact', foot, phase: own.contact });
    poses.push({ pose: 'down', foot, phase: wrapPhase(within(LOW_WINDOW, -1)) });
    poses.push({ pose: 'passing', foot, phase: wrapPhase(own.contact + passing) });
    poses.push({ pose: 'up', foot, phase: wrapPhase(within(HIGH_WINDOW, 1)) });
  }
  poses.sort((a, b) => a.phase - b.phase);
  return [...poses, { ...poses[0], phase: poses[0].phase + 1 }];
}

/** The phase within a window at which a series is highest (sign 1) or lowest (sign −1). */
function farthestPhase(series: Series, from: number, to: number, sign: number): number {
  const candidates = [from, to];
  for (const { time } of seriesExtremes(series)) {
    const phase = time / series.period;
    const inside = phase + Math.ceil(from - phase);
    if (inside <= to) candidates.push(inside);
  }
  const valueAt = (phase: number): number => sign * seriesValue(series, phase * series.period);
  return candidates.reduce((best, next) => (valueAt(next) > valueAt(best) ? next : best));
}
