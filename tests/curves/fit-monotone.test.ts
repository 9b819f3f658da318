/** More tolerance never needs more keys: the law of `fewest`, for all kinds of sources and places. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fitCurve, type Samples } from '../../src/curves/index.js';
import { evenShare } from './arbitraries.js';

const harmonics = fc.array(fc.tuple(evenShare, evenShare), { minLength: 2, maxLength: 4 });

/** Samples of a few harmonics over two seconds, closed where they begin, with noise from a fixed generator. */
function samplesOf(
  terms: readonly (readonly [number, number])[],
  count: number,
  noise: number,
  uneven: number,
): Samples {
  let state = 11;
  const random = (): number => {
    state = (state * 1664525 + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
  const steps = Array.from({ length: count }, () => 1 + uneven * random());
  const whole = steps.reduce((a, b) => a + b, 0);
  const times = [0];
  for (const step of steps) times.push(times[times.length - 1] + (2 * step) / whole);
  times[count] = 2;
  const values = times.map((t) =>
    terms.reduce(
      (sum, [a, b], k) =>
        sum +
        ((2 * a - 1) * Math.cos(Math.PI * (k + 1) * t) + (2 * b - 1) * Math.sin(Math.PI * (k + 1) * t)) /
          (k + 1),
      noise * (2 * random() - 1),
    ),
  );
  values[count] = values[0];
  return { times, values };
}

const factors = fc.array(fc.integer({ min: 1001, max: 1800 }), { minLength: 3, maxLength: 6 });

describe('more tolerance never needs more keys', () => {
  it.each([
    { places: 'anywhere', every: 0 },
    { places: 'on ones', every: 1 },
    { places: 'on twos', every: 2 },
  ])('of samples, clean or noisy, even or not, open or cyclic, $places', ({ every }) => {
    fc.assert(
      fc.property(
        harmonics,
        fc.integer({ min: 40, max: 120 }),
        fc.constantFrom(0, 1e-4, 1e-3),
        fc.constantFrom(0, 3),
        fc.boolean(),
        factors,
        (terms, count, noise, uneven, cyclic, widen) => {
          const source = samplesOf(terms, count, noise, uneven);
          const frames = every > 0 ? { fps: 24, every } : undefined;
          let tolerance = 2e-3;
          let fewest = Number.POSITIVE_INFINITY;
          for (const thousandths of widen) {
            const { curve, met } = fitCurve(source, {
              tolerance,
              frames,
              maxKeys: 64,
              ...(cyclic ? { period: 2 } : {}),
            });
            if (fewest < Number.POSITIVE_INFINITY) expect(met).toBe(true);
            expect(curve.keys.length).toBeLessThanOrEqual(fewest);
            if (met) fewest = curve.keys.length;
            tolerance *= thousandths / 1000;
          }
        },
      ),
      { numRuns: 20 },
    );
  });
});
