import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { evaluate } from '../../../src/curves/evaluate.js';
import { jumpsAtEnd, rigValue, toRigCurve } from '../../../src/exchange/rig/rig-curve.js';
import { curves } from '../../../src/testing/index.js';

const scene = { frameRate: { frames: 1, seconds: 1 }, firstFrame: 0 };

/** Both solve for time in units of their own, beside handles of no length. */
const SAME = 1e-9;

/** Straight ends are left out: from a handle of next to no length their slope is ill-conditioned. */
const OUTSIDE = ['holds', 'loops', 'travels'] as const;

describe('a curve in the terms of a rig', () => {
  it('plays as it did, before its keys, through its seam and after them, with jumps and without', () => {
    fc.assert(
      fc.property(curves({ jumps: true, outside: OUTSIDE }), (curve) => {
        fc.pre(!jumpsAtEnd(curve));
        const rig = toRigCurve(curve, { scene, factor: 1, offset: 0 });
        const { start, period = 30 } = curve;
        for (let i = 0; i < 80; i++) {
          const time = start + ((i + 0.37) / 20 - 1) * period;
          const [got, wanted] = [rigValue(rig, time), evaluate(curve, time)];
          expect(Math.abs(got - wanted), `${time}`).toBeLessThanOrEqual(SAME * Math.max(1, Math.abs(wanted)));
        }
      }),
      { numRuns: 3000, seed: 4 },
    );
  });

  it('is told apart where no last key can say what it gains and where it stays', () => {
    const side = { span: 0.3, slope: 0 };
    const key = { time: 0, value: 0, in: side, out: side, arrives: 0.5 } as const;
    const curve = { keys: [key, { ...key, time: 1, arrives: 0 }], start: 0, period: 2, gain: 1 } as const;
    expect(jumpsAtEnd({ ...curve, before: 'travels', after: 'holds' })).toBe(true);
    for (const [before, after] of [
      ['travels', 'travels'],
      ['loops', 'holds'],
      ['holds', 'travels'],
    ] as const) {
      expect(jumpsAtEnd({ ...curve, before, after })).toBe(false);
    }
  });
});
