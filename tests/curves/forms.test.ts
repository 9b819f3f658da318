import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bakeCurve,
  type Curve,
  evaluate,
  fromHermite,
  fromOffsets,
  type Key,
  toHermite,
  toOffsets,
  toThirds,
} from '../../src/curves/index.js';
import { assertClose } from '../support/assert-close.js';
import { anyCurve } from './arbitraries.js';

/** The promise for converted keys. */
const CONVERTED = 1e-12;

const tangent = (span: number, slope: number) => ({ span, slope });

describe('offsets', () => {
  it('round-trip to 1e-12, and bit by bit for keys that nobody touched', () => {
    fc.assert(
      fc.property(anyCurve, (curve) => {
        const offsets = toOffsets(curve);
        const { keys } = fromOffsets(offsets);
        curve.keys.forEach((key, i) => {
          for (const side of ['in', 'out'] as const) {
            expect(keys[i][side].span).toBe(key[side].span);
            if (key[side].span > 1e-300 && key[side].span * key[side].slope !== 0) {
              assertClose(keys[i][side].slope, key[side].slope, { rel: CONVERTED });
            }
          }
        });
        expect(fromOffsets(offsets, { like: curve }).keys).toEqual(curve.keys);
      }),
    );
  });

  it('refuses a vertical handle by key, or flattens it and says what that costs', () => {
    const key = { time: 0, value: 1, in: { time: 0, value: 0 }, out: { time: 0, value: 0.25 } };
    expect(() => fromOffsets([key])).toThrow(
      'fromOffsets: keys[0].out must not be vertical: it has no slope',
    );
    expect(fromOffsets([key], { vertical: 'flatten' })).toMatchObject({ error: 0.25, at: 0 });
  });

  it('refuses a handle that points backwards in time', () => {
    const key = { time: 0, value: 1, in: { time: 0, value: 0 }, out: { time: -0.1, value: 0.25 } };
    expect(() => fromOffsets([key])).toThrow('keys[0].out must be finite and point right');
  });

  it('carry metadata, locks and kinds along', () => {
    const key: Key = {
      time: 0,
      value: 0,
      in: tangent(0, 0),
      out: tangent(0.1, 1),
      next: 'line',
      locked: true,
      meta: { by: 'the porter' },
    };
    const curve: Curve = { keys: [key], start: 0, before: 'holds', after: 'holds' };
    expect(fromOffsets(toOffsets(curve)).keys[0]).toMatchObject({
      next: 'line',
      locked: true,
      meta: key.meta,
    });
  });
});

describe('Hermite keys and thirds', () => {
  it('keep a curve with third-length spans as it is', () => {
    const keys = fromHermite([
      { time: 0, value: 0, in: 1, out: 1 },
      { time: 0.3, value: 0.2, in: -1, out: 2 },
      { time: 1, value: 0.1, in: 0, out: 0 },
    ]);
    const curve: Curve = { keys, start: 0, before: 'holds', after: 'holds' };
    const { keys: hermite, error } = toHermite(curve);
    expect(error).toBe(0);
    expect(fromHermite(hermite)).toEqual(keys);
  });

  it('agree with the textbook Hermite basis, derivatives per second', () => {
    const [m0, m1, h, v1] = [3, -2, 0.6, 0.5];
    const keys = fromHermite([
      { time: 0, value: 0, in: m0, out: m0 },
      { time: h, value: v1, in: m1, out: m1 },
    ]);
    for (const s of [0.1, 0.37, 0.5, 0.93]) {
      const basis =
        (s ** 3 - 2 * s * s + s) * h * m0 + (3 * s * s - 2 * s ** 3) * v1 + (s ** 3 - s * s) * h * m1;
      assertClose(evaluate({ keys, start: 0, before: 'holds', after: 'holds' }, s * h), basis, {
        abs: 1e-14,
      });
    }
  });

  it('state truthfully how far free spans had to move, on open curves and loops', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.tuple(
            fc.double({ min: 0.15, max: 0.6, noNaN: true }),
            fc.double({ min: -1, max: 1, noNaN: true }),
          ),
          {
            minLength: 2,
            maxLength: 5,
          },
        ),
        fc.boolean(),
        (list, cyclic) => {
          const keys = list.map(([share, value], i) => ({
            time: i / 2,
            value,
            in: tangent(share / 2, value),
            out: tangent((0.7 - share) / 2 + 0.05, value),
          }));
          const period = list.length / 2;
          const curve: Curve = cyclic
            ? { keys, start: 0, period, before: 'loops', after: 'loops' }
            : { keys, start: 0, before: 'holds', after: 'holds' };
          const { curve: thirds, error, met } = toThirds(curve, { tolerance: 1e-3 });
          expect(met).toBe(true);
          const n = thirds.keys.length;
          const end = cyclic ? period : keys[keys.length - 1].time;
          for (let i = 0; i <= 500; i++) {
            const t = (end * i) / 500;
            expect(Math.abs(evaluate(thirds, t) - evaluate(curve, t))).toBeLessThanOrEqual(
              error.max * 1.02 + 1e-12,
            );
          }
          thirds.keys.slice(0, cyclic ? n : n - 1).forEach((key, i) => {
            const next = thirds.keys[(i + 1) % n];
            const length = i + 1 < n ? next.time - key.time : thirds.keys[0].time + period - key.time;
            assertClose(key.out.span, length / 3, { rel: 1e-9 });
            assertClose(next.in.span, length / 3, { rel: 1e-9 });
          });
        },
      ),
      { numRuns: 60 },
    );
  });
});

describe('bakeCurve', () => {
  const loop: Curve = {
    keys: [{ time: 0, value: 1, in: tangent(0.1, 0), out: tangent(0.1, 0) }],
    start: 0,
    period: 0.5,
    before: 'loops',
    after: 'loops',
  };

  it('states whether the last frame repeats the first', () => {
    expect(bakeCurve(loop, { fps: 24 })).toMatchObject({ lastRepeatsFirst: false });
    expect(bakeCurve(loop, { fps: 24 }).times.length).toBe(12);
    const closed = bakeCurve(loop, { fps: 24, repeatFirst: true });
    expect(closed.times.length).toBe(13);
    expect(closed.lastRepeatsFirst).toBe(true);
    expect(closed.values[12]).toBe(closed.values[0]);
  });

  it('refuses more samples than it should ever make', () => {
    expect(() => bakeCurve(loop, { fps: 1e9, end: 10 })).toThrow(
      'bakeCurve: end must give at most 1e7 samples',
    );
  });
});
