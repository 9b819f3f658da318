import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Curve,
  checkCurve,
  convertFrameRate,
  cutLoop,
  evaluate,
  evaluateJet,
  exactFrameRate,
  frameAtTime,
  loopCurve,
  retimeCurve,
  reverseCurve,
  shiftCurve,
  stretchCurve,
  timeOfFrame,
  unrollCurve,
} from '../../src/curves/index.js';
import { assertClose } from '../support/assert-close.js';
import { anyCurve, evenShare } from './arbitraries.js';

/** Rounding of times of order 1 s through a few operations, times slopes of order 50 and steep handles. */
const ROUNDING = 1e-7;

const share = evenShare.map((x) => 0.001 + 0.998 * x);

/** A time inside the curve, away from keys and from vertical tangents, where rounding of time is harmless. */
function tameTime(curve: Curve, u: number): number {
  const { keys, start, period } = curve;
  const end = period === undefined ? keys[keys.length - 1].time : start + period;
  const t = start + u * (end - start);
  const near = keys.some((key) => Math.abs(key.time - t) < 1e-6);
  fc.pre(!near && Math.abs(evaluateJet(curve, t).velocity) < 1e3);
  return t;
}

describe('moving in time', () => {
  it('shift and stretch evaluate to the same values at moved times', () => {
    fc.assert(
      fc.property(anyCurve, share, fc.double({ min: 0.2, max: 4, noNaN: true }), (curve, u, factor) => {
        const t = tameTime(curve, u);
        assertClose(evaluate(shiftCurve(curve, 1.5), t + 1.5), evaluate(curve, t), { abs: ROUNDING });
        assertClose(evaluate(stretchCurve(curve, factor), t * factor), evaluate(curve, t), { abs: ROUNDING });
      }),
    );
  });

  it('reverse plays the same values backwards, holds, jumps and gains included', () => {
    fc.assert(
      fc.property(anyCurve, share, (curve, u) => {
        fc.pre(curve.keys.length > 1 || curve.period !== undefined);
        const { keys, start, period } = curve;
        const from = period === undefined ? keys[0].time : start;
        const to = period === undefined ? keys[keys.length - 1].time : start + period;
        const t = tameTime(curve, u);
        fc.pre(t > from && t < to);
        const backwards = reverseCurve(curve);
        expect(checkCurve(backwards)).toEqual([]);
        assertClose(evaluate(backwards, from + to - t), evaluate(curve, t), { abs: ROUNDING });
      }),
    );
  });

  it('retiming keeps both sides of a smooth key at one slope', () => {
    const side = { span: 0.1, slope: 2 };
    const keys = [0, 0.5, 1].map((time) => ({ time, value: time, in: side, out: side }));
    const curve = retimeCurve({ keys, start: 0, before: 'holds', after: 'holds' }, [0, 0.2, 1.4]);
    expect(curve.keys[1].in.slope).toBe(curve.keys[1].out.slope);
    assertClose(curve.keys[1].in.slope, 2 / 1.4, { rel: 1e-12 });
    expect(() => retimeCurve(curve, [0, 1])).toThrow(
      'retimeCurve: times must have 3 entries, one per key, got 2',
    );
  });
});

