import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seriesValue } from '../../src/curves/series.js';
import { seriesExtremes } from '../../src/curves/series-extremes.js';
import { planWalk, sampleReactions, timingChart, type Walk, type WalkSpec } from '../../src/gait/index.js';
import { assertClose } from '../support/assert-close.js';
import { evenSpecs } from '../support/walk-specs.js';

const bobOf = (walk: Walk): number => {
  const values = seriesExtremes(walk.centre.height).map(({ value }) => value);
  return Math.max(...values) - Math.min(...values);
};
const swingOf = (walk: Walk): number => {
  const { vertical } = sampleReactions(walk).total;
  return Math.max(...vertical) - Math.min(...vertical);
};
/** Fraction of the stride that the centre of mass spends below the middle of its bob. */
const timeLow = (walk: Walk): number => {
  const values = seriesExtremes(walk.centre.height).map(({ value }) => value);
  const middle = (Math.max(...values) + Math.min(...values)) / 2;
  let low = 0;
  for (let i = 0; i < 4000; i++) {
    if (seriesValue(walk.centre.height, (i / 4000) * walk.pace.strideTime) < middle) low++;
  }
  return low / 4000;
};
/** Time from the lowest point to the next highest, as a fraction of the step. */
const riseTime = (walk: Walk): number => {
  const { marks } = timingChart(walk, { fps: 1000, wholeFrames: false });
  const down = marks.find(({ pose }) => pose === 'down')!;
  const up = marks.find(({ pose, phase }) => pose === 'up' && phase > down.phase)!;
  return (up.phase - down.phase) * 2;
};

const DIALS: Record<string, (value: number) => Partial<WalkSpec>> = {
  heft: (heft) => ({ heft }),
  swing: (swing) => ({ swing }),
  linger: (linger) => ({ linger }),
  recovery: (recovery) => ({ recovery }),
  poseTiming: (poseTiming) => ({ poseTiming }),
  crouch: (crouch) => ({ crouch }),
  lean: (value) => ({ lean: 0.6 * value }),
};

/** What each dial is to move, and which way it goes as the dial is turned up. */
const EFFECTS: [dial: string, effect: string, measure: (walk: Walk) => number, sign: number][] = [
  ['heft', 'stance', (walk) => walk.stance.left.fraction, 1],
  ['heft', 'double support', (walk) => 2 * walk.stance.left.fraction - 1, 1],
  ['heft', 'step length', (walk) => walk.pace.stepLength, -1],
  ['heft', 'load swing', swingOf, 1],
  ['heft', 'bob in metres', bobOf, 1],
  ['heft', 'time low', timeLow, 1],
  ['heft', 'time from low to high', riseTime, 1],
  ['swing', 'load swing', swingOf, 1],
  ['swing', 'bob in metres', bobOf, 1],
  ['linger', 'time low', timeLow, 1],
  ['recovery', 'time from low to high', riseTime, 1],
  ['poseTiming', 'phase of the low', (walk) => poseOf(walk, 'down'), 1],
  ['poseTiming', 'phase of the high', (walk) => poseOf(walk, 'up'), 1],
  ['crouch', 'height of the root', (walk) => walk.root.height, -1],
  ['crouch', 'height of the centre of mass', (walk) => walk.centre.height.mean, -1],
  ['lean', 'pitch of the trunk', (walk) => walk.lean.pitch, 1],
];

function poseOf(walk: Walk, pose: string): number {
  return timingChart(walk, { fps: 1000, wholeFrames: false }).marks.find((mark) => mark.pose === pose)!.phase;
}

const PACES = ['slow', 'ordinary', 'brisk'] as const;

