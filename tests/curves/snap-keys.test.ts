import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { measureChange } from '../../src/curves/edit/measure-change.js';
import {
  type Curve,
  checkCurve,
  convertFrameRate,
  cutLoop,
  evaluate,
  exactFrameRate,
  frameAtTime,
  loopCurve,
  unrollCurve,
} from '../../src/curves/index.js';
import { snapKeys } from '../../src/curves/time/snap-keys.js';
import { evenShare } from './arbitraries.js';

const FPS = 24;
const rate = exactFrameRate(FPS);
const key = (frame: number, value: number, more = {}) => ({
  time: frame / FPS,
  value,
  in: { span: 0.3 / FPS, slope: 1 },
  out: { span: 0.3 / FPS, slope: 1 },
  ...more,
});
const open = (keys: Curve['keys']): Curve => ({
  keys,
  start: keys[0].time,
  before: 'holds',
  after: 'holds',
});
const loop = (keys: Curve['keys'], frames: number, start: number): Curve => ({
  keys,
  start: start / FPS,
  period: frames / FPS,
  before: 'loops',
  after: 'loops',
});
const snap = (curve: Curve) => convertFrameRate(curve, { to: FPS, keys: 'snapped' });
const slope = (of: number) => ({ span: 0.3 / FPS, slope: of });

describe('frame numbers', () => {
  it('are 0 beside 0, where any rounding is large beside the number', () => {
    expect(frameAtTime(1e-14, 24)).toBe(0);
    expect(frameAtTime(-1e-14, 24)).toBe(-0);
  });

  it('refuse what a rate does not have', () => {
    expect(() => frameAtTime(1, { frames: 24, seconds: 1, fps: 24 } as never)).toThrow(
      'frameAtTime: rate must have no fields but frames, seconds, got "fps"',
    );
    expect(() => frameAtTime(1, { frames: 24, seconds: 0 })).toThrow(
      'frameAtTime: rate.seconds must be > 0 s',
    );
  });
});