describe('loops', () => {
  const tame = anyCurve.filter((curve) => curve.period !== undefined);

  it('unrolled, play the same over every cycle', () => {
    fc.assert(
      fc.property(tame, share, fc.integer({ min: 1, max: 4 }), (curve, u, cycles) => {
        fc.pre(curve.after === 'loops' || curve.after === 'travels');
        const open = unrollCurve(curve, cycles);
        expect(checkCurve(open)).toEqual([]);
        const repeated: Curve = { ...curve, before: curve.after };
        const t = curve.keys[0].time + u * cycles * curve.period!;
        fc.pre(Math.abs(evaluateJet(repeated, t).velocity) < 1e3);
        fc.pre(open.keys.every((key) => Math.abs(key.time - t) > 1e-6));
        // A loop whose gain is dropped jumps at the start of its cycle, an unrolled one at its first key.
        fc.pre(!(curve.gain && curve.after !== 'travels' && curve.keys[0].time > curve.start));
        assertClose(evaluate(open, t), evaluate(repeated, t), { abs: ROUNDING });
      }),
    );
  });

  it('cut at another phase, do not move', () => {
    fc.assert(
      fc.property(tame, share, fc.double({ min: -3, max: 3, noNaN: true }), (curve, u, start) => {
        fc.pre(
          curve.before === curve.after &&
            (curve.before === 'travels' || (curve.before === 'loops' && !curve.gain)),
        );
        const t = tameTime(curve, u);
        const moved = cutLoop(curve, start);
        expect(checkCurve(moved)).toEqual([]);
        fc.pre(moved.keys.every((key) => Math.abs(((key.time - t) / curve.period!) % 1) > 1e-6));
        assertClose(evaluate(moved, t), evaluate(curve, t), { abs: ROUNDING });
      }),
    );
  });

  it('made of an open curve, state by how much the ends missed', () => {
    const side = (slope: number) => ({ span: 0.1, slope });
    const keys = [
      { time: 0, value: 1, in: side(2), out: side(2) },
      { time: 1, value: 4, in: side(5), out: side(5) },
    ];
    const open: Curve = { keys, start: 0, before: 'holds', after: 'holds' };
    expect(loopCurve(open).seam).toEqual({ value: 3, slope: 3 });
    const travels = loopCurve(open, { travels: true });
    expect(travels.seam.value).toBe(0);
    expect(travels.curve.gain).toBe(3);
    assertClose(evaluate(travels.curve, 1.3), evaluate(open, 0.3) + 3, { abs: 1e-12 });
    assertClose(evaluate(loopCurve(open).curve, 1 - 1e-12), 4, { abs: 1e-10 });
  });
});

describe('frame rates', () => {
  it('knows the broadcast rates as exact ratios', () => {
    expect(exactFrameRate(23.976)).toEqual({ frames: 24000, seconds: 1001 });
    expect(exactFrameRate(29.97)).toEqual({ frames: 30000, seconds: 1001 });
    expect(exactFrameRate(24000 / 1001)).toEqual({ frames: 24000, seconds: 1001 });
    expect(exactFrameRate(25)).toEqual({ frames: 25, seconds: 1 });
    expect(exactFrameRate(12.5)).toEqual({ frames: 12.5, seconds: 1 });
  });

  it('numbers frames and times without drift over a day', () => {
    const rate = exactFrameRate(29.97);
    for (const frame of [1, 17982, 2589408]) expect(frameAtTime(timeOfFrame(frame, rate), rate)).toBe(frame);
  });

  /** The promise of the exact policy. */
  const EXACT = 1e-12;

  it('24 → 30 → 24 under the exact policy gives the original back', () => {
    fc.assert(
      fc.property(anyCurve, (curve) => {
        const there = convertFrameRate(curve, { to: 30 });
        const back = convertFrameRate(there.curve, { to: 24 });
        back.curve.keys.forEach((key, i) => {
          assertClose(key.time, curve.keys[i].time, { abs: EXACT });
          assertClose(key.value, curve.keys[i].value, { abs: EXACT });
          assertClose(timeOfFrame(there.frames[i], 30), key.time, { abs: 1e-9 });
        });
      }),
    );
  });

  it('the snapped policy puts keys on frames and states the change truthfully', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 2, maxLength: 6 }),
        fc.boolean(),
        (values, cyclic) => {
          const side = (value: number) => ({ span: 2 / 24, slope: value });
          const keys = values.map((value, i) => ({
            time: (5 * i) / 24,
            value,
            in: side(value),
            out: side(value),
          }));
          const period = (5 * values.length) / 24;
          const curve: Curve = cyclic
            ? { keys, start: 0, period, before: 'loops', after: 'loops' }
            : { keys, start: 0, before: 'holds', after: 'holds' };
          const { curve: snapped, frames, error } = convertFrameRate(curve, { to: 30, keys: 'snapped' });
          for (const frame of frames) expect(Number.isInteger(frame)).toBe(true);
          const end = cyclic ? period : keys[keys.length - 1].time;
          let worst = 0;
          for (let i = 0; i <= 3000; i++) {
            const t = (end * i) / 3000;
            worst = Math.max(worst, Math.abs(evaluate(snapped, t) - evaluate(curve, t)));
          }
          expect(worst).toBeLessThanOrEqual(error.max * 1.05 + 1e-12);
        },
      ),
      { numRuns: 60 },
    );
  });
});
