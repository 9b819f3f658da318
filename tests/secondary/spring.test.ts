import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createSpringStep, setSpringStep } from '../../src/secondary/spring.js';
import { assertClose } from '../support/assert-close.js';
import { solveOde } from './solve-ode.js';

// Of the natural size of a step's change; the bar for linear parts is 1e-12.
const HALF_STEPS = 1e-12;
// odex itself is run at 1e-13.
const SOLVER = { abs: 1e-11, rel: 1e-11 };

const seamZeta = fc
  .tuple(fc.constantFrom(-1, 1), fc.integer({ min: 1, max: 16 }))
  .map(([sign, k]) => 1 + sign * 10 ** -k);
const zetas = fc.oneof(
  fc.constantFrom(0, 1, 2, 5),
  seamZeta,
  fc.double({ min: 0, max: 5, noNaN: true }),
  fc.double({ min: -9, max: 0, noNaN: true }).map((e) => 10 ** e),
);
const frequencies = fc.double({ min: -3, max: 3, noNaN: true }).map((e) => 10 ** e);
const steps = fc.double({ min: -5, max: 0, noNaN: true }).map((e) => 10 ** e);
// Down to 1e-100: below that products leave the range in which numbers keep their digits.
const unit = fc.double({ min: -1, max: 1, noNaN: true }).map((x) => (Math.abs(x) < 1e-100 ? 0 : x));

function take(omega: number, zeta: number, h: number, x: readonly number[], b: readonly number[]): number[] {
  const s = createSpringStep();
  setSpringStep(s, 0, omega, zeta, h);
  const [z, v] = x;
  return [s[0] * z + s[1] * v + s[4] * b[0] + s[5] * b[1], s[2] * z + s[3] * v + s[6] * b[0] + s[7] * b[1]];
}

describe('the exact step of a spring', () => {
  it('is the same taken whole or in two halves', () => {
    fc.assert(
      fc.property(frequencies, zetas, steps, unit, unit, unit, unit, (hz, zeta, h, z, v, a0, a1) => {
        const omega = 2 * Math.PI * hz;
        const x = [z, v * omega];
        const whole = take(omega, zeta, h, x, [a0, a1]);
        const middle = (a0 + a1) / 2;
        const halves = take(omega, zeta, h / 2, take(omega, zeta, h / 2, x, [a0, middle]), [middle, a1]);
        const reach = Math.min(h, 1 / omega);
        const drive = Math.abs(a0) + Math.abs(a1);
        const size = Math.abs(z) + reach * Math.abs(x[1]) + reach * reach * drive;
        const speed = Math.abs(x[1]) + omega * Math.min(1, omega * h) * Math.abs(z) + reach * drive;
        expect(Math.abs(whole[0] - halves[0])).toBeLessThanOrEqual(HALF_STEPS * size);
        expect(Math.abs(whole[1] - halves[1])).toBeLessThanOrEqual(HALF_STEPS * speed);
      }),
      { numRuns: 5000 },
    );
  });

  it('never adds energy to a free part', () => {
    fc.assert(
      fc.property(frequencies, zetas, steps, unit, unit, (hz, zeta, h, z, v) => {
        const omega = 2 * Math.PI * hz;
        const [z1, v1] = take(omega, zeta, h, [z, v * omega], [0, 0]);
        const before = z * z + v * v;
        const after = z1 * z1 + (v1 / omega) ** 2;
        // Rounding alone may add a few last places, where nothing is damped.
        expect(after).toBeLessThanOrEqual(before * (1 + 4e-15));
      }),
      { numRuns: 5000 },
    );
  });

  it('agrees with an independent solver, under, at and past critical damping', () => {
    for (const zeta of [0, 0.1, 1 - 1e-3, 1 - 1e-9, 1, 1 + 1e-9, 1 + 1e-3, 1.9, 2.1, 5]) {
      for (const [hz, h] of [
        [0.05, 0.02],
        [2, 1 / 60],
        [3, 0.3],
        [8, 1],
      ]) {
        const omega = 2 * Math.PI * hz;
        const [a0, a1] = [3, -5];
        const f = (t: number, [z, v]: number[]) => [
          v,
          -2 * zeta * omega * v - omega * omega * z - (a0 + ((a1 - a0) * t) / h),
        ];
        const expected = solveOde(f, 0, [0.01, 0.4], h);
        const actual = take(omega, zeta, h, [0.01, 0.4], [a0, a1]);
        assertClose(actual[0], expected[0], SOLVER, `z at zeta ${zeta}, ${hz} Hz`);
        assertClose(actual[1] / omega, expected[1] / omega, SOLVER, `v at zeta ${zeta}, ${hz} Hz`);
      }
    }
  });

  it('stays finite for every step from 1e-5 to 1 s up to 1 kHz, over a million steps', () => {
    const s = createSpringStep();
    let seed = 1;
    const random = () => {
      seed = (Math.imul(seed, 1664525) + 1013904223) | 0;
      return (seed >>> 0) / 2 ** 32;
    };
    let [z, v, omega, zeta] = [0, 0, 1, 0];
    let bad = 0;
    for (let i = 0; i < 1_000_000; i++) {
      // A new part every thousand steps; within them only the step changes.
      if (i % 1000 === 0) {
        omega = 2 * Math.PI * 10 ** (6 * random() - 3);
        zeta = random() < 0.5 ? 5 * random() : 1 + (random() - 0.5) * 10 ** (-16 * random());
        [z, v] = [0, 0];
      }
      setSpringStep(s, 0, omega, zeta, 10 ** (-5 * random()));
      const [a, b] = [200 * (random() - 0.5), 200 * (random() - 0.5)];
      [z, v] = [s[0] * z + s[1] * v + s[4] * a + s[5] * b, s[2] * z + s[3] * v + s[6] * a + s[7] * b];
      // A thousand seconds under 100 m/s² lead 5e7 m away at most.
      if (!(Math.abs(z) < 5e7 && Math.abs(v) < 1e5)) bad++;
    }
    expect(bad).toBe(0);
  });
});
