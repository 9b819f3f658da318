import { describe, expect, it } from 'vitest';
import { seriesExtremes } from '../../src/curves/series-extremes.js';
import { planWalk, reactionsAt, rootMotion, sampleReactions, type Walk } from '../../src/gait/index.js';
import { assertClose } from '../support/assert-close.js';

/**
 * Schwartz, Rozumalski & Trost 2008, table: dimensionless speed, step length over leg length, stance, then
 * mean and standard deviation of F1, F2, F3, braking and propulsion in BW.
 */
const TABLE = [
  [0.172, 0.51, 0.68, [1.007, 0.083], [0.937, 0.075], [1.023, 0.084], [0.083, 0.02], [0.092, 0.022]],
  [0.29, 0.64, 0.62, [1.029, 0.074], [0.89, 0.063], [1.051, 0.074], [0.117, 0.025], [0.135, 0.019]],
  [0.429, 0.76, 0.59, [1.135, 0.111], [0.778, 0.07], [1.097, 0.089], [0.175, 0.041], [0.198, 0.027]],
  [0.56, 0.85, 0.58, [1.267, 0.15], [0.64, 0.115], [1.146, 0.119], [0.227, 0.047], [0.24, 0.038]],
  [0.694, 0.922, 0.56, [1.424, 0.209], [0.525, 0.136], [1.172, 0.147], [0.276, 0.062], [0.255, 0.038]],
] as const;

const GRAVITY = 9.80665;
const LEG = 0.9;

/** Peaks of the right foot's force over its stance, with their places in % of stance. */
function peaksOf(walk: Walk) {
  const count = 1000;
  const stance = walk.stance.right.fraction * walk.pace.strideTime;
  const forces = Array.from({ length: count + 1 }, (_, i) => reactionsAt(walk, (i / count) * stance).right);
  const pick = (
    from: number,
    to: number,
    part: 'vertical' | 'forward',
    sign: number,
  ): { value: number; at: number } => {
    let best = from;
    for (let i = from; i <= to; i++) if (sign * (forces[i][part] - forces[best][part]) > 0) best = i;
    return { value: forces[best][part], at: (100 * best) / count };
  };
  const first = pick(0, count / 2, 'vertical', 1);
  const second = pick(count / 2, count, 'vertical', 1);
  const valley = pick(first.at * (count / 100), second.at * (count / 100), 'vertical', -1);
  const brake = pick(0, count / 2, 'forward', -1);
  const propulsion = pick(count / 2, count, 'forward', 1);
  return { first, valley, second, brake, propulsion };
}

function walkAt(v: number, step: number): Walk {
  const speed = v * Math.sqrt(GRAVITY * LEG);
  return planWalk({ pace: { speed, strideLength: 2 * step * LEG }, body: { legLength: LEG } });
}

describe('reaction forces beside published ones', () => {
  it.each(TABLE)(
    'at v* %f lie within one standard deviation of Schwartz et al. 2008',
    (v, step, stance, ...rows) => {
      const walk = walkAt(v, step);
      const { first, valley, second, brake, propulsion } = peaksOf(walk);
      const values = [first.value, valley.value, second.value, -brake.value, propulsion.value];
      rows.forEach(([mean, sd], i) => {
        assertClose(values[i], mean, { abs: sd }, ['F1', 'F2', 'F3', 'braking', 'propulsion'][i]);
        // The middle three speeds are held to a closer bound.
        if (v > 0.2 && v < 0.6) assertClose(values[i], mean, { abs: 0.05 });
      });
      assertClose(walk.stance.right.fraction, stance, { abs: 0.015 }, 'stance');
    },
  );

  it.each(TABLE.slice(1))(
    'at v* %f peak within four hundredths of stance of the measured times',
    (v, step) => {
      // Times of F1, F2, F3: the fits of Schreiber & Moissenet 2019, whose leg is 0.47 of stature, not 0.53;
      // of braking and propulsion: 17 and 88 % (Schwartz et al. 2008).
      const theirs = v * Math.sqrt(0.53 / 0.47);
      const { first, valley, second, brake, propulsion } = peaksOf(walkAt(v, step));
      assertClose(first.at, 30 - 11.8 * theirs, { abs: 4 }, 't1');
      if (v < 0.6) assertClose(valley.at, 40.4 + 15.4 * theirs, { abs: 4 }, 't2');
      assertClose(second.at, 75 + 6.3 * theirs, { abs: 4 }, 't3');
      assertClose(brake.at, 17, { abs: 4 }, 'braking');
      assertClose(propulsion.at, 88, { abs: 4 }, 'propulsion');
    },
  );

  // A known miss: the valley is flat there and lies at 47.3 % of stance, 4.4 % before the measured time.
  it.fails('at v* 0.694 have their valley within four hundredths of stance of the measured time', () => {
    const { valley } = peaksOf(walkAt(0.694, 0.922));
    assertClose(valley.at, 40.4 + 15.4 * 0.694 * Math.sqrt(0.53 / 0.47), { abs: 4 }, 't2');
  });

  it('of the ordinary walk lie within 0.08 BW of the table, the bob between 2.5 and 4.5 cm', () => {
    const walk = planWalk({ pace: { speed: 1.28 }, body: { legLength: LEG } });
    const { first, valley, second } = peaksOf(walk);
    assertClose(first.value, 1.135, { abs: 0.08 }, 'F1');
    assertClose(valley.value, 0.778, { abs: 0.08 }, 'F2');
    assertClose(second.value, 1.097, { abs: 0.08 }, 'F3');
    const heights = seriesExtremes(rootMotion(walk).height).map(({ value }) => value);
    const bob = Math.max(...heights) - Math.min(...heights);
    expect(bob).toBeGreaterThan(0.025);
    expect(bob).toBeLessThan(0.045);
  });

  it('put the centre of mass lowest at 3 to 8 % of the stride and highest at 27 to 33 %', () => {
    // Common timing of double support and passing in measured adults; the bounds asked for.
    for (const pace of ['slow', 'ordinary', 'brisk'] as const) {
      const walk = planWalk({ pace });
      const extremes = seriesExtremes(walk.centre.height).filter(({ time }) => time < walk.pace.stepTime);
      const low = extremes.reduce((a, b) => (b.value < a.value ? b : a));
      const high = extremes.reduce((a, b) => (b.value > a.value ? b : a));
      const percent = (time: number): number => (100 * time) / walk.pace.strideTime;
      assertClose(percent(low.time), 5.5, { abs: 2.5 }, `${pace} low`);
      assertClose(percent(high.time), 30, { abs: 3 }, `${pace} high`);
    }
  });

  it('keep a slow walk of 3 ft strides at two thirds of a stride a second between 0.88 and 1.12 BW', () => {
    // common practice, no source
    const FOOT = 0.3048;
    const walk = planWalk({ pace: { strideLength: 3 * FOOT, strideRate: 2 / 3 }, body: { legLength: LEG } });
    assertClose(walk.pace.speed, 2 * FOOT, { rel: 1e-12 });
    const { vertical } = sampleReactions(walk, { samples: 1000 }).total;
    expect(Math.min(...vertical)).toBeGreaterThanOrEqual(0.88);
    expect(Math.max(...vertical)).toBeLessThanOrEqual(1.12);
  });
});
