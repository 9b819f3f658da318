import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Curve } from '../../src/curves/curve.js';
import { evaluate } from '../../src/curves/evaluate.js';
import { splitSegment } from '../../src/exchange/split-segment.js';
import { unrollCurve } from '../../src/exchange/unroll-curve.js';

/** Values of size 1 at slopes of some tens: the cut's own solve for time, 1e-13, times those. */
const EXACT = 1e-10;

const tangent = (length: number) =>
  fc.record({
    // Up to 0.6: where both handles nearly fill the segment the curve is vertical and its value ill-conditioned.
    span: fc.constantFrom(0, 1e-9, 1 / 3, 0.6).map((share) => share * length),
    slope: fc.double({ min: -8, max: 8, noNaN: true }),
  });

const segment = fc.record({
  from: fc.double({ min: -1, max: 1, noNaN: true }),
  to: fc.double({ min: -1, max: 1, noNaN: true }),
  out: tangent(2),
  in: tangent(2),
  next: fc.constantFrom('curve' as const, 'line' as const, 'hold' as const),
  cut: fc.constantFrom(1e-6, 0.3, 1, 1.7, 2 - 1e-6),
});

describe('a segment cut in two', () => {
  it('is the same curve', () => {
    const flat = { span: 0, slope: 0 };
    fc.assert(
      fc.property(segment, ({ from, to, out, in: arriving, next, cut }) => {
        const left = { time: 3, value: from, in: flat, out, next };
        const right = { time: 5, value: to, in: arriving, out: flat };
        const whole: Curve = { keys: [left, right], start: 3, before: 'holds', after: 'holds' };
        const split = splitSegment(left, right, 3 + cut);
        const halves: Curve = { ...whole, keys: [split.left, split.middle, split.right] };
        for (let i = 0; i <= 50; i++) {
          const t = 3 + (2 * i) / 50;
          expect(Math.abs(evaluate(halves, t) - evaluate(whole, t))).toBeLessThanOrEqual(EXACT);
        }
      }),
      { numRuns: 1000 },
    );
  });
});

describe('a cycle written out', () => {
  it('is the same curve from its start to the end of its period', () => {
    fc.assert(
      fc.property(
        segment,
        fc.double({ min: 0, max: 0.9, noNaN: true }),
        fc.double({ min: -1, max: 1, noNaN: true }),
        (s, late, gain) => {
          const keys = [
            {
              time: late,
              value: s.from,
              in: { ...s.in, span: s.in.span / 4 },
              out: { ...s.out, span: s.out.span / 4 },
              next: s.next,
            },
            {
              time: late + 0.5,
              value: s.to,
              in: { ...s.out, span: s.out.span / 4 },
              out: { ...s.in, span: s.in.span / 4 },
            },
          ];
          const cycle: Curve = { keys, start: 0, period: 1.5, gain, before: 'travels', after: 'travels' };
          const unrolled = unrollCurve(cycle);
          expect(Math.abs(unrolled[0].time)).toBeLessThanOrEqual(1e-11);
          expect(Math.abs(unrolled[unrolled.length - 1].time - 1.5)).toBeLessThanOrEqual(1e-11);
          const open: Curve = { keys: unrolled, start: 0, before: 'holds', after: 'holds' };
          for (let i = 0; i < 60; i++) {
            const t = (1.5 * (i + 0.5)) / 60;
            expect(Math.abs(evaluate(open, t) - evaluate(cycle, t))).toBeLessThanOrEqual(EXACT);
          }
        },
      ),
      { numRuns: 500 },
    );
  });
});
