import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seriesExtremes } from '../../../src/curves/series-extremes.js';
import {
  addManner,
  blendManners,
  keyMotion,
  keyRoot,
  MANNERS,
  type MannerName,
  planWalk,
  poseSeries,
  type Walk,
  type WalkManner,
} from '../../../src/gait/index.js';
import { weighCurves } from '../../../src/weigh/index.js';
import { assertClose } from '../../support/assert-close.js';
import { evenSpecs, walkSpecs } from '../../support/walk-specs.js';

const NAMES = Object.keys(MANNERS) as MannerName[];

const amounts = fc.double({ min: 0, max: 1, noNaN: true });
const unit = fc.oneof(amounts, fc.constantFrom(0, 1));
const span = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const manners: fc.Arbitrary<WalkManner> = fc.record(
  {
    dimensionlessSpeed: span(0.05, 1),
    stepLength: span(0.25, 2),
    stepWidth: span(0, 4),
    stanceShift: span(-0.1, 0.2),
    heft: unit,
    swing: span(0, 10),
    linger: unit,
    recovery: unit,
    poseTiming: unit,
    crouch: unit,
    lean: span(-0.6, 0.6),
  },
  { requiredKeys: [] },
);

const bobOf = (walk: Walk): number => {
  const values = seriesExtremes(walk.centre.height).map(({ value }) => value);
  return Math.max(...values) - Math.min(...values);
};

/** A walk without its spec, as text: equal only where every number is, to the bit. */
const bits = ({ spec: _, ...walk }: Walk): string => JSON.stringify(walk);

describe('manners', () => {
  it.each(NAMES)('%s, keyed and weighed with its feet, breaks no physics and no loop', (name) => {
    for (const body of [{}, { legLength: 0.55, mass: 20 }, { legLength: 2.25, mass: 1100 }]) {
      const walk = planWalk(addManner({ body }, name));
      expect(walk.notes).toEqual([]);
      for (const of of ['centreOfMass', 'root'] as const) {
        const { height, forward, side, walk: keyed } = keyRoot(walk, { fps: 24, of });
        const { feet } = keyMotion(walk, { fps: 24, of });
        const gait = name === 'sneak' ? 'sneak' : 'walk';
        const { findings } = weighCurves(
          { height, forward, side, feet: [feet.left, feet.right] },
          { of, fps: 24, gait, body: keyed.spec.body },
        );
        expect(findings, `${name}, ${of}`).toEqual([]);
      }
    }
  });

  it('read as the trade has them: sneak flat and low, tired slow, bouncy high, hurried quick', () => {
    // common practice, no source: 20 frames a step reads as tired, 12 as businesslike, fewer as hurried
    const [sneak, tired, proud, bouncy, hurried] = NAMES.map((name) => planWalk(addManner({}, name)));
    const plain = (walk: Walk): Walk => planWalk({ pace: walk.spec.pace });
    expect(bobOf(sneak)).toBeLessThan(0.4 * bobOf(plain(sneak)));
    expect(sneak.root.height).toBeLessThan(plain(sneak).root.height - 0.1);
    expect(Math.round(tired.pace.stepTime * 24)).toBe(20);
    expect(bobOf(bouncy)).toBeGreaterThan(1.3 * bobOf(plain(bouncy)));
    expect(Math.round(hurried.pace.stepTime * 24)).toBe(10);
    expect(hurried.pace.stepTime).toBeLessThan(plain(hurried).pace.stepTime);
    expect(proud.pace.stepLength).toBeGreaterThan(plain(proud).pace.stepLength);
    expect(Math.sign(poseSeries(proud).chest.pitch.mean)).toBe(-1);
    expect(poseSeries(tired).chest.pitch.mean).toBeGreaterThan(0.2);
  });

  it('neutral dials change nothing, to the bit', () => {
    fc.assert(
      fc.property(walkSpecs, (spec) => {
        const { stepFactor: _a, ...rest } = spec;
        const neutral = {
          stepLength: 1,
          stepWidth: 1,
          stanceShift: 0,
          heft: 0,
          swing: 1,
          linger: 0,
          lean: 0,
        };
        expect(addManner(rest, neutral)).toEqual(rest);
        expect(addManner(spec, {})).toEqual(spec);
      }),
      { numRuns: 200 },
    );
    expect(bits(planWalk(addManner({}, {})))).toBe(bits(planWalk({ pace: 'ordinary' })));
  });

  it('what the spec sets itself wins over every manner', () => {
    fc.assert(
      fc.property(evenSpecs, manners, (spec, manner) => {
        const mixed = addManner(spec, manner) as unknown as Record<string, unknown>;
        for (const [dial, value] of Object.entries(spec)) {
          if (value !== undefined) expect(mixed[dial]).toBe(value);
        }
        if (spec.bob !== undefined) expect(mixed.swing).toBeUndefined();
        planWalk(mixed as never);
      }),
      { numRuns: 300 },
    );
  });

  it('fit every body: dynamic similarity keeps the dimensionless numbers', () => {
    for (const name of NAMES) {
      const adult = planWalk(addManner({ body: { legLength: 0.9 } }, name));
      const moon = planWalk(addManner({ body: { legLength: 3.6 }, gravity: 1.62 }, name));
      assertClose(moon.pace.froude, adult.pace.froude, { rel: 1e-12 });
      assertClose(moon.stance.left.fraction, adult.stance.left.fraction, { rel: 1e-12 });
      assertClose(bobOf(moon) / 4, bobOf(adult), { rel: 1e-9 });
    }
  });

  it('may be the author’s own, and are refused by field and rule where they are not', () => {
    const limper = addManner({ pace: { speed: 1 } }, { swing: 0.5, crouch: 0.25 });
    expect(limper).toEqual({ pace: { speed: 1 }, swing: 0.5, crouch: 0.25 });
    expect(() => addManner({}, { crouch: 1.5 })).toThrow(
      'addManner: manner.crouch must be in [0, 1], got 1.5',
    );
    expect(() => addManner({}, 'jolly' as never)).toThrow(
      /addManner: manner must be "sneak", .* got "jolly"/,
    );
    expect(() => addManner({}, { bounce: 1 } as never)).toThrow(/manner must have no fields but .*"bounce"/);
    expect(() => addManner({ gravity: 0 }, 'sneak')).toThrow('addManner: gravity must be > 0 m/s², got 0');
    expect(() => addManner(undefined as never, 'sneak')).toThrow(TypeError);
  });
});

