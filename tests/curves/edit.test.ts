import { Bezier } from 'bezier-js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  arcSpacing,
  blendCurves,
  boundsOf,
  type Curve,
  checkCurve,
  evaluate,
  evaluateJet,
  findCrossings,
  findExtremes,
  findInflections,
  insertKey,
  joinCurves,
  removeKey,
  splitCurve,
} from '../../src/curves/index.js';
import { assertClose } from '../support/assert-close.js';
import { anyCurve, evenShare, openCurve } from './arbitraries.js';

/** The promise of inserting a key, as a backward error: value moved by at most this, or by this much time. */
const INSERTED = 1e-12;

const share = evenShare;

const endOf = ({ keys, start, period }: Curve): number =>
  period === undefined ? keys[keys.length - 1].time : start + period * (1 - 1e-9);

describe('insertKey', () => {
  it('then evaluate is the identity', () => {
    fc.assert(
      fc.property(anyCurve, share, share, (curve, u, v) => {
        const begin = curve.period === undefined ? curve.keys[0].time : curve.start;
        const at = begin + u * (endOf(curve) - begin);
        // Closer to a key than this a segment has too few bits of time left to be a segment.
        const laps = curve.period === undefined ? [0] : [-curve.period, 0, curve.period];
        fc.pre(curve.keys.every((key) => laps.every((lap) => Math.abs(key.time + lap - at) > 1e-4)));
        const more = insertKey(curve, at);
        expect(more.keys.length).toBe(curve.keys.length + 1);
        expect(checkCurve(more)).toEqual([]);
        const t = begin + v * (endOf(curve) - begin);
        const { velocity } = evaluateJet(curve, t);
        fc.pre(Math.abs(velocity) < 1e3);
        assertClose(evaluate(more, t), evaluate(curve, t), {
          abs: INSERTED * (10 + 10 * Math.abs(velocity)),
        });
      }),
      { numRuns: 1000 },
    );
  });

  it('does not touch a locked neighbour', () => {
    const side = { span: 0.2, slope: 1 };
    const keys = [0, 1].map((time) => ({ time, value: time, in: side, out: side, locked: true }));
    expect(() => insertKey({ keys, start: 0, before: 'holds', after: 'holds' }, 0.5)).toThrow(
      'insertKey: keys[0] must not be locked',
    );
  });
});

describe('removeKey', () => {
  it('undoes an insertion to the accuracy it states', () => {
    const side = { span: 0.3, slope: 0.5 };
    const keys = [0, 1, 2].map((time) => ({ time, value: time % 2, in: side, out: side }));
    const curve: Curve = { keys, start: 0, period: 3, before: 'loops', after: 'loops' };
    for (const t of [0.4, 1.5, 2.7]) {
      const more = insertKey(curve, t);
      const index = more.keys.findIndex((key) => key.time === t);
      const { curve: less, error } = removeKey(more, index);
      expect(checkCurve(less)).toEqual([]);
      expect(error.max).toBeLessThan(1e-3);
      for (let i = 0; i < 300; i++) {
        const u = i / 100;
        expect(Math.abs(evaluate(less, u) - evaluate(more, u))).toBeLessThanOrEqual(error.max * 1.02 + 1e-12);
      }
    }
  });

  it('refuses locked keys', () => {
    const side = { span: 0.2, slope: 1 };
    const keys = [0, 1, 2].map((time) => ({ time, value: time, in: side, out: side, locked: time === 1 }));
    const curve: Curve = { keys, start: 0, before: 'holds', after: 'holds' };
    expect(() => removeKey(curve, 1)).toThrow('removeKey: keys[1] must not be locked');
  });
});

describe('splitCurve and joinCurves', () => {
  it('give the curve back', () => {
    fc.assert(
      fc.property(openCurve, share, share, (curve, u, v) => {
        const begin = curve.keys[0].time;
        const t = begin + u * (endOf(curve) - begin);
        fc.pre(
          t > begin &&
            t < endOf(curve) &&
            curve.keys.every((key) => key.time === t || Math.abs(key.time - t) > 1e-4),
        );
        const [first, second] = splitCurve(curve, t);
        expect(checkCurve(first)).toEqual([]);
        expect(checkCurve(second)).toEqual([]);
        const whole = joinCurves(first, second);
        const at = begin + v * (endOf(curve) - begin);
        const { velocity } = evaluateJet(curve, at);
        fc.pre(Math.abs(velocity) < 1e3);
        assertClose(evaluate(whole, at), evaluate(curve, at), {
          abs: INSERTED * (10 + 10 * Math.abs(velocity)),
        });
      }),
    );
  });
});

