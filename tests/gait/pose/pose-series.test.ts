import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { evaluateSeries, type Series } from '../../../src/curves/index.js';
import { planWalk, rootAt, type Walk, type WalkSpec } from '../../../src/gait/index.js';
import { poseSeries } from '../../../src/gait/pose/index.js';
import { assertClose } from '../../support/assert-close.js';
import { evenSpecs, walkSpecs } from '../../support/walk-specs.js';

const DEGREE = Math.PI / 180;
const STILL = { chest: 0, arms: 0, elbows: 0, head: 0 };

const at = (series: Series, phase: number): number => evaluateSeries(series, phase * series.period).value;
const phases = Array.from({ length: 720 }, (_, i) => i / 720);
const range = (series: Series): number => {
  const values = phases.map((phase) => at(series, phase));
  return Math.max(...values) - Math.min(...values);
};
const highest = (series: Series): number =>
  phases.reduce((best, phase) => (at(series, phase) > at(series, best) ? phase : best), 0);
/** Distance of two phases round the stride. */
const apart = (a: number, b: number): number => Math.abs(a - b - Math.round(a - b));
const turning = (walk: Walk): Series[] => {
  const { pelvis, chest, head, arms } = poseSeries(walk);
  return [pelvis, chest, head, arms.left, arms.right].flatMap((part) => Object.values(part) as Series[]);
};

