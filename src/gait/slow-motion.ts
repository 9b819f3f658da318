import type { Series } from '../curves/series.js';
import { seriesExtremes } from '../curves/series-extremes.js';
import { requireNumber } from '../internal/check.js';
import { requireWalk } from './motion.js';
import type { Channels, Walk } from './walk.js';

/** Footage of a walk played at another speed. */
export interface SlowMotion {
  /** Speed of playing over real speed. */
  readonly factor: number;
  /** Duration of a stride on the screen, in s. */
  readonly strideTime: number;
  /** Speed on the screen, in m/s. */
  readonly speed: number;
  /** Path of the centre of mass on the screen, in m over s. */
  readonly centre: Channels<Series>;
  /** Rise and fall of the centre of mass in m, the same at any speed of playing. */
  readonly bob: number;
  /** Load that was there when it was filmed, in BW over screen time: what cloth and flesh still show. */
  readonly filmedLoad: Series;
  /** Load that the motion on the screen speaks of under the walk's own gravity, in BW over screen time. */
  readonly impliedLoad: Series;
  /** Gravity in m/s² under which the filmed load and the motion on the screen would agree. */
  readonly apparentGravity: number;
}

/**
 * A walk as footage played faster or slower: its path and loads over screen time, in m and BW.
 *
 * Played at a fraction of its speed, every acceleration shrinks with the square of it and nothing else
 * changes: the bob stays, and the load that an eye infers is 1 + factor² (load − 1). Exact.
 *
 * @param motion - a planned walk
 * @param factor - speed of playing over real speed, in [0.001, 1000]; 0.5 is half speed
 * @returns the retimed series; none of them is what a person walking that slowly would do
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planWalk, slowMotion } from 'underfoot';
 *
 * const walk = planWalk({ pace: 'ordinary' });
 * const footage = slowMotion(walk, 0.5);
 * console.log(footage.strideTime / walk.pace.strideTime); // → 2
 * console.log(footage.apparentGravity / walk.gravity); // → 0.25
 * ```
 */
export function slowMotion(motion: Walk, factor: number): SlowMotion {
  const where = 'slowMotion';
  const walk = requireWalk(where, motion);
  requireNumber(where, 'factor', factor, { min: 0.001, max: 1000 });
  const { height, forward, side } = walk.centre;
  const retime = (series: Series): Series => ({ ...series, period: series.period / factor });
  const square = factor * factor;
  const load = retime(walk.total.vertical);
  return {
    factor,
    strideTime: walk.pace.strideTime / factor,
    speed: walk.pace.speed * factor,
    centre: { height: retime(height), forward: retime(forward), side: retime(side) },
    bob: rangeOf(height),
    filmedLoad: load,
    impliedLoad: {
      ...load,
      mean: 1 + square * (load.mean - 1),
      cos: load.cos.map((x) => square * x),
      sin: load.sin.map((x) => square * x),
    },
    apparentGravity: walk.gravity * square,
  };
}

function rangeOf(series: Series): number {
  const values = seriesExtremes(series).map(({ value }) => value);
  return values.length === 0 ? 0 : Math.max(...values) - Math.min(...values);
}
