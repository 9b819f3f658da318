import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { solveTime } from '../../src/curves/solve-time.js';
import { evenShare } from './arbitraries.js';

/** Promise of the solver: residual in fractions of the segment. */
const RESIDUAL = 1e-13;

const edge = fc.oneof(
  fc.constantFrom(
    0,
    1e-300,
    1e-16,
    1e-12,
    1e-8,
    1e-4,
    1 / 3,
    1 / 3 + 1e-10,
    0.5,
    2 / 3,
    1 - 1e-10,
    1 - 1e-16,
    1,
  ),
  fc.double({ min: 0, max: 1, noNaN: true }),
  evenShare,
);

function residual(p: number, q: number, x: number, guess: number): number {
  const c = 3 * p;
  const b = 3 * (1 - q - 2 * p);
  const a = 3 * (p + q) - 2;
  const s = solveTime(a, b, c, x, guess);
  expect(s >= 0 && s <= 1).toBe(true);
  return Math.abs(((a * s + b) * s + c) * s - x);
}

describe('solveTime', () => {
  it('meets its residual at the seams and between them, whatever the first guess', () => {
    fc.assert(
      fc.property(edge, edge, edge, fc.constantFrom(0, 0.5, 1, 7, Number.NaN), (p, q, x, guess) => {
        expect(residual(p, q, x, guess)).toBeLessThanOrEqual(RESIDUAL);
      }),
      { numRuns: 10_000 },
    );
  });

  it('meets it where the leading coefficient all but vanishes', () => {
    fc.assert(
      fc.property(
        evenShare.map((x) => (2 * x) / 3),
        fc.integer({ min: 4, max: 17 }),
        edge,
        (p, k, x) => {
          const q = Math.min(1, 2 / 3 - p + 10 ** -k);
          expect(residual(p, q, x, x)).toBeLessThanOrEqual(RESIDUAL);
        },
      ),
      { numRuns: 10_000 },
    );
  });

  it('meets it beside a vertical tangent in the middle', () => {
    for (let k = 1; k < 17; k++) {
      for (const side of [-1, 1])
        expect(residual(1, 1, 0.5 + side * 10 ** -k, 0.1)).toBeLessThanOrEqual(RESIDUAL);
    }
  });
});
