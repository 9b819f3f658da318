/** How a foot's vertical force bends and climbs over its stance, beside the measured mean curves. */
import type { Trial } from './adults.js';
import type { SpeedGroup } from './children.js';
import { stanceOf } from './mean-curve.js';
import { footOverStance, planAt, planTrial } from './predict.js';

/** Second differences of one mean curve and of the model at its speed, in BW per (% of stance)². */
export interface Bend {
  readonly name: string;
  readonly model: readonly number[];
  readonly measured: readonly number[];
}

/** Per cents of stance at which bends are compared: the ends, where feet land and leave, are not. */
const [FROM, TO] = [8, 92];

/** Half of the span in % of stance that a second difference is taken over. */
const HALF = 2;

function bendsOf(force: readonly number[]): number[] {
  return Array.from({ length: TO - FROM + 1 }, (_, k) => {
    const i = FROM + k;
    return (force[i + HALF] - 2 * force[i] + force[i - HALF]) / HALF ** 2;
  });
}

const meanOf = (curves: readonly (readonly number[])[]): number[] =>
  curves[0].map((_, i) => curves.reduce((sum, curve) => sum + curve[i], 0) / curves.length);

/**
 * The adults' mean curve of each condition, beside the mean of the model's curves for the same trials, and
 * the children's of each speed.
 */
export function compareBends(adults: readonly Trial[], children: readonly SpeedGroup[]): Bend[] {
  const conditions = ['self-selected', 'fast'] as const;
  const ofAdults = conditions.map((name) => {
    const some = adults.filter(({ condition }) => condition === name);
    return {
      name: `adults, ${name}`,
      model: bendsOf(meanOf(some.map((trial) => footOverStance(planTrial(trial), 100).vertical))),
      measured: bendsOf(meanOf(some.flatMap(({ steps }) => steps.map(({ vertical }) => vertical)))),
    };
  });
  const ofChildren = children.map((group) => ({
    name: `children, ${group.name.toLowerCase()}`,
    model: bendsOf(footOverStance(planAt(group.speed, group.stepLength), 100).vertical),
    measured: bendsOf(stanceOf(group).vertical.filter((_, i) => i % 2 === 0)),
  }));
  return [...ofAdults, ...ofChildren];
}

/** A foot's slopes on the way up to F1 and from F3 down, in BW per % of stance; both are positive where nothing stops. */
export interface Slopes {
  readonly rise: readonly number[];
  readonly fall: readonly number[];
}

/**
 * Slopes over each % of stance from 5 % up to 3 % before F1, and backwards from 95 % to 3 % after F3, of a
 * curve at even fractions of stance, a multiple of 100 of them. F1 is looked for from 17 % and F3 up to 81 %
 * of stance: whatever stands higher beyond is where double support ends, not a hump.
 *
 * @param every - samples from one slope to the next; left out is a whole % of stance
 */
export function slopesOf(force: readonly number[], every = (force.length - 1) / 100): Slopes {
  const step = (force.length - 1) / 100;
  const highest = (from: number, to: number): number => {
    let best = from * step;
    for (let i = best; i <= to * step; i++) if (force[i] > force[best]) best = i;
    return best;
  };
  const [first, second] = [highest(17, 50), highest(50, 81)];
  const [rise, fall]: number[][] = [[], []];
  for (let i = 5 * step; i < first - 3 * step; i += every) rise.push(force[i + step] - force[i]);
  for (let i = 95 * step; i > second + 3 * step; i -= every) fall.push(force[i - step] - force[i]);
  return { rise, fall };
}
