import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { evaluateSeries, type Series } from '../../src/curves/index.js';
import { keyRoot, planWalk, rootMotion, type WalkSpec } from '../../src/gait/index.js';
import { estimateGravity, estimateTimeScale, type SampledPath } from '../../src/weigh/index.js';
import { assertClose } from '../support/assert-close.js';
import { stretched } from './truth-cases.js';

/** Half-width asked for where the walk obeys the default law. */
const DEFAULT_LAW = { rel: 0.03 };

/** A series on even samples, played at a speed. */
function played(series: Series, speed: number, samples = 48): SampledPath {
  const period = series.period / speed;
  const at = (i: number): number => (i / samples) * series.period;
  const indices = Array.from({ length: samples }, (_, i) => i);
  return {
    times: indices.map((i) => (i / samples) * period),
    values: indices.map((i) => evaluateSeries(series, at(i)).value),
    period,
    gain: series.drift,
  };
}

function estimate(spec: WalkSpec, speed: number, of: 'root' | 'centreOfMass' = 'root') {
  const { height, forward } = rootMotion(planWalk(spec), { of });
  return estimateTimeScale(
    { height: played(height, speed), forward: played(forward, speed) },
    { body: spec.body!, gravity: spec.gravity },
  );
}

const body = { legLength: 0.9 };

describe('the time scale of a walk of the default law', () => {
  it('is found at 0.25 to 1.5 speed, from slow to brisk, for root and centre of mass', () => {
    for (const pace of ['slow', 'ordinary', 'brisk', { speed: 0.6 }, { speed: 1.9 }] as const) {
      for (const of of ['root', 'centreOfMass'] as const) {
        for (const speed of [0.25, 0.42, 0.7, 1, 1.5]) {
          const found = estimate({ pace, body }, speed, of);
          if (!found.told) return expect.fail(found.text);
          assertClose(found.speed.value, speed, DEFAULT_LAW);
          assertClose(found.gravity.value, 9.80665 * speed * speed, { rel: 0.06 });
        }
      }
    }
  });

  it('is found off keyed curves too', () => {
    const keyed = keyRoot(planWalk({ pace: 'ordinary', body }), { fps: 24, of: 'root', wholeFrames: false });
    const found = estimateTimeScale(
      { height: stretched(keyed.height, 2), forward: stretched(keyed.forward, 2) },
      { body },
    );
    if (!found.told) return expect.fail(found.text);
    assertClose(found.speed.value, 0.5, DEFAULT_LAW);
  });

  it('is the size of the body where time is trusted', () => {
    // A walk of legs of 1.8 m, weighed as somebody's of 0.9 m.
    const found = estimate({ pace: { speed: 1.81 }, body: { legLength: 1.8 } }, 1);
    if (!found.told) return expect.fail(found.text);
    assertClose(found.legLength.value, 1.8, DEFAULT_LAW);
  });

  it('says what it reads as', () => {
    const text = (spec: WalkSpec, speed: number): string => estimate(spec, speed).text;
    expect(text({ pace: 'ordinary', body }, 0.42)).toBe(
      'This reads as ordinary walking played at 0.42 speed.',
    );
    expect(text({ pace: 'slow', body }, 1)).toBe('This reads as a slow walk in real time.');
    expect(text({ pace: 'brisk', body }, 1)).toBe('This reads as a brisk walk in real time.');
  });
});

describe('where step and rate are set apart', () => {
  it('the interval holds the truth in at least 95 % of 500 walks', () => {
    let [inside, told] = [0, 0];
    const cases = fc.sample(
      fc.record({
        leg: fc.double({ min: 0.45, max: 1.6, noNaN: true }),
        v: fc.double({ min: 0.2, max: 0.65, noNaN: true }),
        // Steps up to a quarter longer or shorter than the law's.
        factor: fc.double({ min: 0.8, max: 1.25, noNaN: true }),
        speed: fc.double({ min: 0.25, max: 1.5, noNaN: true }),
      }),
      { numRuns: 500, seed: 20260417 },
    );
    for (const { leg, v, factor, speed } of cases) {
      const pace = { speed: v * Math.sqrt(9.80665 * leg) };
      const found = estimate({ pace, stepFactor: 1.12 * factor, body: { legLength: leg } }, speed);
      if (!found.told) continue;
      told++;
      if (found.speed.low <= speed && speed <= found.speed.high) inside++;
    }
    expect(told).toBeGreaterThan(475);
    expect(inside / told).toBeGreaterThanOrEqual(0.95);
  });
});

describe('what cannot be told', () => {
  const { height, forward } = rootMotion(planWalk({ pace: 'ordinary', body }));

  it('is refused without a body, and without travel or a step', () => {
    const curves = { height: played(height, 1), forward: played(forward, 1) };
    expect(estimateTimeScale(curves, { body: {} })).toMatchObject({ told: false });
    const alone = estimateTimeScale({ height: curves.height }, { body });
    expect(alone).toMatchObject({ told: false });
    expect(alone.text).toContain('The rise and fall alone carries no time');
  });

  it('is told from the step alone with a wider interval', () => {
    const found = estimateTimeScale({ height: played(height, 0.5) }, { body, stepLength: forward.drift / 2 });
    if (!found.told) return expect.fail(found.text);
    expect(found.from).toBe('step');
    assertClose(found.speed.value, 0.5, DEFAULT_LAW);
    expect(found.speed.high / found.speed.low).toBeGreaterThan(1.5);
  });

  it('is refused where nobody walks so', () => {
    const found = estimateTimeScale({ height: played(height, 1) }, { body, stepLength: 5 });
    expect(found).toMatchObject({ told: false });
  });

  it('is refused as bad input where there is no cycle', () => {
    const open = { times: [0, 1, 2, 3], values: [0, 1, 0, 1] };
    expect(() => estimateTimeScale({ height: open }, { body })).toThrow(
      'estimateTimeScale: height.period must be',
    );
  });
});

describe('the gravity of a flight', () => {
  it('is found within 1 % on twos, for any leap', () => {
    const one = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    fc.assert(
      fc.property(one(1, 30), one(-5, 5), one(0, 3), fc.integer({ min: 4, max: 40 }), (g, v, z, n) => {
        const times = Array.from({ length: n }, (_, i) => i / 12);
        const values = times.map((t) => z + v * t - (g / 2) * t * t);
        const found = estimateGravity({ times, values });
        assertClose(found.gravity.value, g, { rel: 0.01 });
        expect(found.residual).toBeLessThan(1e-9);
      }),
    );
  });

  it('is within 1 % where the values are rounded to a tenth of a millimetre', () => {
    const times = Array.from({ length: 9 }, (_, i) => i / 12);
    const values = times.map((t) => Math.round(1e4 * (1 + 3 * t - 4.903325 * t * t)) / 1e4);
    const { gravity } = estimateGravity({ times, values });
    assertClose(gravity.value, 9.80665, { rel: 0.01 });
    expect(gravity.low).toBeLessThanOrEqual(9.80665);
    expect(gravity.high).toBeGreaterThanOrEqual(9.80665);
  });

  it('needs four samples', () => {
    const path = { times: [0, 1, 2, 3], values: [0, 1, 1, 0] };
    expect(() => estimateGravity(path, { from: 0.5 })).toThrow(
      'height must have at least 4 samples in the flight, got 3',
    );
  });
});
