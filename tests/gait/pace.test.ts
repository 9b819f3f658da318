import { describe, expect, it } from 'vitest';
import { planWalk, stanceFractionFor, stepLengthFor } from '../../src/gait/index.js';
import { assertClose } from '../support/assert-close.js';

/** Rounding of a handful of operations. */
const EXACT = { rel: 1e-12 };
const LEG = 0.9;

describe('pace', () => {
  it('completes any two of speed, stride length and stride rate', () => {
    const bySpeedAndLength = planWalk({ pace: { speed: 1.2, strideLength: 1.5 } }).pace;
    const bySpeedAndRate = planWalk({ pace: { speed: 1.2, strideRate: 0.8 } }).pace;
    const byLengthAndRate = planWalk({ pace: { strideLength: 1.5, strideRate: 0.8 } }).pace;
    for (const pace of [bySpeedAndLength, bySpeedAndRate, byLengthAndRate]) {
      assertClose(pace.speed, 1.2, EXACT);
      assertClose(pace.strideLength, 1.5, EXACT);
      assertClose(pace.strideRate, 0.8, EXACT);
      assertClose(pace.stepTime, 0.625, EXACT);
      assertClose(pace.stepLength, 0.75, EXACT);
    }
  });

  it('finds the same walk from any one of the three', () => {
    const { speed, strideLength, strideRate } = planWalk({ pace: { speed: 1.3 } }).pace;
    assertClose(planWalk({ pace: { strideLength } }).pace.speed, speed, EXACT);
    assertClose(planWalk({ pace: { strideRate } }).pace.speed, speed, EXACT);
    assertClose(planWalk({ pace: { strideRate } }).pace.strideLength, strideLength, EXACT);
  });

  it('counts steps in frames: 12 frames a step of 0.72 m at 24 fps is 1.44 m/s', () => {
    // common practice, no source
    const { pace } = planWalk({ pace: { framesPerStep: 12, fps: 24, strideLength: 1.44 } });
    assertClose(pace.speed, 1.44, EXACT);
    assertClose(pace.stepTime, 0.5, EXACT);
  });

  it('accepts three values that agree', () => {
    const { pace } = planWalk({ pace: { speed: 1.2, strideLength: 1.5, strideRate: 0.8 } });
    assertClose(pace.speed, 1.2, EXACT);
  });

  it('means 0.86, 1.28 and 1.66 m/s by slow, ordinary and brisk at a leg of 0.90 m', () => {
    const speeds = (['slow', 'ordinary', 'brisk'] as const).map((pace) => planWalk({ pace }).pace.speed);
    assertClose(speeds[0], 0.86, EXACT);
    assertClose(speeds[1], 1.28, EXACT);
    assertClose(speeds[2], 1.66, EXACT);
  });

  it('walks ten times the size at √10 times the time: 12 frames become 38', () => {
    // common practice, no source: time goes with the square root of size
    const small = planWalk({ pace: 'ordinary', body: { legLength: LEG } });
    const large = planWalk({ pace: 'ordinary', body: { legLength: 10 * LEG } });
    const ratio = large.pace.stepTime / small.pace.stepTime;
    assertClose(ratio, Math.sqrt(10), EXACT);
    expect(Math.round(12 * ratio)).toBe(38);
  });

  it('walks on the Moon 2.46 times as slowly', () => {
    // common practice, no source; Moon 1.62 m/s² from memory
    const earth = planWalk({ pace: 'ordinary' });
    const moon = planWalk({ pace: 'ordinary', gravity: 1.62 });
    assertClose(moon.pace.stepTime / earth.pace.stepTime, 2.46, { abs: 0.005 });
  });

  it('takes the leg as 0.53 of the stature where only that is given', () => {
    assertClose(planWalk({ pace: 'slow', body: { stature: 1.8 } }).body.legLength, 0.954, EXACT);
  });
});

describe('step length law', () => {
  // Each population's factor k in s/L = k v*^0.43, from `pace.ts`, against that population's own figures.
  it('gives the children of Schwartz et al. 2008 (table) with one number, 1.085', () => {
    const measured = [
      [0.29, 0.64],
      [0.429, 0.76],
      [0.56, 0.85],
      [0.694, 0.922],
    ];
    // 1.5 % covers the table's own rounding and the exponent's 0.428.
    for (const [v, step] of measured)
      assertClose(stepLengthFor(v, 1, 1.085), step, { rel: 0.015 }, `v* ${v}`);
  });

  it('lies by default within the populations, 1.02 to 1.16', () => {
    for (const v of [0.2, 0.43, 0.7]) {
      const step = stepLengthFor(v, LEG);
      expect(step).toBeGreaterThan(stepLengthFor(v, LEG, 1.02));
      expect(step).toBeLessThan(stepLengthFor(v, LEG, 1.16));
    }
  });
});

describe('stance fraction law', () => {
  it('agrees with Kirtley, Whittle & Jefferson 1985 (64.2 − 3.5 v, adult legs) from slow walking up', () => {
    // 0.104 is 3.5 % × √(9.80665 × 0.90) m/s, rounded: 0.0001 per v*.
    for (const speed of [0.9, 1.28, 1.66]) {
      const v = speed / Math.sqrt(9.80665 * 0.9);
      assertClose(stanceFractionFor(v), 0.642 - 0.035 * speed, { abs: 2e-4 });
    }
  });

  it('agrees with the stance of Schwartz et al. 2008 (table) within 1.5 % of the stride', () => {
    const measured = [
      [0.172, 0.68],
      [0.29, 0.62],
      [0.429, 0.59],
      [0.56, 0.58],
      [0.694, 0.56],
    ];
    for (const [v, stance] of measured) assertClose(stanceFractionFor(v), stance, { abs: 0.015 }, `v* ${v}`);
  });

  it('falls without a step or a kink as the speed rises', () => {
    let [before, slopeBefore] = [stanceFractionFor(0.1), 0];
    for (let v = 0.101; v < 1; v += 0.001) {
      const now = stanceFractionFor(v);
      const slope = (now - before) / 0.001;
      expect(now).toBeLessThanOrEqual(before);
      // The steepest bend of the cubic between 0.17 and 0.29 changes the slope by 0.05 in a thousandth.
      if (v < 0.9) expect(Math.abs(slope - slopeBefore)).toBeLessThan(0.06);
      [before, slopeBefore] = [now, slope];
    }
  });
});