describe('features', () => {
  const handle = evenShare.map((x) => 0.05 + 0.85 * x);
  const value = fc.integer({ min: -1000, max: 1000 }).map((n) => n / 1000);

  it('agree with bezier-js on the box, turning points and inflections of one segment', () => {
    fc.assert(
      fc.property(handle, handle, value, value, value, (p, q, v1, v2, v3) => {
        const curve: Curve = {
          keys: [
            { time: 0, value: 0, in: { span: 0, slope: 0 }, out: { span: p, slope: v1 / p } },
            { time: 1, value: v3, in: { span: q, slope: (v3 - v2) / q }, out: { span: 0, slope: 0 } },
          ],
          start: 0,
          before: 'holds',
          after: 'holds',
        };
        const reference = new Bezier(0, 0, p, v1, 1 - q, v2, 1, v3);
        const box = reference.bbox();
        const bounds = boundsOf(curve);
        assertClose(bounds.min, box.y.min, { abs: 1e-9 });
        assertClose(bounds.max, box.y.max, { abs: 1e-9 });
        const mine = findExtremes(curve);
        for (const { time, value: level } of mine) {
          expect(Math.min(Math.abs(level - box.y.min), Math.abs(level - box.y.max), 1)).toBeDefined();
          assertClose(evaluateJet(curve, time).velocity, 0, {
            abs: 1e-5 * (1 + Math.abs(evaluateJet(curve, time).acceleration)),
          });
        }
        for (const { time, value: level } of findInflections(curve)) {
          assertClose(evaluate(curve, time), level, {
            abs: 1e-9 * (1 + Math.abs(evaluateJet(curve, time).velocity)),
          });
        }
      }),
    );
  });

  it('findCrossings finds every sign change of a dense search, and nothing that is not on the level', () => {
    fc.assert(
      fc.property(anyCurve, value, (curve, thousandth) => {
        const level = thousandth + 5e-4;
        const continuous = {
          ...curve,
          keys: curve.keys.map(({ arrives: _, next: __, ...key }) => key),
          gain: 0,
        };
        const found = findCrossings(continuous, level);
        for (const t of found) {
          const { velocity } = evaluateJet(continuous, t);
          if (Math.abs(velocity) < 1e3)
            assertClose(evaluate(continuous, t), level, { abs: 1e-9 * (1 + Math.abs(velocity)) });
        }
        const begin = curve.period === undefined ? curve.keys[0].time : curve.start;
        const step = (endOf(curve) - begin) / 400;
        for (let i = 0; i < 400 && step > 0; i++) {
          const [a, b] = [begin + i * step, begin + (i + 1) * step];
          const turn = (evaluate(continuous, a) - level) * (evaluate(continuous, b) - level);
          if (turn < 0) expect(found.some((t) => t >= a - 1e-9 && t <= b + 1e-9)).toBe(true);
        }
      }),
      { numRuns: 200 },
    );
  });
});

describe('blendCurves', () => {
  it('gives the mean of two curves with different keys, with the error it states', () => {
    const side = (slope: number) => ({ span: 0.2, slope });
    const key = (time: number, v: number, slope: number) => ({
      time,
      value: v,
      in: side(slope),
      out: side(slope),
    });
    const a: Curve = {
      keys: [key(0, 0, 1), key(0.5, 1, 0)],
      start: 0,
      period: 1,
      before: 'loops',
      after: 'loops',
    };
    const b: Curve = { ...a, keys: [key(0.2, 1, -1), key(0.7, -1, 0.5)] };
    const { curve, error } = blendCurves(a, b, 0.5, { tolerance: 1e-3 });
    expect(error.value.max).toBeLessThanOrEqual(1e-3);
    for (let i = 0; i < 100; i++) {
      const t = i / 100;
      assertClose(evaluate(curve, t), (evaluate(a, t) + evaluate(b, t)) / 2, { abs: 1.05e-3 });
    }
  });
});

describe('arcSpacing', () => {
  it('measures a circle by its circumference', () => {
    // Classic four-segment circle: relative radius error 2.7e-4 at most (memory).
    const k = 0.5522847498;
    const quarter = (v: readonly number[]) =>
      v.map((value, i) => ({
        time: i,
        value,
        in: { span: 1 / 3, slope: 0 },
        out: { span: 1 / 3, slope: 0 },
      }));
    const xs = quarter([1, 0, -1, 0, 1]).map((key, i) => {
      const slope = [0, -3 * k, 0, 3 * k, 0][i];
      return { ...key, in: { span: 1 / 3, slope }, out: { span: 1 / 3, slope } };
    });
    const ys = quarter([0, 1, 0, -1, 0]).map((key, i) => {
      const slope = [3 * k, 0, -3 * k, 0, 3 * k][i];
      return { ...key, in: { span: 1 / 3, slope }, out: { span: 1 / 3, slope } };
    });
    const curve = (keys: Curve['keys']): Curve => ({ keys, start: 0, before: 'holds', after: 'holds' });
    const lengths = arcSpacing([curve(xs), curve(ys)], [0, 1, 2, 3, 4]);
    const total = lengths.reduce((a, b) => a + b, 0);
    assertClose(total, 2 * Math.PI, { rel: 3e-4 });
    const reference = new Bezier(1, 0, 1, k, k, 1, 0, 1).length();
    assertClose(lengths[0], reference, { rel: 1e-9 });
  });
});
