import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  blendCurves,
  type Curve,
  checkCurve,
  cutLoop,
  evaluate,
  evaluateJet,
  shiftCurve,
  stretchCurve,
} from '../../src/curves/index.js';
import { assertClose } from '../support/assert-close.js';
import { anyCurve, evenShare, openCurve } from './arbitraries.js';

/** Rounding of curves that are cut, and of keys that are moved by a billionth of the range where both have one. */
const ROUNDING = 1e-6;

const weights = fc.constantFrom(0, 1, 0.5, 0.2, -0.3);
const loops = anyCurve.filter(
  ({ before, after }) => before === after && (after === 'loops' || after === 'travels'),
);

/** Fails unless a blend is that of both curves at a time, within the error it states. */
function expectBlend(a: Curve, b: Curve, weight: number, t: number, tolerance: number): void {
  const { curve, error, met } = blendCurves(a, b, weight, { tolerance });
  expect(checkCurve(curve)).toEqual([]);
  expect(met).toBe(error.value.max <= tolerance);
  const near = [...a.keys, ...b.keys, ...curve.keys, { time: a.start }, { time: b.start }].some(
    ({ time }) => {
      const away = Math.abs(time - t) / (curve.period ?? 1);
      return Math.abs(curve.period === undefined ? away : away - Math.round(away)) < 1e-4;
    },
  );
  fc.pre(!near && [a, b].every((each) => Math.abs(evaluateJet(each, t).velocity) < 1e3));
  const exact = (1 - weight) * evaluate(a, t) + weight * evaluate(b, t);
  expect(Math.abs(evaluate(curve, t) - exact)).toBeLessThanOrEqual(1.05 * error.value.max + ROUNDING);
}

