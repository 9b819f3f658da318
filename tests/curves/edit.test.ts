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
  shiftCurve,
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

  it('states the change truthfully for any key of any curve, ends, jumps, holds and the seam included', () => {
    fc.assert(
      fc.property(anyCurve, share, share, (given, pick, u) => {
        fc.pre(given.keys.length > 1);
        const steep = (key: Curve['keys'][number]) => Math.min(key.in.span, key.out.span) > 1e-3;
        fc.pre(given.keys.every(steep));
        const keys = given.keys.map((key, id) => ({ ...key, meta: { id } }));
        const curve: Curve = { ...given, keys };
        const index = Math.min(keys.length - 1, Math.floor(pick * keys.length));
        const { curve: less, error } = removeKey(curve, index);
        expect(checkCurve(less)).toEqual([]);
        expect(less.keys.map((key) => key.meta)).toEqual(
          keys.filter((_, id) => id !== index).map((key) => key.meta),
        );
        const begin = curve.period === undefined ? keys[0].time : curve.start;
        const t = begin + (0.001 + 0.998 * u) * (endOf(curve) - begin);
        fc.pre(keys.every((key) => Math.abs(key.time - t) > 1e-6));
        fc.pre(Math.abs(evaluateJet(curve, t).velocity) < 1e3);
        expect(Math.abs(evaluate(less, t) - evaluate(curve, t))).toBeLessThanOrEqual(error.max * 1.02 + 1e-9);
      }),
      { numRuns: 500 },
    );
  });

  it('refits towards the value that arrives at a neighbour that jumps', () => {
    const side = (span: number) => ({ span, slope: 0 });
    const keys = [
      { time: 0, value: 0, in: side(0), out: side(0.2) },
      { time: 1, value: 9, arrives: 1, in: side(0.7), out: side(0) },
    ];
    const curve = insertKey({ keys, start: 0, before: 'holds', after: 'holds' }, 0.4);
    expect(removeKey(curve, 1).error.max).toBeLessThan(1e-3);
  });

  it('leaves lines lines and holds holds', () => {
    const side = { span: 0.2, slope: 7 };
    const key = (time: number, value: number, next: 'line' | 'hold') => ({
      time,
      value,
      in: side,
      out: side,
      next,
    });
    for (const next of ['line', 'hold'] as const) {
      const keys = [0, 1, 2].map((time) => key(time, next === 'line' ? time : 3, next));
      const { curve, error } = removeKey({ keys, start: 0, before: 'holds', after: 'holds' }, 1);
      expect(curve.keys[0]).toEqual(keys[0]);
      expect(error.max).toBeLessThan(1e-12);
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

describe('joinCurves', () => {
  const side = (slope: number) => ({ span: 0.2, slope });
  const ends = { start: 0, before: 'straight', after: 'holds' } as const;
  const key = (time: number, value: number, more = {}) => ({
    time,
    value,
    in: side(-1),
    out: side(1),
    ...more,
  });

  it('makes one key of two, with what arrives from the first and what leaves from the second', () => {
    const first: Curve = { ...ends, keys: [key(0, 0), key(1, 2, { in: side(3), next: 'hold' })] };
    const second: Curve = {
      ...ends,
      start: 1,
      keys: [key(1, 5, { arrives: 9 }), key(2, 6)],
      after: 'straight',
    };
    const whole = joinCurves(first, second);
    expect(whole).toEqual({
      ...ends,
      after: 'straight',
      keys: [first.keys[0], { ...second.keys[0], in: side(3), arrives: 2 }, second.keys[1]],
    });
    const level = joinCurves(first, { ...second, keys: [key(1, 2, { next: 'line' }), key(2, 6)] });
    expect(level.keys[1]).toEqual(key(1, 2, { in: side(3), next: 'line' }));
    const jumps = joinCurves({ ...first, keys: [key(0, 0), key(1, 5, { arrives: 4 })] }, second);
    expect(jumps.keys[1]).toMatchObject({ arrives: 4, value: 5 });
  });

  it('keeps the metadata of both keys and both curves, the first where both have a field, and a lock of either', () => {
    const first = (more: object): Curve => ({ ...ends, keys: [key(0, 0), key(1, 0, more)] });
    const second = (more: object): Curve => ({ ...ends, start: 1, keys: [key(1, 0, more), key(2, 0)] });
    const seam = (a: object, b: object) => joinCurves(first(a), second(b)).keys[1];
    expect(seam({ meta: { a: 1, both: 1 } }, { meta: { b: 2, both: 2 } }).meta).toEqual({
      a: 1,
      b: 2,
      both: 1,
    });
    expect(seam({ meta: { a: 1 } }, {}).meta).toEqual({ a: 1 });
    expect(seam({}, { meta: { b: 2 } }).meta).toEqual({ b: 2 });
    expect('meta' in seam({}, {})).toBe(false);
    expect(seam({ locked: true }, { locked: false }).locked).toBe(true);
    expect(seam({ locked: false }, { locked: true }).locked).toBe(true);
    expect(seam({}, {}).locked).toBeUndefined();
    const curves = joinCurves(
      { ...first({}), of: 'root', meta: { a: 1, both: 1 } },
      { ...second({}), of: 'root', meta: { b: 2, both: 2 } },
    );
    expect(curves).toMatchObject({ of: 'root', meta: { a: 1, b: 2, both: 1 } });
    expect('of' in joinCurves({ ...first({}), of: 'root' }, { ...second({}), of: 'centreOfMass' })).toBe(
      false,
    );
    expect('of' in joinCurves(first({}), { ...second({}), of: 'root' })).toBe(false);
  });

  it('takes curves that meet but for the rounding of a shift, and no others', () => {
    fc.assert(
      fc.property(openCurve, openCurve, share, share, (one, two, u, v) => {
        const first = shiftCurve(one, 9 * u);
        const second = shiftCurve(two, 9 * v);
        const { time } = first.keys[first.keys.length - 1];
        const next = shiftCurve(second, time - second.keys[0].time);
        const whole = joinCurves(first, next);
        expect(checkCurve(whole)).toEqual([]);
        expect(whole.keys[first.keys.length - 1].time).toBe(time);
        expect(whole.keys.length).toBe(one.keys.length + two.keys.length - 1);
        for (const by of [1e-7, -1e-7]) {
          expect(() => joinCurves(first, shiftCurve(next, by))).toThrow(
            `joinCurves: second.keys[0].time must be ${time} s, where the first curve ends, got `,
          );
        }
      }),
    );
  });

  it('refuses a curve that repeats, by name', () => {
    const open: Curve = { ...ends, keys: [key(0, 0), key(1, 0)] };
    const loop: Curve = { ...open, period: 2 };
    expect(() => joinCurves(loop, open)).toThrow('joinCurves: first.period must be left out');
    expect(() => joinCurves(open, loop)).toThrow('joinCurves: second.period must be left out');
    expect(() => splitCurve(loop, 0.5)).toThrow('splitCurve: period must be left out');
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

describe('features of one cycle', () => {
  const flat = { span: 0.1, slope: 0 };
  const key = (time: number, value: number, more = {}) => ({ time, value, in: flat, out: flat, ...more });

  it('boundsOf holds every value of a cycle, and no more, with a gain and a first key after the start', () => {
    fc.assert(
      fc.property(anyCurve, (curve) => {
        const { start, end, min, max, minAt, maxAt } = boundsOf(curve);
        let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
        for (let i = 0; i < 300; i++) {
          const v = evaluate(curve, start + ((end - start) * i) / 300);
          expect(v).toBeGreaterThanOrEqual(min - 1e-9);
          expect(v).toBeLessThanOrEqual(max + 1e-9);
          least = Math.min(least, v);
          most = Math.max(most, v);
        }
        expect(minAt >= start && minAt <= end && maxAt >= start && maxAt <= end).toBe(true);
        // Seen from just beside it, on either side, the box is touched.
        for (const [at, value] of [
          [minAt, min],
          [maxAt, max],
        ]) {
          const near = [-1e-9, 0, 1e-9].map((dt) => {
            const t = Math.min(Math.max(at + dt, start), end - (curve.period === undefined ? 0 : 1e-9));
            return Math.abs(evaluate(curve, t) - value);
          });
          const { arrives } = curve.keys[0];
          if (at === start && arrives === value) continue;
          fc.pre(curve.keys.every((k) => Math.abs(evaluateJet(curve, k.time).velocity) < 1e4));
          expect(Math.min(...near)).toBeLessThan(2e-3);
        }
      }),
    );
  });

  it('findCrossings gives the start of a stretch on the level, once, also across the seam and at the last key', () => {
    const keys = [key(0, 1), key(1, 0, { next: 'hold' }), key(2, 0, { next: 'line' }), key(3, 0), key(4, 1)];
    expect(findCrossings({ keys, start: 0, before: 'holds', after: 'holds' }, 0)).toEqual([1]);
    const loop: Curve = { keys, start: 0, period: 5, before: 'loops', after: 'loops' };
    expect(findCrossings(loop, 0)).toEqual([1]);
    const shifted = { ...loop, keys: [key(0, 0), key(1, 1), key(4, 0, { next: 'hold' })] } as Curve;
    expect(findCrossings(shifted, 0)).toEqual([4]);
    const still = { ...loop, keys: [key(0.5, 0, { next: 'hold' })] } as Curve;
    expect(findCrossings(still, 0)).toEqual([0]);
    const late: Curve = {
      keys: [key(0, 1), key(1, 0.2, { arrives: 0.5 })],
      start: 0,
      before: 'holds',
      after: 'holds',
    };
    expect(findCrossings(late, 0.2)).toEqual([1]);
  });

  it('are blind to the size of times and values', () => {
    for (const scale of [1e-9, 1, 1e9]) {
      for (const size of [1e-50, 1, 1e50]) {
        const side = (slope: number) => ({ span: scale / 3, slope: (slope * size) / scale });
        const keys = [0, 1, 2].map((i) => ({
          time: i * scale,
          value: (i % 2) * size,
          in: side(i % 2 ? -1 : 1),
          out: side(i % 2 ? 1 : -1),
        }));
        const curve: Curve = { keys, start: 0, before: 'holds', after: 'holds' };
        expect(findCrossings(curve, 0.5 * size).length).toBe(2);
        expect(findExtremes(curve).length).toBe(5);
        expect(findInflections(curve).length).toBe(2);
      }
    }
  });

  it('findExtremes gives the further value of a jump, findInflections a key at which the bend changes', () => {
    const side = (slope: number) => ({ span: 1 / 3, slope });
    const rise = { time: 0, value: 0, in: side(1), out: side(1) };
    const jump = { time: 1, value: 0, in: side(1), out: side(-1), arrives: 5 };
    const fall = { time: 2, value: -1, in: side(-1), out: side(-1) };
    const curve: Curve = { keys: [rise, jump, fall], start: 0, before: 'holds', after: 'holds' };
    expect(findExtremes(curve)).toEqual([{ time: 1, value: 5 }]);
    const keys = [
      { time: 0, value: 0, in: side(0), out: side(0) },
      { time: 1, value: 1, in: side(2), out: side(2) },
      { time: 2, value: 2, in: side(0), out: side(0) },
    ];
    // 1 + 2 t − t² on the right, t² on the left.
    const bent: Curve = { keys, start: 0, before: 'holds', after: 'holds' };
    expect(findInflections(bent)).toEqual([{ time: 1, value: 1 }]);
    const straight: Curve = {
      keys: [0, 0.7, 1.9].map((time) => ({ time, value: 0.1 + 0.3 * time, in: side(0.3), out: side(0.3) })),
      start: 0,
      before: 'holds',
      after: 'holds',
    };
    expect(findInflections(straight)).toEqual([]);
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

  it('measures the way there and back, and beside vertical tangents', () => {
    const arc = (out: number, into: number, slopes: readonly number[], end: number): number => {
      const keys = [
        { time: 0, value: 0, in: { span: 0, slope: 0 }, out: { span: out, slope: slopes[0] } },
        { time: 1, value: end, in: { span: into, slope: slopes[1] }, out: { span: 0, slope: 0 } },
      ];
      return arcSpacing([{ keys, start: 0, before: 'holds', after: 'holds' }], [0, 1])[0];
    };
    const third = 1 / 3;
    assertClose(arc(0.3, 0.3, [0, 0], 1), 1, { rel: 1e-9 });
    assertClose(arc(third, third, [3, -3], 0), 1.5, { rel: 1e-9 });
    // 3 s − 2.1 s² − 0.6 s³: up to its turning point at s = (−4.2 + √(4.2² + 4 · 1.8 · 3)) / 3.6, then down to 0.3.
    const s = (-4.2 + Math.sqrt(4.2 ** 2 + 4 * 1.8 * 3)) / 3.6;
    const top = 3 * s - 2.1 * s * s - 0.6 * s ** 3;
    assertClose(arc(third, third, [3, -3], 0.3), 2 * top - 0.3, { rel: 1e-9 });
    for (const [out, into] of [
      [0, 1],
      [1, 0],
      [1, 1],
      [0, 0],
    ]) {
      assertClose(arc(out, into, [0, 0], 1), 1, { rel: 2e-4 });
    }
  });

  it('refuses to count the keys of too many cycles', () => {
    const flat = { span: 0, slope: 0 };
    const keys = [{ time: 0, value: 0, in: flat, out: flat }];
    const fast: Curve = { keys, start: 0, period: 1e-9, before: 'loops', after: 'loops' };
    expect(() => arcSpacing([fast], [0, 1])).toThrow('arcSpacing: times must pass at most 1000000 keys');
    expect(arcSpacing([fast], [1e7, 1e7 + 1e-6])).toEqual([0]);
  });
});
