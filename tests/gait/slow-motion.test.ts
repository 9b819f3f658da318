import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { evaluateSeries, type Series } from '../../src/curves/index.js';
import { planWalk, sampleReactions } from '../../src/gait/index.js';
import { slowMotion } from '../../src/gait/slow-motion.js';
import { assertClose } from '../support/assert-close.js';
import { walkSpecs } from '../support/walk-specs.js';

const range = (series: Series): number => {
  const values = Array.from(
    { length: 1000 },
    (_, i) => evaluateSeries(series, (i / 1000) * series.period).value,
  );
  return Math.max(...values) - Math.min(...values);
};

const factors = fc.double({ min: 0.1, max: 4, noNaN: true });

describe('slowMotion', () => {
  it('shows the motion whose acceleration its implied load is, under the walk’s own gravity', () => {
    fc.assert(
      fc.property(walkSpecs, factors, fc.double({ min: 0, max: 1, noNaN: true }), (spec, factor, phase) => {
        const walk = planWalk(spec);
        const footage = slowMotion(walk, factor);
        const t = phase * footage.strideTime;
        // Second difference of the screen path, not its own derivative.
        const h = 1e-4 * footage.strideTime;
        const z = (at: number): number => evaluateSeries(footage.centre.height, at).value;
        const bend = (z(t - h) - 2 * z(t) + z(t + h)) / (h * h);
        const load = 1 + bend / walk.gravity;
        const implied = evaluateSeries(footage.impliedLoad, t).value;
        const size = factor ** 2 * (1 + range(walk.total.vertical));
        const rounding = (4e-16 * walk.body.stature) / (h * h * walk.gravity);
        assertClose(implied, load, { abs: 1e-3 * size + 10 * rounding });
      }),
      { numRuns: 200 },
    );
  });

  it('implies 1 + factor² (load − 1) of the load that was measured while filming', () => {
    const walk = planWalk({ pace: 'ordinary' });
    const { total, phase } = sampleReactions(walk, { samples: 60 });
    for (const factor of [0.25, 0.5, 1, 2]) {
      const footage = slowMotion(walk, factor);
      phase.forEach((p, i) => {
        const t = p * footage.strideTime;
        assertClose(evaluateSeries(footage.filmedLoad, t).value, total.vertical[i], { abs: 1e-12 });
        const implied = evaluateSeries(footage.impliedLoad, t).value;
        assertClose(implied, 1 + factor ** 2 * (total.vertical[i] - 1), { abs: 1e-12 });
      });
    }
  });

  it('changes nothing at factor 1, and undoes itself', () => {
    const walk = planWalk({ pace: 'brisk' });
    const same = slowMotion(walk, 1);
    expect(same.centre).toEqual(walk.centre);
    expect(range(same.impliedLoad)).toBe(range(walk.total.vertical));
    expect(same.apparentGravity).toBe(walk.gravity);
  });

  it('is not a slow walk: that one steps shorter and sooner, bobs less and loads the floor more evenly', () => {
    // Common practice, no source: a slow walk keeps gravity and flattens bob and load; footage played slowly
    // keeps the load's shape and stretches gravity.
    for (const factor of [0.4, 0.5, 0.7]) {
      const filmed = planWalk({ pace: { speed: 1.28 } });
      const slowed = slowMotion(filmed, factor);
      const slow = planWalk({ pace: { speed: 1.28 * factor } });
      assertClose(slowed.speed, slow.pace.speed, { abs: 1e-12 });
      expect(slow.pace.stepLength).toBeLessThan(filmed.pace.stepLength);
      expect(slow.pace.strideTime).toBeLessThan(slowed.strideTime);
      expect(range(slow.centre.height)).toBeLessThan(0.85 * slowed.bob);
      expect(range(slow.total.vertical)).toBeLessThan(0.85 * range(slowed.filmedLoad));
      expect(slow.stance.left.fraction).toBeGreaterThan(filmed.stance.left.fraction);
      assertClose(slowed.apparentGravity, filmed.gravity * factor ** 2, { rel: 1e-12 });
    }
  });

  it('is what a walk of another size looks like: nine times the size is footage at a third of the speed', () => {
    const small = slowMotion(planWalk({ pace: 'ordinary', body: { legLength: 0.9 } }), 1 / 3);
    const giant = planWalk({ pace: 'ordinary', body: { legLength: 8.1 } });
    assertClose(small.strideTime, giant.pace.strideTime, { rel: 1e-12 });
    assertClose(9 * small.bob, range(giant.centre.height), { rel: 1e-4 });
    assertClose(range(small.filmedLoad), range(giant.total.vertical), { rel: 1e-9 });
  });

  it('refuses bad input by name', () => {
    const walk = planWalk({ pace: 'slow' });
    expect(() => slowMotion(walk, 0)).toThrow('slowMotion: factor must be in [0.001, 1000], got 0');
    expect(() => slowMotion(walk, '1' as never)).toThrow(TypeError);
  });
});