describe('convertFrameRate', () => {
  it('says under the exact policy that nothing changed, where the curve starts', () => {
    const curve = open([key(48, 1), key(52, 2)]);
    expect(convertFrameRate(curve, { to: 30 })).toEqual({
      curve,
      frames: [60, 65],
      error: { max: 0, at: 2, rms: 0 },
      dropped: 0,
    });
  });

  it('snapped, takes the better of two ways and states a change that is true, also outside the keys there were', () => {
    const gaps = fc.array(fc.tuple(evenShare, evenShare, evenShare), { minLength: 2, maxLength: 5 });
    fc.assert(
      fc.property(gaps, evenShare, (list, first) => {
        let frame = first * 3;
        const curve = open(
          list.map(([gap, value, tilt]) => {
            const made = key(frame, value, { in: slope(20 * tilt - 10), out: slope(20 * tilt - 10) });
            frame += 1 + 4 * gap;
            return made;
          }),
        );
        const { curve: snapped, error, frames } = snap(curve);
        expect(frames.every(Number.isInteger)).toBe(true);
        const [from, to] = [Math.floor(first * 3) / FPS, (frame + 1) / FPS];
        for (let i = 0; i <= 400; i++) {
          const t = from + ((to - from) * i) / 400;
          expect(Math.abs(evaluate(snapped, t) - evaluate(curve, t))).toBeLessThanOrEqual(
            1.02 * error.max + 1e-9,
          );
        }
        const ways = [true, false].map((resample) => {
          const { curve: way } = snapKeys(curve, rate, resample);
          return measureChange(curve, way, from, to, 240).max;
        });
        expect(error.max).toBeLessThanOrEqual(1.02 * Math.min(...ways) + 1e-9);
      }),
    );
  });

  it('snapped, counts what changes before the first key that there was', () => {
    const { error } = snap(open([key(0.4, 0, { arrives: 7 }), key(5, 0)]));
    expect(error.max).toBeGreaterThan(6.5);
    expect(error.at).toBeLessThan(0.4 / FPS);
  });

  it('snapped, finds the frames inside a cycle that begins or ends between two', () => {
    expect(snap(loop([key(1.2, 0), key(6, 1)], 10, 1.1)).frames).toEqual([2, 6]);
    expect(snap(loop([key(3, 0), key(10.9, 1)], 10, 1.2)).frames).toEqual([3, 11]);
    expect(snap(loop([key(3, 0), key(10.6, 1)], 9.8, 1)).frames).toEqual([3, 10]);
  });

  it('snapped, keeps the value of a key after a hold, across the seam too', () => {
    for (const resample of [true, false]) {
      const { curve } = snapKeys(loop([key(0.4, 5), key(5, 2, { next: 'hold' })], 10, 0), rate, resample);
      expect(curve.keys.map(({ time, value }) => [time * FPS, value])).toEqual([
        [0, 5],
        [5, 2],
      ]);
    }
  });

  it('snapped, hands on what leaves the second of two keys that meet', () => {
    const short = { in: { span: 0.1 / FPS, slope: 1 }, out: { span: 0.1 / FPS, slope: 1 } };
    const leaves = { ...short, next: 'line', out: { span: 0, slope: -7 } };
    const keys = [key(0, 0), key(3.9, 1, short), key(4.1, 5, leaves), key(8, 2)];
    const { curve, dropped } = snap(open(keys));
    expect(dropped).toBe(1);
    expect(curve.keys[1].next).toBe('line');
    expect(curve.keys[1].in.slope).toBeGreaterThan(0);
    expect(curve.keys[1].out.slope).toBeLessThan(0);
  });

  it('snapped, keeps corners', () => {
    const corner = key(2.4, 1, { in: slope(8), out: slope(-8) });
    for (const resample of [true, false]) {
      const { curve } = snapKeys(open([key(0, 0), corner, key(5, 0)]), rate, resample);
      expect(curve.keys[1].time).toBe(2 / FPS);
      expect(curve.keys[1].in.slope).toBeGreaterThan(0);
      expect(curve.keys[1].out.slope).toBeLessThan(0);
    }
  });

  it('snapped to before its first key, keeps value and slope there', () => {
    for (const resample of [true, false]) {
      const { curve } = snapKeys(
        open([key(0.4, 3, { out: slope(5), in: slope(5) }), key(5, 0)]),
        rate,
        resample,
      );
      expect(curve.keys[0]).toMatchObject({ time: 0, value: 3 });
      expect(curve.keys[0].out.slope).toBeGreaterThan(3);
    }
  });

  it('snapped, shortens the free handle and not the locked one where both have too little room', () => {
    // Half of the segment and 1.309 of it: as long as two handles can be.
    const length = 5.45 / FPS;
    const locked = key(0, 0, { locked: true, out: { span: length / 2, slope: 1 } });
    const free = key(5.45, 1, { in: { span: 1.309 * length, slope: 1 } });
    const curve = open([locked, free, key(9, 0)]);
    expect(checkCurve(curve)).toEqual([]);
    const snapped = snap(curve).curve;
    expect(checkCurve(snapped)).toEqual([]);
    expect(snapped.keys[0]).toEqual(locked);
    expect(snapped.keys[1].time).toBe(5 / FPS);
    // The same in a mirror.
    const mirrored = open([
      key(-9, 0),
      key(-5.45, 1, { out: { span: 1.309 * length, slope: 1 } }),
      key(0, 0, { locked: true, in: { span: length / 2, slope: 1 } }),
    ]);
    expect(checkCurve(mirrored)).toEqual([]);
    const other = snap(mirrored).curve;
    expect(checkCurve(other)).toEqual([]);
    expect(other.keys[2]).toEqual(mirrored.keys[2]);
    expect(other.keys[1].time).toBe(-5 / FPS);
  });
});

describe('loops', () => {
  it('begin at the first key, wherever the open curve began', () => {
    const { curve } = loopCurve({ ...open([key(24, 0), key(48, 0)]), start: -3 });
    expect(curve).toMatchObject({ start: 1, period: 1 });
    expect(checkCurve(curve)).toEqual([]);
  });

  it('drop a gain inside a line or a hold between locked keys without touching them', () => {
    for (const next of ['line', 'hold']) {
      const keys = [key(6, 0, { locked: true }), key(12, 1, { locked: true, next })];
      const curve: Curve = { ...loop(keys, 24, 0), gain: 1 };
      expect(unrollCurve(curve, 2).keys.filter(({ locked }) => locked).length).toBe(4);
      expect(cutLoop(curve, 0.1).keys.filter(({ locked }) => locked).length).toBe(2);
    }
  });
});