describe('dials', () => {
  it.each(Object.keys(DIALS))('%s left at its neutral value changes nothing, to the bit', (dial) => {
    const neutral = dial === 'swing' ? 1 : 0;
    for (const pace of PACES) {
      const { spec: _a, ...plain } = planWalk({ pace });
      const { spec: _b, ...dialled } = planWalk({ pace, ...DIALS[dial](neutral) });
      expect(JSON.stringify(dialled)).toBe(JSON.stringify(plain));
    }
  });

  it('carrying nothing and setting no side apart change nothing, to the bit', () => {
    const { spec: _a, ...plain } = planWalk({ pace: 'ordinary' });
    const { spec: _b, ...dialled } = planWalk({
      pace: 'ordinary',
      carry: { mass: 0, where: 'back' },
      uneven: { left: { stepLength: 1, stepTime: 1 } },
    });
    expect(JSON.stringify(dialled)).toBe(JSON.stringify(plain));
  });

  it.each(EFFECTS)('%s moves the %s one way only', (dial, _effect, measure, sign) => {
    for (const pace of PACES) {
      let before = measure(planWalk({ pace, ...DIALS[dial](dial === 'swing' ? 0.25 : 0) }));
      for (let value = 0.125; value <= 1; value += 0.125) {
        const at = dial === 'swing' ? 0.25 + value : value;
        const now = measure(planWalk({ pace, ...DIALS[dial](at) }));
        expect(sign * (now - before), `${pace} at ${at}`).toBeGreaterThanOrEqual(0);
        before = now;
      }
      const start = measure(planWalk({ pace }));
      const end = measure(planWalk({ pace, ...DIALS[dial](dial === 'swing' ? 1.5 : 1) }));
      expect(sign * (end - start), pace).toBeGreaterThan(0);
    }
  });

  it('heft gives way, one by one, to what is set outright', () => {
    const heavy = planWalk({ pace: 'ordinary', heft: 1, stanceFraction: 0.6, stepFactor: 1.12 });
    expect(heavy.stance.left.fraction).toBe(0.6);
    expect(heavy.pace.stepLength).toBe(planWalk({ pace: 'ordinary' }).pace.stepLength);
    const { spec: _a, ...same } = planWalk({
      pace: 'ordinary',
      heft: 1,
      stanceFraction: planWalk({ pace: 'ordinary' }).stance.left.fraction,
      stepFactor: 1.12,
      swing: 1,
      linger: 0,
      recovery: 0,
    });
    const { spec: _b, ...plain } = planWalk({ pace: 'ordinary' });
    expect(JSON.stringify(same)).toBe(JSON.stringify(plain));
  });

  it('crouch lowers the root by 0.25 leg lengths, not below 0.4, and leaves every force as it is', () => {
    fc.assert(
      fc.property(evenSpecs, fc.double({ min: 0, max: 1, noNaN: true }), (spec, crouch) => {
        const { crouch: _unused, ...rest } = spec;
        const [tall, low] = [planWalk(rest), planWalk({ ...rest, crouch })];
        const { legLength } = tall.body;
        const lowest = Math.max(0.4 * legLength, tall.root.height - 0.25 * crouch * legLength);
        assertClose(low.root.height, lowest, { rel: 1e-12 });
        expect(low.total).toEqual(tall.total);
        expect(low.centre.forward).toEqual(tall.centre.forward);
      }),
      { numRuns: 200 },
    );
  });

  it('bob is met in metres where no foot has to pull, and held back with the factor noted where one would', () => {
    fc.assert(
      fc.property(evenSpecs, fc.double({ min: 0.0001, max: 0.5, noNaN: true }), (spec, bob) => {
        const { swing: _unused, ...rest } = spec;
        const walk = planWalk({ ...rest, bob });
        const held = walk.notes.find(({ code }) => code === 'swing-held-back');
        // The extremes are found to the last bits; the bob is a difference of heights about as large.
        assertClose(bobOf(walk), bob * (held?.values.factor ?? 1), { abs: 1e-12, rel: 1e-9 });
      }),
      { numRuns: 300 },
    );
  });

  it('a sinusoidal bob above 0.497 T² would need the feet to pull', () => {
    // common practice, no source: 2 g / (2π)² = 0.497 m/s² on Earth
    const step = 0.5;
    const limit = 0.497 * step ** 2;
    // A walk so slow that only the bob dial shapes its load has nearly the first harmonic alone.
    const pace = { speed: 1.5, strideRate: 1 };
    const below = planWalk({ pace, bob: 0.8 * limit });
    const above = planWalk({ pace, bob: 1.3 * limit });
    expect(below.notes.map(({ code }) => code)).not.toContain('swing-held-back');
    expect(above.notes.map(({ code }) => code)).toContain('swing-held-back');
  });

  it('charted poses fall on 1/4/7/10/13 at 12 frames a step, 1/5/9/13/17 at 16, 1/3/5/7/9 at 8', () => {
    // common practice, no source
    const charts: [number, number[]][] = [
      [12, [1, 4, 7, 10, 13]],
      [16, [1, 5, 9, 13, 17]],
      [8, [1, 3, 5, 7, 9]],
    ];
    for (const [framesPerStep, frames] of charts) {
      const walk = planWalk({ pace: { framesPerStep, fps: 24 }, poseTiming: 1 });
      const { marks } = timingChart(walk, { fps: 24 });
      expect(marks.slice(0, 5).map(({ frame }) => frame)).toEqual(frames);
      expect(
        marks
          .slice(0, 5)
          .map(({ pose }) => pose)
          .join(' '),
      ).toBe('contact down passing up contact');
    }
  });

  it('doubling both step and rate multiplies the first harmonic by 16', () => {
    const first = (walk: Walk): number => Math.hypot(walk.total.vertical.cos[1], walk.total.vertical.sin[1]);
    const small = first(planWalk({ pace: { strideLength: 0.7, strideRate: 0.5 } }));
    const large = first(planWalk({ pace: { strideLength: 1.4, strideRate: 1 } }));
    assertClose(large / small, 16, { rel: 1e-12 });
  });
});

