import { describe, expect, it } from 'vitest';
import {
  bakeCurve,
  type Curve,
  evaluate,
  exactFrameRate,
  fromHermite,
  fromOffsets,
  toOffsets,
  toThirds,
} from '../../src/curves/index.js';
import { assertClose } from '../support/assert-close.js';

/** Rounding of a span that is computed as a third of a segment. */
const ROUNDED = 1e-12;

const tangent = (span: number, slope = 0) => ({ span, slope });
const key = (time: number, value: number, span: number, more = {}) => ({
  time,
  value,
  in: tangent(span, 0.1),
  out: tangent(span, 0.1),
  ...more,
});
const open = (keys: Curve['keys']): Curve => ({ keys, start: 0, before: 'holds', after: 'holds' });

describe('offsets', () => {
  it('are found in the curve they came from by their time, when keys were left out', () => {
    const curve = open([key(0, 0, 0.7), key(1, 1, 0.3), key(2, 0, 0.6)]);
    const { keys } = fromOffsets(toOffsets(curve).slice(1), { like: curve });
    expect([keys[0].in, keys[1].out]).toEqual([curve.keys[1].in, curve.keys[2].out]);
    expect(keys[0].in).toBe(curve.keys[1].in);
    expect(keys[1].out).toBe(curve.keys[2].out);
  });

  it('of handles without length are zeros without a sign', () => {
    const [{ in: left }] = toOffsets(open([{ time: 0, value: 0, in: tangent(0), out: tangent(0) }]));
    expect(left.time).toBe(0);
    expect(left.value).toBe(0);
  });

  it('flattened, keep their width, and the first of equal heights is named', () => {
    const up = { time: 0, value: 2 };
    const steep = { time: 1e-300, value: 1e30 };
    const at = (time: number, out = up) => ({ time, value: 0, in: { time: 0, value: 0 }, out });
    expect(fromOffsets([at(0), at(1)], { vertical: 'flatten' })).toMatchObject({ error: 2, at: 0 });
    expect(fromOffsets([at(0, steep)], { vertical: 'flatten' }).keys[0].out).toEqual(tangent(1e-300));
    expect(() => fromOffsets([at(0, steep)])).toThrow(
      'fromOffsets: keys[0].out must not be vertical: it has no slope, unless vertical is "flatten", got 1e-300 s, 1e+30',
    );
  });
});

describe('thirds', () => {
  it('are made of spans that are nearly thirds, and left alone where only rounding is between', () => {
    const near = toThirds(open([key(0, 0, 1 / 3 + 5e-4), key(1, 1, 1 / 3)])).curve.keys;
    near.slice(1).forEach((each, i) => {
      assertClose(near[i].out.span, (each.time - near[i].time) / 3, { rel: ROUNDED });
    });
    for (let i = 1; i < 50; i++) {
      const curve = open([key(i / 10, 0, 0.1), key(i / 10 + 0.3, 1, 0.1)]);
      expect(toThirds(curve).curve.keys).toEqual(curve.keys);
    }
  });

  it('go as deep as a fine tolerance asks, and by themselves to a millionth of the range', () => {
    const curve = open([key(0, 0, 0.2), key(1, 7, 0.45)]);
    const fine = toThirds(curve, { tolerance: 1e-10 });
    expect([fine.met, fine.error.max <= 1e-10]).toEqual([true, true]);
    const byItself = toThirds(curve);
    expect(byItself.met).toBe(true);
    expect(byItself.error.max).toBeLessThanOrEqual(7e-6);
  });

  it('state where they miss most, and a mean below that', () => {
    const curve = open([key(0, 0, 0.2), key(1, 7, 0.45)]);
    const { curve: thirds, error } = toThirds(curve, { tolerance: 1e-2 });
    assertClose(Math.abs(evaluate(thirds, error.at) - evaluate(curve, error.at)), error.max, { rel: 1e-6 });
    expect(error.rms).toBeLessThanOrEqual(error.max);
    expect(error.rms).toBeGreaterThan(error.max / 100);
  });

  it('lead to the value that arrives at a jump', () => {
    const curve = open([key(0, 0, 0.2), key(1, 9, 0.45, { arrives: 1 }), key(2, 9, 0.2)]);
    const { curve: thirds, met } = toThirds(curve, { tolerance: 1e-4 });
    expect(met).toBe(true);
    assertClose(evaluate(thirds, 0.9), evaluate(curve, 0.9), { abs: 1.05e-4 });
  });
});

