import type { Channels } from '../gait/walk.js';
import {
  choiceProblem,
  errorOf,
  isRecord,
  numberProblem,
  recordProblem,
  refuseAny,
} from '../internal/check.js';
import { CHANNELS, type Channel } from './driver.js';
import { partProblem } from './part-shape.js';

/** What the damper is tied to: the part it hangs from, or the air that stands still. */
export type DampedBy = 'parent' | 'air';

/** How far a part can move from its rest before it strikes, in m, > 0. */
export interface Stop {
  readonly below: number;
  readonly above: number;
}

/** A soft part on spring and damper: belly, flesh, pack, purse. */
export interface BouncePart {
  /** Natural frequency in Hz, in (0, 1000]: one number for height alone, or by channel. */
  readonly frequencyHz: number | Partial<Channels<number>>;
  /** Damping ratio in [0, 100]: one number for all, or by channel. 1 is critical. */
  readonly dampingRatio: number | Partial<Channels<number>>;
  /** Default `parent`. */
  readonly dampedBy?: DampedBy;
  /** Hard limits of the travel from rest, in m, > 0: both ways alike, or by channel. Default none. */
  readonly stop?: number | Partial<Channels<number | Stop>>;
  /** Speed after striking the stop over speed before, in [0, 1]. Default 0, a dead blow. */
  readonly rebound?: number;
}

/** One axis of a bouncing part, with its numbers complete. */
export interface Axis {
  readonly channel: Channel;
  /** Angular natural frequency in rad/s. */
  readonly omega: number;
  readonly zeta: number;
  readonly low: number;
  readonly high: number;
}

/** A part read at a boundary. */
export interface BounceShape {
  readonly axes: readonly Axis[];
  readonly air: boolean;
  readonly rebound: number;
  readonly stops: boolean;
}

const FIELDS = ['frequencyHz', 'dampingRatio', 'dampedBy', 'stop', 'rebound', 'source'];

const FREQUENCY = { above: 0, max: 1000, unit: 'Hz' };
const DAMPING = { min: 0, max: 100 };

/** Checks a part and completes it. */
export function readBouncePart(where: string, part: BouncePart): BounceShape {
  refuseAny(where, [partProblem(part, FIELDS)]);
  const { frequencyHz, dampingRatio, dampedBy = 'parent', stop, rebound = 0 } = part;
  refuseAny(where, [
    choiceProblem('part.dampedBy', dampedBy, ['parent', 'air']),
    numberProblem('part.rebound', rebound, { min: 0, max: 1 }),
    ...[
      ['frequencyHz', frequencyHz],
      ['dampingRatio', dampingRatio],
      ['stop', stop],
    ].map(([field, value]) =>
      isRecord(value) ? recordProblem(`part.${field}`, value, CHANNELS) : undefined,
    ),
  ]);
  const channels: readonly Channel[] =
    typeof frequencyHz === 'object'
      ? CHANNELS.filter((channel) => frequencyHz[channel] !== undefined)
      : ['height'];
  if (channels.length === 0) {
    const rule = 'must have height, forward or side';
    throw errorOf(where, { field: 'part.frequencyHz', rule, got: 'none', kind: 'range' });
  }
  const axes = channels.map((channel): Axis => {
    const by = (value: number | Partial<Channels<number>>): unknown =>
      typeof value === 'object' ? value[channel] : value;
    const name = (field: string, value: unknown) => `part.${field}${isRecord(value) ? `.${channel}` : ''}`;
    refuseAny(where, [
      numberProblem(name('frequencyHz', frequencyHz), by(frequencyHz), FREQUENCY),
      numberProblem(name('dampingRatio', dampingRatio), by(dampingRatio), DAMPING),
    ]);
    const limit = typeof stop === 'object' ? stop[channel] : stop;
    const [below, above] = typeof limit === 'object' ? [limit.below, limit.above] : [limit, limit];
    if (limit !== undefined) {
      const field = name('stop', stop);
      refuseAny(where, [
        numberProblem(field, below, { above: 0, unit: 'm' }),
        numberProblem(field, above, { above: 0, unit: 'm' }),
      ]);
    }
    return {
      channel,
      omega: 2 * Math.PI * (by(frequencyHz) as number),
      zeta: by(dampingRatio) as number,
      low: below === undefined ? Number.NEGATIVE_INFINITY : -below,
      high: above ?? Number.POSITIVE_INFINITY,
    };
  });
  return { axes, air: dampedBy === 'air', rebound, stops: axes.some(({ high }) => Number.isFinite(high)) };
}
