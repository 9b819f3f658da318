/** Locked keys against everything else that a fit is asked for. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkCurve, evaluate, fitCurve, type Key, type Series } from '../../src/curves/index.js';
import { assertClose } from '../support/assert-close.js';
import { evenShare } from './arbitraries.js';

const wave: Series = { period: 1, mean: 0, drift: 0, cos: [1, 0.2], sin: [0.2, 0.1] };

const lockedAt = (time: number, value: number, span: number, extra: Partial<Key> = {}): Key => ({
  time,
  value,
  in: { span, slope: 0.5 },
  out: { span, slope: 0.5 },
  locked: true,
  ...extra,
});

describe('locked keys', () => {
  it('are never given a neighbour nearer than their handles are long', () => {
    fc.assert(
      fc.property(
        evenShare,
        evenShare,
        fc.boolean(),
        fc.integer({ min: 3, max: 12 }),
        (at, width, framed, keyCount) => {
          const span = 0.02 + 0.2 * width;
          const time = framed ? Math.round(24 * (0.3 + 0.4 * at)) / 24 : 0.3 + 0.4 * at;
          const locked = [lockedAt(time, 0.4, span)];
          const { curve } = fitCurve(wave, { keyCount, locked, ...(framed ? { frames: { fps: 24 } } : {}) });
          expect(checkCurve(curve)).toEqual([]);
          expect(curve.keys).toContain(locked[0]);
          expect(curve.keys.length).toBe(keyCount);
          for (const key of curve.keys) {
            const gap = Math.abs(key.time - time);
            // Times far from zero round by this much.
            if (key !== locked[0]) expect(Math.min(gap, 1 - gap)).toBeGreaterThanOrEqual(span - 1e-12);
          }
        },
      ),
      { numRuns: 40 },
    );
  });

  it('whose handle is longer than the way to a key that has to be there are refused by name', () => {
    const locked = [lockedAt(0.5, 0, 0.2)];
    expect(() => fitCurve(wave, { locked, keysAt: [0.6] })).toThrow(
      /^fitCurve: locked\[0\]\.out\.span must be in \[0, 0\.09\d*\] s, which is as far as the next key that has to be there, got 0\.2$/,
    );
    expect(() => fitCurve(wave, { locked, keysAt: [0.4] })).toThrow(
      /^fitCurve: locked\[0\]\.in\.span must be/,
    );
  });

  it('are both kept where two stand closer than anything else may', () => {
    const locked = [lockedAt(0.5, -0.9, 0), lockedAt(0.5 + 1e-11, -0.9, 0)];
    const { curve } = fitCurve(wave, { keyCount: 6, locked });
    expect(curve.keys).toContain(locked[0]);
    expect(curve.keys).toContain(locked[1]);
  });

  it('that fight the tolerance cost a few keys and not all there may be, and the rest still follows', () => {
    const locked = [lockedAt(0.5, 2, 0.01)];
    const samples = Array.from({ length: 201 }, (_, i) => i / 200);
    const sources = [wave, { times: samples, values: samples.map((t) => Math.cos(2 * Math.PI * t)) }];
    for (const source of sources) {
      const plain = fitCurve(source, { tolerance: 1e-3 });
      const { curve, error, met } = fitCurve(source, { tolerance: 1e-3, locked });
      expect(met).toBe(false);
      expect(curve.keys).toContain(locked[0]);
      expect(curve.keys.length).toBeLessThanOrEqual(plain.curve.keys.length + 6);
      // The locked key stands at 2, the source there below −0.7.
      expect(error.value.max).toBeGreaterThan(2.7);
      for (const t of [0.1, 0.2, 0.8, 0.9]) {
        assertClose(evaluate(curve, t), evaluate(plain.curve, t), { abs: 0.2 });
      }
    }
  });
});