describe('fromHermite', () => {
  const hermite = (time: number, more = {}) => ({ time, value: 0, in: 1, out: 2, ...more });

  it('gives the seam of a cycle thirds on both sides', () => {
    const keys = fromHermite([hermite(0), hermite(0.75)], 0.75 + 0.3);
    assertClose(keys[0].in.span, 0.1, { rel: ROUNDED });
    assertClose(keys[1].out.span, 0.1, { rel: ROUNDED });
    expect(keys[0].out.span).toBe(0.25);
    const ends = fromHermite([hermite(0), hermite(0.75)]);
    expect([ends[0].in.span, ends[1].out.span]).toEqual([0, 0]);
  });

  it('checks the other fields of its keys too', () => {
    expect(() => fromHermite([hermite(0, { value: Number.NaN })])).toThrow(
      'fromHermite: keys[0].value must be a finite number, got NaN',
    );
    expect(() => fromHermite([hermite(0, { next: 'step' })] as never)).toThrow('fromHermite: keys[0].next');
  });
});

describe('bakeCurve', () => {
  const rate = exactFrameRate(23.976);
  const at = (frame: number): number => (frame * rate.seconds) / rate.frames;
  const flat = tangent(0);
  const step = (frame: number, value: number, more = {}) => ({
    time: at(frame),
    value,
    in: flat,
    out: flat,
    next: 'line' as const,
    ...more,
  });
  const loop = (keys: Curve['keys'], frames: number, more: Partial<Curve> = {}): Curve => ({
    keys,
    start: keys[0].time,
    period: at(frames),
    before: 'loops',
    after: 'loops',
    ...more,
  });

  it('has the value after a gain is dropped, and after a jump, on every frame of every cycle', () => {
    for (const frames of [3, 5, 7]) {
      const drops = bakeCurve(loop([step(1, 2)], frames, { gain: frames }), {
        fps: 23.976,
        end: at(1 + 9 * frames),
      });
      drops.values.forEach((value, i) => {
        assertClose(value, 2 + (i % frames), { abs: 1e-9 });
      });
      const jump = loop([step(1, 0, { arrives: 5 }), step(3, 8, { arrives: 4 })], frames);
      const { values } = bakeCurve(jump, { fps: 23.976, end: at(1 + 9 * frames) });
      values.forEach((value, i) => {
        const frame = i % frames;
        const exact = frame < 2 ? 2 * frame : 8 - (3 * (frame - 2)) / (frames - 2);
        assertClose(value, exact, { abs: 1e-9 });
      });
    }
  });

  it('has the value after a gain is dropped wherever the cycle begins and however long it is', () => {
    for (let frames = 2; frames < 40; frames++) {
      for (const start of [0, 7, 100, 1001]) {
        const drops = loop([step(start, 0)], frames, { gain: 1 });
        const { values } = bakeCurve(drops, { fps: 23.976, end: at(start + 9 * frames) });
        values.forEach((value, i) => {
          assertClose(value, (i % frames) / frames, { abs: 1e-9 });
        });
      }
    }
  });

  it('has the cycles before the first, where only those repeat', () => {
    const keys = [step(0, 0, { next: 'hold' }), step(2, 1, { next: 'hold' }), step(3, 2, { next: 'hold' })];
    const curve = loop(keys, 5, { after: 'holds' });
    const { values } = bakeCurve(curve, { fps: 23.976, start: at(-15), end: at(-1) });
    expect(values).toEqual([0, 0, 1, 2, 2, 0, 0, 1, 2, 2, 0, 0, 1, 2, 2]);
  });

  it('does not take a last frame for the first that is a little off', () => {
    const once = loop([step(0, 100)], 10, { gain: 0.5, before: 'holds', after: 'holds' });
    expect(bakeCurve(once, { fps: 23.976, repeatFirst: true }).lastRepeatsFirst).toBe(false);
    expect(bakeCurve({ ...once, gain: 0 }, { fps: 23.976, repeatFirst: true }).lastRepeatsFirst).toBe(true);
  });

  it('refuses a range that ends before it begins', () => {
    expect(() => bakeCurve(loop([step(0, 0)], 5), { fps: 24, start: 2, end: 1 })).toThrow(
      'bakeCurve: end must be >= 2 s, got 1',
    );
  });
});
