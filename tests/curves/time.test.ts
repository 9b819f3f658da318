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

  it('shift there and back, stretch there and back, reverse twice and retime to the same times change nothing', () => {
    fc.assert(
      fc.property(anyCurve, share, fc.double({ min: 0.2, max: 4, noNaN: true }), (given, u, factor) => {
        const curve: Curve = {
          ...given,
          of: 'root',
          meta: { by: 'the porter' },
          keys: given.keys.map((key, id) => ({
            ...key,
            meta: { id },
            ...(id === 1 ? { locked: true } : {}),
          })),
        };
        const moved = [
          shiftCurve(shiftCurve(curve, factor), -factor),
          stretchCurve(stretchCurve(curve, factor, u), 1 / factor, u),
          reverseCurve(reverseCurve(curve)),
          retimeCurve(
            curve,
            curve.keys.map((key) => key.time),
          ),
        ];
        const inside = curve.period !== undefined || curve.keys.length > 1;
        const t = inside ? tameTime(curve, u) : curve.keys[0].time + 1;
        for (const back of moved) {
          assertClose(evaluate(back, t), evaluate(curve, t), { abs: ROUNDING });
          assertClose(back.start, curve.start, { abs: 1e-13 });
          expect(back).toMatchObject({
            of: 'root',
            meta: curve.meta,
            before: curve.before,
            after: curve.after,
          });
          back.keys.forEach((key, i) => {
            assertClose(key.time, curve.keys[i].time, { abs: 1e-12 });
            expect([key.meta, key.locked]).toEqual([curve.keys[i].meta, curve.keys[i].locked]);
          });
        }
        expect(moved[3].keys).toEqual(curve.keys);
      }),
    );
  });

  it('keep handles valid where rounding makes their segment shorter, and refuse keys that fall together', () => {
    const keys = [0, 1, 2].map((i) => ({
      time: i / 24,
      value: i,
      in: { span: 1 / 24, slope: 1 },
      out: { span: 1 / 24, slope: 1 },
    }));
    const curve: Curve = { keys, start: 0, before: 'holds', after: 'holds' };
    for (const by of [1e6, -1e9 / 3, 1e10]) expect(checkCurve(shiftCurve(curve, by))).toEqual([]);
    expect(() => shiftCurve(curve, 1e17)).toThrow('shiftCurve: keys[1].time must be >');
    expect(() => stretchCurve(curve, 1e-15, 1000)).toThrow('stretchCurve: keys[1].time must be >');
  });

  it('retiming refuses times that are none, that leave the cycle, and a period where there is none', () => {
    const flat = { span: 0.1, slope: 0 };
    const keys = [0, 0.5].map((time) => ({ time, value: time, in: flat, out: flat }));
    const open: Curve = { keys, start: 0, before: 'holds', after: 'holds' };
    const loop: Curve = { ...open, period: 1, before: 'loops', after: 'loops' };
    expect(() => retimeCurve(open, [0, Number.NaN])).toThrow('retimeCurve: times[1] must be > 0 s, got NaN');
    expect(() => retimeCurve(open, [1, 1])).toThrow('retimeCurve: times[1] must be > 1 s, got 1');
    expect(() => retimeCurve(open, ['0', 1] as unknown as number[])).toThrow(TypeError);
    expect(() => retimeCurve(loop, [0, 1])).toThrow('retimeCurve: times[1] must be in (0, 1) s, got 1');
    expect(() => retimeCurve(open, [0, 1], 2)).toThrow('retimeCurve: period must be left out');
    const early: Curve = { ...open, start: -2 };
    expect(retimeCurve(early, [3, 4]).start).toBe(1);
    expect(reverseCurve(early).start).toBe(-2);
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
        const t = open.keys[0].time + u * cycles * curve.period!;
        fc.pre(Math.abs(evaluateJet(repeated, t).velocity) < 1e3);
        fc.pre(open.keys.every((key) => Math.abs(key.time - t) > 1e-6));
        fc.pre(Math.abs(((t - curve.start) / curve.period!) % 1) > 1e-6);
        assertClose(evaluate(open, t), evaluate(repeated, t), { abs: ROUNDING });
      }),
    );
  });

  it('cut at another phase, do not move', () => {
    fc.assert(
      fc.property(tame, share, fc.double({ min: -3, max: 3, noNaN: true }), (curve, u, start) => {
        fc.pre(curve.before === 'loops' || curve.before === 'travels');
        fc.pre(curve.before === curve.after);
        const t = tameTime(curve, u);
        const moved = cutLoop(curve, start);
        expect(checkCurve(moved)).toEqual([]);
        const back = cutLoop(moved, curve.start);
        fc.pre(Math.abs(t - curve.start) > 1e-6 && Math.abs(t - curve.start - curve.period!) > 1e-6);
        assertClose(evaluate(back, t), evaluate(curve, t), { abs: ROUNDING });
        const far = t + 1000 * curve.period!;
        assertClose(evaluate(moved, far), evaluate(curve, far), { abs: 1e-5 });
        fc.pre(moved.keys.every((key) => Math.abs(((key.time - t) / curve.period!) % 1) > 1e-6));
        assertClose(evaluate(moved, t), evaluate(curve, t), { abs: ROUNDING });
      }),
    );
  });

  it('that drop a gain inside a segment beside a locked key cannot be unrolled, and say so', () => {
    const side = { span: 0.2, slope: 1 };
    const keys = [0.5, 1].map((time) => ({ time, value: time, in: side, out: side, locked: time === 1 }));
    const loop: Curve = { keys, start: 0, period: 2, gain: 1, before: 'loops', after: 'loops' };
    for (const make of [() => unrollCurve(loop, 2), () => cutLoop(loop, 0.7)]) {
      expect(make).toThrow(/^(unrollCurve|cutLoop): keys\[1\] must not be locked/);
    }
    expect(unrollCurve({ ...loop, before: 'travels', after: 'travels' }, 2).keys.length).toBe(5);
  });

  it('unrolled and closed again, are the same loop, holds and metadata included', () => {
    const side = { span: 0.1, slope: 0 };
    const keys = [0, 0.4, 0.9].map((time, id) => ({
      time,
      value: time * time,
      in: side,
      out: side,
      ...(id === 2 ? { next: 'hold' as const } : {}),
      meta: { id },
    }));
    const loop: Curve = { keys, start: 0, period: 1, gain: 2, before: 'travels', after: 'travels' };
    expect(loopCurve(unrollCurve(loop, 1), { travels: true })).toEqual({
      curve: loop,
      seam: { value: 0, slope: 0 },
    });
    const [first, ...rest] = unrollCurve(loop, 1).keys;
    const closing = { ...rest[rest.length - 1], locked: true, arrives: 9, meta: { id: 7, note: 'end' } };
    const open: Curve = { ...unrollCurve(loop, 1), keys: [first, ...rest.slice(0, -1), closing] };
    const closed = loopCurve(open, { travels: true }).curve;
    expect(closed.keys[0]).toMatchObject({ locked: true, meta: { id: 0, note: 'end' } });
    expect(closed.gain).toBe(2);
    expect(() => loopCurve(open, { travels: 1 } as never)).toThrow(
      'loopCurve: travels must be true or false',
    );
    expect(() => loopCurve(open, { traveled: true } as never)).toThrow(TypeError);
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
    for (const fps of [23.98, 47.95, 47.952, 59.94, 119.88]) {
      expect(exactFrameRate(fps), `${fps}`).toEqual({ frames: Math.round(fps) * 1000, seconds: 1001 });
    }
    expect(exactFrameRate(23.97)).toEqual({ frames: 23.97, seconds: 1 });
    expect(exactFrameRate(25)).toEqual({ frames: 25, seconds: 1 });
    expect(exactFrameRate(12.5)).toEqual({ frames: 12.5, seconds: 1 });
  });

  it('numbers frames and times without drift over a day', () => {
    const rate = exactFrameRate(29.97);
    for (const frame of [1, 17982, 2589408]) expect(frameAtTime(timeOfFrame(frame, rate), rate)).toBe(frame);
  });

  it('refuses frames and times that are too many at their rate', () => {
    expect(() => timeOfFrame(1e300, 1e-300)).toThrow(
      'timeOfFrame: frame must have a finite time at this rate, got 1e+300',
    );
    expect(() => frameAtTime(-1e300, 1e300)).toThrow(
      'frameAtTime: t must have a finite frame number at this rate, got -1e+300',
    );
    const key = { time: 1e9, value: 0, in: { span: 0, slope: 0 }, out: { span: 0, slope: 0 } };
    const curve: Curve = { keys: [key], start: 0, before: 'holds', after: 'holds' };
    expect(() => convertFrameRate(curve, { to: 1e305 })).toThrow(
      'convertFrameRate: keys[0].time must have a finite frame number at this rate, got 1000000000',
    );
  });

  it('refuses rates that are none, by field', () => {
    const curve: Curve = {
      keys: [{ time: 0, value: 0, in: { span: 0, slope: 0 }, out: { span: 0, slope: 0 } }],
      start: 0,
      before: 'holds',
      after: 'holds',
    };
    expect(() => timeOfFrame(1, { frames: 0, seconds: 1 })).toThrow('timeOfFrame: rate.frames must be > 0');
    expect(() => frameAtTime(1, { frames: 24 } as never)).toThrow(TypeError);
    expect(() => convertFrameRate(curve, { to: undefined as never })).toThrow(
      'convertFrameRate: to must be > 0',
    );
    expect(() => convertFrameRate(curve, { to: { frames: 24, seconds: -1 } })).toThrow(
      'convertFrameRate: to.seconds must be > 0 s, got -1',
    );
  });

  it('snapped, holds and jumps keep their values, locked keys everything, and keys that meet what follows them', () => {
    const side = { span: 0.1 / 24, slope: 3 };
    const key = (frame: number, value: number, more = {}) => ({
      time: frame / 24,
      value,
      in: side,
      out: side,
      meta: { frame },
      ...more,
    });
    const steps = [0, 1, 2, 3, 5].map((frame) => key(frame, frame * frame, { next: 'hold' }));
    const curve: Curve = { keys: steps, start: 0, before: 'holds', after: 'holds' };
    const { curve: snapped } = convertFrameRate(curve, { to: 30, keys: 'snapped' });
    expect(snapped.keys.map((k) => [k.value, Math.round(k.time * 30)])).toEqual([
      [0, 0],
      [1, 1],
      [4, 3],
      [9, 4],
      [25, 6],
    ]);
    const loose = { ...curve, keys: [key(0, 0), key(1.3, 1, { locked: true }), key(2, 0), key(6, 2)] };
    const kept = convertFrameRate(loose, { to: 24, keys: 'snapped' }).curve.keys;
    expect(kept[1]).toBe(loose.keys[1]);
    const late = { ...curve, keys: [key(0, 0), key(1, 1), key(1.2, 5, { locked: true }), key(6, 2)] };
    expect(convertFrameRate(late, { to: 5, keys: 'snapped' }).curve.keys).toContain(late.keys[2]);
    const meet = { ...curve, keys: [key(0, 0), key(3.9, 1), key(4.1, 5, { next: 'hold' }), key(8, 2)] };
    const met = convertFrameRate(meet, { to: 24, keys: 'snapped' });
    expect(met.dropped).toBe(1);
    expect(met.curve.keys[1]).toMatchObject({ value: 5, arrives: 1, next: 'hold', meta: { frame: 3.9 } });
  });

  it('a frame number at another rate names its time to 1e-12, beside whole frames too', () => {
    for (const t of [1 / 24 + 3e-11, 100 + 1e-10, 86400 + 1e-6, 0.1]) {
      for (const rate of [30, 23.976, 29.97]) {
        assertClose(timeOfFrame(frameAtTime(t, rate), rate), t, { rel: 1.1e-12 });
      }
    }
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