describe('poseSeries', () => {
  it('lists and turns the pelvis as published, at all five speeds', () => {
    // Schwartz, Rozumalski & Trost 2008, table: dimensionless speed, list, range of rotation in degrees.
    const table = [
      [0.172, 3.0, 13],
      [0.29, 3.4, 12],
      [0.429, 4.4, 12],
      [0.56, 5.5, 15],
      [0.694, 6.4, 19],
    ];
    for (const [speed, list, rotation] of table) {
      const walk = planWalk({ pace: { speed: speed * Math.sqrt(9.80665 * 0.9) } });
      const { pelvis } = poseSeries(walk);
      // Half the table's rounding, and what a parabola leaves of five points.
      assertClose(range(pelvis.roll) / 2 / DEGREE, list, { abs: 0.2 });
      assertClose(range(pelvis.heading) / DEGREE, rotation, { abs: 0.5 });
    }
  });

  it('drops the pelvis on the side that swings and turns it with the leg that reaches forwards', () => {
    for (const firstFoot of ['left', 'right'] as const) {
      const walk = planWalk({ pace: 'ordinary', firstFoot });
      const { pelvis } = poseSeries(walk);
      const { left, right } = walk.stance;
      // Middle of right single support: the left side hangs, roll (left side up) is negative.
      expect(at(pelvis.roll, right.contact + 0.25)).toBeLessThan(-2 * DEGREE);
      expect(at(pelvis.roll, left.contact + 0.25)).toBeGreaterThan(2 * DEGREE);
      // The right foot lands in front: the right hip is ahead, which is turned left.
      expect(at(pelvis.heading, right.contact)).toBeGreaterThan(5 * DEGREE);
      expect(at(pelvis.heading, left.contact)).toBeLessThan(-5 * DEGREE);
    }
  });

  it('turns the chest against the pelvis', () => {
    const { pelvis, chest } = poseSeries(planWalk({ pace: 'ordinary' }), { delays: STILL });
    assertClose(apart(highest(chest.heading), highest(pelvis.heading)), 0.5, { abs: 0.01 });
    expect(range(chest.heading)).toBeLessThan(range(pelvis.heading));
    const late = poseSeries(planWalk({ pace: 'ordinary' }), { delays: { chest: 0.1 } });
    assertClose(apart(highest(late.chest.heading), highest(chest.heading)), 0.1, { abs: 0.01 });
  });

  it('swings each arm with the opposite leg, elbow later, further the faster', () => {
    const walk = planWalk({ pace: 'ordinary' });
    const { arms } = poseSeries(walk, { delays: STILL });
    // The hand is forwards (pitch lowest) as the other foot lands.
    const forwards = (series: Series): number => (highest(series) + 0.5) % 1;
    assertClose(apart(forwards(arms.right.pitch), walk.stance.left.contact), 0, { abs: 0.01 });
    assertClose(apart(forwards(arms.left.pitch), walk.stance.right.contact), 0, { abs: 0.01 });
    const delayed = poseSeries(walk).arms.right;
    assertClose(apart(highest(delayed.elbow), forwards(delayed.pitch)), 0.06, { abs: 0.01 });
    const swing = (pace: WalkSpec['pace']): number => range(poseSeries(planWalk({ pace })).arms.left.pitch);
    expect(swing('slow')).toBeLessThan(swing('ordinary'));
    expect(swing('ordinary')).toBeLessThan(swing('brisk'));
    // About 32 degrees from end to end at an ordinary pace; memory, after Murray.
    assertClose(swing('ordinary') / DEGREE, 32, { abs: 2 });
  });

  it('never bends an elbow backwards', () => {
    fc.assert(
      fc.property(walkSpecs, (spec) => {
        const { arms } = poseSeries(planWalk(spec));
        for (const { elbow } of [arms.left, arms.right]) {
          for (const phase of phases) expect(at(elbow, phase)).toBeGreaterThan(0);
        }
      }),
      { numRuns: 40 },
    );
  });

  it('nods against the bob, so that the face stays on one spot in front', () => {
    const walk = planWalk({ pace: 'brisk' });
    const { head } = poseSeries(walk);
    const spot = (phase: number): number => {
      const t = phase * walk.pace.strideTime;
      const high = rootAt(walk, t, { of: 'root' }).height.value;
      return high - Math.tan(at(head.pitch, phase)) * 0.75 * walk.body.stature;
    };
    const spots = phases.map(spot);
    // What is left of a bob of some 4 cm is the difference of angle and tangent: microns.
    expect(Math.max(...spots) - Math.min(...spots)).toBeLessThan(1e-4);
  });

  it('stills the arms that hold a load and the head that carries one, and leans the chest', () => {
    const of = (where: 'front' | 'left' | 'head' | 'back') =>
      poseSeries(planWalk({ pace: 'ordinary', carry: { mass: 12, where } }));
    const free = range(of('back').arms.left.pitch);
    expect(range(of('front').arms.left.pitch)).toBeLessThan(0.2 * free);
    expect(range(of('left').arms.left.pitch)).toBeLessThan(0.5 * free);
    assertClose(range(of('left').arms.right.pitch), free, { rel: 1e-9 });
    expect(range(of('head').head.pitch)).toBe(0);
    const { chest } = of('back');
    expect(chest.pitch.mean).toBeGreaterThan(0);
    expect(of('left').chest.roll.mean).toBeGreaterThan(0);
  });

  it('mirrors left and right by half a stride where the steps are even', () => {
    fc.assert(
      fc.property(evenSpecs, fc.double({ min: 0, max: 1, noNaN: true }), (spec, phase) => {
        const { carry: _, ...rest } = spec;
        const { pelvis, arms } = poseSeries(planWalk(rest));
        assertClose(at(pelvis.roll, phase), -at(pelvis.roll, phase + 0.5), { abs: 1e-12 });
        assertClose(at(pelvis.heading, phase), -at(pelvis.heading, phase + 0.5), { abs: 1e-12 });
        assertClose(at(pelvis.pitch, phase), at(pelvis.pitch, phase + 0.5), { abs: 1e-12 });
        assertClose(at(arms.left.pitch, phase), at(arms.right.pitch, phase + 0.5), { abs: 1e-12 });
      }),
      { numRuns: 200 },
    );
  });

  it('keeps step with unequal steps', () => {
    const walk = planWalk({ pace: 'ordinary', uneven: { left: { stepTime: 1.1 } } });
    const { pelvis } = poseSeries(walk);
    assertClose(apart(highest(pelvis.heading), walk.stance.right.contact), 0, { abs: 0.03 });
    const lowest = phases.reduce(
      (best, p) => (at(pelvis.heading, p) < at(pelvis.heading, best) ? p : best),
      0,
    );
    assertClose(apart(lowest, walk.stance.left.contact), 0, { abs: 0.03 });
  });

  it('changes smoothly with speed, and not at all beyond the measured ones', () => {
    const list = (speed: number): number => {
      const { roll } = poseSeries(planWalk({ pace: { speed } })).pelvis;
      return Math.hypot(roll.cos[0], roll.sin[0]);
    };
    for (let v = 0.6; v < 2; v += 0.05) {
      const bend = list(v - 0.01) - 2 * list(v) + list(v + 0.01);
      expect(Math.abs(bend)).toBeLessThan(1e-5);
    }
    expect(list(0.1)).toBe(list(0.3));
    expect(list(2.3)).toBe(list(3));
  });

  it('gives finite series of the stride’s period for any walk, and refuses bad delays', () => {
    fc.assert(
      fc.property(walkSpecs, (spec) => {
        const walk = planWalk(spec);
        for (const series of turning(walk)) {
          expect(series.period).toBe(walk.pace.strideTime);
          expect([series.mean, ...series.cos, ...series.sin].every(Number.isFinite)).toBe(true);
          expect(series.cos.length).toBe(series.sin.length);
        }
      }),
      { numRuns: 100 },
    );
    const walk = planWalk({ pace: 'slow' });
    expect(() => poseSeries(walk, { delays: { arms: 2 } })).toThrow(
      'poseSeries: delays.arms must be in [-0.5, 0.5], got 2',
    );
    expect(() => poseSeries(walk, { delays: { legs: 0 } } as never)).toThrow(
      /delays must have no fields but/,
    );
  });
});