describe('blendCurves', () => {
  it('of loops with jumps, holds, lines and gains, begun at different phases, is the blend in every cycle', () => {
    fc.assert(
      fc.property(
        loops,
        loops,
        weights,
        evenShare,
        fc.integer({ min: -3, max: 3 }),
        (a, given, weight, u, cycle) => {
          const period = a.period!;
          const b = { ...stretchCurve(given, period / given.period!), period };
          fc.pre(checkCurve(b).length === 0);
          expectBlend(a, b, weight, a.start + (u + cycle) * period, 0.05);
        },
      ),
    );
  });

  it('of open curves with jumps, holds and lines is the blend over the time they share', () => {
    fc.assert(
      fc.property(openCurve, openCurve, weights, evenShare, (a, b, weight, u) => {
        const start = Math.max(a.keys[0].time, b.keys[0].time);
        const end = Math.min(a.keys[a.keys.length - 1].time, b.keys[b.keys.length - 1].time);
        fc.pre(end - start > 0.05);
        expectBlend(a, b, weight, start + u * (end - start), 0.05);
      }),
    );
  });

  it('at no or full weight is one of the two, and no more keys than it has', () => {
    fc.assert(
      fc.property(loops, (a) => {
        const b = {
          ...shiftCurve(a, 0.3),
          keys: a.keys.map((key) => ({ ...key, time: key.time + 0.3, value: 3 })),
        };
        for (const [weight, one] of [
          [0, a],
          [1, b],
        ] as const) {
          const { curve, met } = blendCurves(a, b, weight);
          expect(met).toBe(true);
          const drops = one.after === 'loops' && one.gain ? 1 : 0;
          const cut = cutLoop(one, a.start);
          expect(curve.keys.length).toBeLessThanOrEqual(one.keys.length + drops);
          expect(curve.keys.map((key) => key.value)).toEqual(cut.keys.map((key) => key.value));
        }
      }),
    );
  });

  it('travels by the blended gain where one curve travels and the other loops', () => {
    const side = { span: 0.2, slope: 0 };
    const still: Curve = {
      keys: [{ time: 0, value: 1, in: side, out: side, meta: { by: 'the child' } }],
      start: 0,
      period: 1,
      before: 'loops',
      after: 'loops',
      of: 'root',
    };
    const key = { time: 0.5, value: 0, in: side, out: side, meta: { by: 'the porter' } };
    const walk: Curve = {
      ...still,
      keys: [key],
      gain: 2,
      before: 'travels',
      after: 'travels',
      of: 'centreOfMass',
    };
    const { curve } = blendCurves(still, walk, 0.25);
    expect(curve).toMatchObject({ before: 'travels', after: 'travels', gain: 0.5 });
    assertClose(evaluate(curve, 1000.5), 0.75 + 1000 * 0.5, { abs: 1e-3 });
    expect(curve.of).toBeUndefined();
  });

  it('keeps jumps, holds, lines and the metadata of both keys', () => {
    const side = { span: 0.1, slope: 0 };
    const key = (time: number, value: number, more = {}) => ({ time, value, in: side, out: side, ...more });
    const ends = { start: 0, before: 'holds', after: 'holds' } as const;
    const a: Curve = { ...ends, keys: [key(0, 0, { next: 'hold', meta: { a: 1 } }), key(1, 2), key(2, 2)] };
    const b: Curve = {
      ...ends,
      keys: [key(0, 2, { next: 'line', meta: { b: 2 } }), key(1, 4, { arrives: 6, next: 'line' }), key(2, 0)],
    };
    const { curve, error } = blendCurves(a, b, 0.5);
    assertClose(error.value.max, 0, { abs: 1e-12 });
    expect(
      curve.keys.map(({ next = 'curve', arrives, value, meta }) => [next, arrives, value, meta]),
    ).toEqual([
      ['line', undefined, 1, { a: 1, b: 2 }],
      ['curve', 3, 3, undefined].map((x, i) => (i === 1 ? undefined : x)),
      ['curve', undefined, 1, undefined],
    ]);
    assertClose(evaluate(curve, 1 - 1e-9), 3, { abs: 1e-6 });
  });

  it('covers the part of the shared time that is asked for, and refuses any other', () => {
    const side = (slope: number) => ({ span: 0.2, slope });
    const key = (time: number, value: number) => ({ time, value, in: side(0), out: side(0) });
    const a: Curve = { keys: [key(0, 0), key(0.6, 1), key(2, 0)], start: 0, before: 'holds', after: 'holds' };
    const b: Curve = { ...a, keys: [key(0.5, 1), key(1, 3), key(3, 0)], start: 0.5 };
    for (const more of [{}, { frames: { fps: 20 } }]) {
      const { curve } = blendCurves(a, b, 0.5, { start: 0.75, end: 1.5, ...more });
      expect([curve.keys[0].time, curve.keys[curve.keys.length - 1].time]).toEqual([0.75, 1.5]);
    }
    const refuses = (options: object, text: string): void => {
      expect(() => blendCurves(a, b, 0.5, options)).toThrow(`blendCurves: ${text}`);
    };
    refuses({ start: 0.4 }, 'start must be in [0.5, 2) s, got 0.4');
    refuses({ end: 2.1 }, 'end must be in (0.5, 2] s, got 2.1');
    refuses({ start: 1, end: 1 }, 'end must be in (1, 2] s, got 1');
    refuses({ start: null }, 'start must be in [0.5, 2) s, got null');
    refuses({ period: 1 }, 'period must be left out: it is that of both curves, got 1');
    const loop: Curve = { ...a, keys: [key(0, 0)], period: 1, before: 'loops', after: 'loops' };
    expect(blendCurves(loop, loop, 0.5, { start: 7.25 }).curve.start).toBe(7.25);
    expect(() => blendCurves(loop, loop, 0.5, { period: 2 })).toThrow('blendCurves: period must be left out');
    expect(() => blendCurves(loop, loop, 0.5, { end: 2 })).toThrow('blendCurves: end must be left out');
  });

  it('refuses options that are none, and curves without common time', () => {
    const side = { span: 0, slope: 0 };
    const at = (time: number): Curve => ({
      keys: [0, 1].map((t) => ({ time: time + t, value: 0, in: side, out: side, next: 'line' as const })),
      start: time,
      before: 'holds',
      after: 'holds',
    });
    expect(() => blendCurves(at(0), at(5), 0.5)).toThrow('blendCurves: second must overlap the first curve');
    expect(() => blendCurves(at(0), at(0), 0.5, { tolerance: 0 })).toThrow('tolerance must be > 0, got 0');
    expect(() => blendCurves(at(0), at(0), 0.5, { tolerence: 1 } as never)).toThrow(
      'must have no fields but',
    );
    expect(() => blendCurves(at(0), at(0), Number.NaN)).toThrow(
      'blendCurves: weight must be a finite number',
    );
  });
});