describe('blending manners', () => {
  it('is the one at 0 and the other at 1, to the bit', () => {
    fc.assert(
      fc.property(manners, manners, evenSpecs, (a, b, spec) => {
        const { pace: _, ...open } = spec;
        expect(addManner(open, blendManners(a, b, 0))).toEqual(addManner(open, a));
        expect(addManner(open, blendManners(a, b, 1))).toEqual(addManner(open, b));
      }),
      { numRuns: 300 },
    );
    for (const name of NAMES) {
      expect(bits(planWalk(addManner({}, blendManners(name, {}, 0))))).toBe(
        bits(planWalk(addManner({}, name))),
      );
      expect(bits(planWalk(addManner({}, blendManners({}, name, 1))))).toBe(
        bits(planWalk(addManner({}, name))),
      );
    }
  });

  it('never turns a dial back as the amount rises', () => {
    fc.assert(
      fc.property(manners, manners, amounts, amounts, (a, b, x, y) => {
        const [low, high] = [Math.min(x, y), Math.max(x, y)];
        const [from, to, end] = [low, high, 1].map((t) => blendManners(a, b, t) as Record<string, number>);
        const start = blendManners(a, b, 0) as Record<string, number>;
        for (const dial of Object.keys(start)) {
          const way = Math.sign(end[dial] - start[dial]);
          expect(way * (to[dial] - from[dial])).toBeGreaterThanOrEqual(0);
          expect(way * (end[dial] - to[dial])).toBeGreaterThanOrEqual(0);
        }
      }),
      { numRuns: 500 },
    );
  });

  it('walks from one named manner to the other without turning back', () => {
    const measures = {
      speed: (walk: Walk) => walk.pace.speed,
      stepTime: (walk: Walk) => walk.pace.stepTime,
      rootHeight: (walk: Walk) => walk.root.height,
    };
    for (const [a, b] of [['sneak', 'proud'] as const, ['tired', 'hurried'] as const]) {
      const walks = Array.from({ length: 17 }, (_, i) => planWalk(addManner({}, blendManners(a, b, i / 16))));
      for (const [what, measure] of Object.entries(measures)) {
        if (what === 'rootHeight' && a === 'tired') continue; // Crouch goes down while steps grow longer.
        const values = walks.map(measure);
        const way = Math.sign(values[16] - values[0]);
        for (let i = 1; i < values.length; i++) expect(way * (values[i] - values[i - 1])).toBeGreaterThan(0);
      }
    }
  });

  it('refuses amounts beyond the ends and unknown manners', () => {
    expect(() => blendManners('sneak', 'tired', 1.1)).toThrow(
      'blendManners: amount must be in [0, 1], got 1.1',
    );
    expect(() => blendManners('sneak', { swing: Number.NaN }, 0.5)).toThrow(/blendManners: to.swing must be/);
    expect(() => blendManners(3 as never, 'tired', 0.5)).toThrow(TypeError);
  });
});
