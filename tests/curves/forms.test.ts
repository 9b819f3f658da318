import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bakeCurve,
  type Curve,
  checkCurve,
  evaluate,
  evaluateJet,
  exactFrameRate,
  fromHermite,
  fromOffsets,
  type Key,
  toHermite,
  toOffsets,
  toThirds,
} from '../../src/curves/index.js';
import { assertClose } from '../support/assert-close.js';
import { anyCurve, evenShare } from './arbitraries.js';

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

  it('flattened, move no value by more than the error that is stated', () => {
    const height = fc.integer({ min: -2000, max: 2000 }).map((n) => n / 1000);
    fc.assert(
      fc.property(height, height, height, fc.boolean(), (up, down, end, wide) => {
        const span = wide ? 1e-300 : 0;
        const keys = [
          {
            time: 0,
            value: 0,
            in: { time: 0, value: 0 },
            out: { time: span, value: up * (wide ? 1e30 : 1) },
          },
          { time: 1, value: end, in: { time: 0, value: down }, out: { time: 0, value: 0 } },
        ];
        const { keys: made, error, at } = fromOffsets(keys, { vertical: 'flatten' });
        expect(at).toBe(error === 0 ? -1 : Math.abs(keys[0].out.value) >= Math.abs(down) ? 0 : 1);
        const curve: Curve = { keys: made, start: 0, before: 'holds', after: 'holds' };
        const y1 = keys[0].out.value;
        const y2 = end + down;
        for (let i = 1; i < 20; i++) {
          const s = i / 20;
          const t = s * s * (3 - 2 * s);
          const exact = 3 * s * (1 - s) ** 2 * y1 + 3 * s * s * (1 - s) * y2 + s ** 3 * end;
          const rounding = 1e-12 * (1 + Math.abs(y1));
          expect(Math.abs(evaluate(curve, t) - exact)).toBeLessThanOrEqual(error + rounding);
        }
      }),
    );
  });

  it('keep the handle that nobody touched bit by bit beside one that was', () => {
    const keys = [{ time: 1 / 3, value: 0.1, in: tangent(0.7, 0.3), out: tangent(0.7, 0.1) }];
    const curve: Curve = { keys, start: 0, before: 'holds', after: 'holds' };
    const [given] = toOffsets(curve);
    const { keys: made } = fromOffsets([{ ...given, value: 5, out: { time: 1, value: 1 } }], { like: curve });
    expect(made[0].in).toBe(keys[0].in);
    expect(made[0].out).toEqual({ span: 1, slope: 1 });
  });

  it('refuses what is no key and no option, by field', () => {
    const good = { time: 0, value: 0, in: { time: 0, value: 0 }, out: { time: 0, value: 0 } };
    const refuses = (key: unknown, text: string, options: unknown = {}): void => {
      expect(() => fromOffsets([key as never], options as never)).toThrow(text);
    };
    refuses(null, 'fromOffsets: keys[0] must be an object, got null');
    refuses({ ...good, time: Number.NaN }, 'fromOffsets: keys[0].time must be a finite number in s, got NaN');
    refuses({ ...good, in: undefined }, 'fromOffsets: keys[0].in must be an object');
    refuses(
      { ...good, out: { time: 'x', value: 0 } },
      'fromOffsets: keys[0].out.time must be a finite number',
    );
    refuses({ ...good, colour: 1 }, 'fromOffsets: keys[0] must have no fields but');
    refuses(good, 'fromOffsets: vertical must be one of', { vertical: 'flat' });
    refuses(good, 'fromOffsets: options must have no fields but', { flatten: true });
    refuses(good, 'fromOffsets: like.keys must be an array', {
      like: { start: 0, before: 'holds', after: 'holds' },
    });
  });

  it('refuses a handle that points backwards in time', () => {
    const key = { time: 0, value: 1, in: { time: 0, value: 0 }, out: { time: -0.1, value: 0.25 } };
    expect(() => fromOffsets([key])).toThrow('keys[0].out must point right');
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

describe('thirds of any curve', () => {
  it('follow it between its keys, past the seam of a cycle that begins before its first key too', () => {
    fc.assert(
      fc.property(anyCurve, evenShare, (given, u) => {
        const keys = given.keys.map((key, id) => ({ ...key, meta: { id } }));
        const curve: Curve = { ...given, keys, of: 'root', meta: { by: 'the giantess' } };
        const { curve: thirds, error } = toThirds(curve, { tolerance: 1e-2 });
        expect(checkCurve(thirds)).toEqual([]);
        expect(thirds).toMatchObject({ of: 'root', meta: curve.meta });
        const ids = thirds.keys.flatMap((key) => (key.meta ? [key.meta.id] : []));
        expect(ids).toEqual(keys.map((_, id) => id));
        const end = curve.period === undefined ? keys[keys.length - 1].time : curve.start + curve.period;
        const t = keys[0].time + u * (end - keys[0].time);
        const early = curve.start + u * (keys[0].time - curve.start);
        for (const at of curve.period === undefined ? [t] : [t, early]) {
          if (keys.some((key) => Math.abs(key.time - at) < 1e-6) || at < curve.start + 1e-6) continue;
          if (at > end - 1e-6 || Math.abs(evaluateJet(curve, at).velocity) > 1e3) continue;
          expect(Math.abs(evaluate(thirds, at) - evaluate(curve, at))).toBeLessThanOrEqual(
            1.1 * error.max + 1e-9,
          );
        }
      }),
    );
  });

  it('meet their tolerance across the seam, whatever the loop does outside and with its gain', () => {
    const keys = [
      { time: 0.4, value: 0, in: tangent(0.5, 2), out: tangent(0.1, 1) },
      { time: 0.5, value: 1, in: tangent(0.02, 1), out: tangent(0.7, 0) },
    ];
    for (const side of ['holds', 'straight', 'loops', 'travels'] as const) {
      const curve: Curve = { keys, start: 0, period: 1, gain: 2, before: side, after: side };
      const { curve: thirds, error, met } = toThirds(curve, { tolerance: 1e-3 });
      expect([side, met, error.max <= 1e-3]).toEqual([side, true, true]);
      for (const t of [0.05, 0.2, 0.35, 0.6, 0.95]) {
        assertClose(evaluate(thirds, t), evaluate(curve, t), { abs: 1.05e-3 });
      }
    }
  });

  it('need no more keys where nothing moves, whatever the spans', () => {
    const keys = [0, 1, 2].map((time) => ({ time, value: 1.7, in: tangent(0.2, 0), out: tangent(0.7, 0) }));
    const result = toThirds({ keys, start: 0, before: 'holds', after: 'holds' });
    expect(result.curve.keys.length).toBe(3);
    expect(result.met).toBe(true);
  });

  it('say so where the tolerance is out of reach, and name the function that was called', () => {
    const up = { time: 0, value: 0, in: tangent(0, 0), out: tangent(0, 0) };
    const wall = { time: 1, value: 1, in: tangent(1, 0), out: tangent(0, 0) };
    const curve: Curve = { keys: [up, wall], start: 0, before: 'holds', after: 'holds' };
    const { met, error } = toHermite(curve, { tolerance: 1e-12 });
    expect(met).toBe(false);
    expect(error).toBeGreaterThan(1e-12);
    expect(() => toHermite(curve, { tolerance: 0 })).toThrow('toHermite: tolerance must be > 0, got 0');
    expect(() => toHermite(3 as never)).toThrow('toHermite: curve must be an object');
  });

  it('fromHermite refuses keys that are none, by field', () => {
    const key = { time: 0, value: 0, in: 0, out: 0 };
    const refuses = (keys: unknown[], text: string, period?: number): void => {
      expect(() => fromHermite(keys as never, period)).toThrow(text);
    };
    refuses([null], 'fromHermite: keys[0] must be an object, got null');
    refuses([{ ...key, out: Number.NaN }], 'fromHermite: keys[0].out must be a finite number, got NaN');
    refuses([key, key], 'fromHermite: keys[1].time must be > 0 s, got 0');
    refuses([key, { ...key, time: 1 }], 'fromHermite: period must be > 1 s, got 1', 1);
    expect(fromHermite([])).toEqual([]);
  });
});

describe('bakeCurve', () => {
  it('agrees with evaluate away from jumps, and with the value after a jump on a frame, cycle after cycle', () => {
    const frames = fc.array(fc.integer({ min: 1, max: 4 }), { minLength: 1, maxLength: 5 });
    fc.assert(
      fc.property(
        frames,
        fc.integer({ min: 0, max: 5 }),
        fc.constantFrom(24, 23.976, 30),
        (gaps, first, fps) => {
          const { frames: n, seconds } = exactFrameRate(fps);
          const at = (frame: number): number => (frame * seconds) / n;
          const total = gaps.reduce((sum, gap) => sum + gap, 0);
          let frame = first;
          const keys = gaps.map((gap, i): Key => {
            const key: Key = {
              time: at(frame),
              value: i,
              in: tangent(0, 0),
              out: tangent(0, 0),
              next: 'hold',
            };
            frame += gap;
            return key;
          });
          const loop: Curve = { keys, start: at(first), period: at(total), before: 'loops', after: 'loops' };
          const { values, lastRepeatsFirst } = bakeCurve(loop, { fps, end: at(first) + 7 * at(total) });
          const expected = gaps.flatMap((gap, i) => new Array<number>(gap).fill(i));
          expect(values).toEqual([...new Array(7).fill(expected).flat(), 0]);
          expect(lastRepeatsFirst).toBe(true);
          const walk: Curve = { ...loop, gain: 10, before: 'travels', after: 'travels' };
          const raised = bakeCurve(walk, { fps, end: at(first) + 2 * at(total) }).values;
          expect(raised).toEqual([...expected, ...expected.map((v) => v + 10), 20]);
        },
      ),
    );
    fc.assert(
      fc.property(anyCurve, fc.integer({ min: 5, max: 60 }), (curve, fps) => {
        const smooth = { ...curve, keys: curve.keys.map(({ arrives: _, next: __, ...key }) => key) };
        const free = curve.gain && curve.after !== 'travels' ? { ...smooth, gain: 0 } : smooth;
        const baked = bakeCurve(free, { fps, end: curve.keys[0].time + 5 });
        expect(baked.values).toEqual(baked.times.map((t) => evaluate(free, t)));
      }),
    );
  });

  it('states that the last frame repeats the first only where it does', () => {
    const key = (time: number, value: number) => ({ time, value, in: tangent(0.1, 0), out: tangent(0.1, 0) });
    const walk: Curve = {
      keys: [key(0, 0)],
      start: 0,
      period: 0.5,
      gain: 2,
      before: 'travels',
      after: 'travels',
    };
    expect(bakeCurve(walk, { fps: 24, repeatFirst: true }).lastRepeatsFirst).toBe(true);
    expect(bakeCurve(walk, { fps: 24, end: 1.5 }).lastRepeatsFirst).toBe(true);
    expect(bakeCurve(walk, { fps: 24, end: 1.4 }).lastRepeatsFirst).toBe(false);
    const once: Curve = { ...walk, before: 'holds', after: 'holds' };
    expect(bakeCurve(once, { fps: 24, repeatFirst: true }).lastRepeatsFirst).toBe(false);
    const open: Curve = { keys: [key(0, 0), key(1, 0)], start: 0, before: 'holds', after: 'holds' };
    expect(bakeCurve(open, { fps: 24 }).lastRepeatsFirst).toBe(false);
  });

  it('takes exact rates, and refuses options that are none', () => {
    const still: Curve = {
      keys: [{ time: 0, value: 1, in: tangent(0, 0), out: tangent(0, 0) }],
      start: 0,
      before: 'holds',
      after: 'holds',
    };
    const rate = { frames: 24000, seconds: 1001 };
    expect(bakeCurve(still, { fps: rate, end: 1001 }).times[24000]).toBe(1001);
    expect(bakeCurve(still, { fps: 23.976, end: 1001 }).times.length).toBe(24001);
    expect(() => bakeCurve(still, { fps: 0 })).toThrow('bakeCurve: fps must be > 0, got 0');
    expect(() => bakeCurve(still, { fps: 24, repeatFirst: 1 as never })).toThrow(TypeError);
  });

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