describe('uneven sides', () => {
  it('give each foot the share of the load, the stance and the step asked for', () => {
    const walk = planWalk({
      pace: 'ordinary',
      uneven: { right: { stanceFraction: 0.57, loadShare: 0.46, stepLength: 1.1, stepTime: 1.04 } },
    });
    const { right } = sampleReactions(walk, { samples: 4096 });
    const share = right.vertical.reduce((sum, load) => sum + load, 0) / 4096;
    // The share is set by a quadrature of 64 samples whose hand-over has a bend: a few parts in ten thousand.
    assertClose(share, 0.46, { abs: 5e-4 });
    expect(walk.stance.right.fraction).toBe(0.57);
    // The right foot leads, so the step onto the left one is what is left of the stride.
    assertClose(walk.stance.left.contact, 0.48, { abs: 1e-12 });
    assertClose(walk.stance.left.forward, 0.9 * walk.pace.stepLength, { rel: 1e-12 });
  });

  it('are refused where a double support would vanish', () => {
    const uneven = { right: { stanceFraction: 0.52 }, left: { stepTime: 1.1, stanceFraction: 0.52 } };
    expect(() => planWalk({ pace: 'ordinary', uneven })).toThrow(
      /planWalk: stance must leave both double supports at least 0.005 of the stride, got -0.03/,
    );
  });
});

describe('a carried load', () => {
  it('raises the force in proportion and shortens the step (Seay 2015)', () => {
    const light = planWalk({ pace: { speed: 1.3 }, body: { mass: 70 } });
    const loaded = planWalk({ pace: { speed: 1.3 }, body: { mass: 70 }, carry: { mass: 35, where: 'back' } });
    const newtons = (walk: Walk): number => sampleReactions(walk).newtonsPerBodyWeight;
    assertClose(newtons(loaded) / newtons(light), 1.5, { rel: 1e-12 });
    expect(loaded.pace.stepLength).toBeLessThan(light.pace.stepLength);
    expect(loaded.pace.stepTime).toBeLessThan(light.pace.stepTime);
  });

  it('leans the trunk away from the load', () => {
    const lean = (where: 'back' | 'front' | 'left' | 'right' | 'head') =>
      planWalk({ pace: 'slow', carry: { mass: 25, where } }).lean;
    expect(lean('back').pitch).toBeGreaterThan(0.1);
    expect(lean('front').pitch).toBeLessThan(-0.1);
    expect(lean('left').roll).toBeGreaterThan(0.1);
    expect(lean('right').roll).toBeLessThan(-0.1);
    expect(lean('head')).toEqual({ pitch: 0, roll: 0 });
  });
});
