import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bakeCurve,
  evaluate,
  evaluateJet,
  evaluateSeries,
  fitCurve,
  type Key,
  type Series,
} from '../../src/curves/index.js';
import { assertClose } from '../support/assert-close.js';
import { anySeries } from './arbitraries.js';

const STANDARD_GRAVITY = 9.80665;

/** Value error that one body weight of load error is worth; the project's own choice, 10 mm. */
const LOAD = { weight: 0.01 / STANDARD_GRAVITY };

/** Height of a walk whose load has three step harmonics, for bars stated in mm and body weights. */
function walkHeight(framesPerStep: number, first: number): Series {
  const period = (2 * framesPerStep) / 24;
  const load = [
    [first, 0.2 * first],
    [-0.35 * first, 0.1 * first],
    [0.1 * first, 0.06 * first],
  ];
  const cos = [0, 0, 0, 0, 0, 0];
  const sin = [0, 0, 0, 0, 0, 0];
  load.forEach(([a, b], i) => {
    const k = 2 * i + 1;
    const omega = (2 * Math.PI * (k + 1)) / period;
    cos[k] = (-a * STANDARD_GRAVITY) / omega ** 2;
    sin[k] = (-b * STANDARD_GRAVITY) / omega ** 2;
  });
  return { period, mean: 0.9, drift: 0, cos, sin };
}

describe('fitCurve', () => {
  it.each([12, 13, 14, 16])('keys a walk of %i frames a step on whole frames within the bars', (frames) => {
    const bars = [
      { keys: 2, mm: 0.3, load: 0.055 },
      { keys: 3, mm: 0.11, load: 0.027 },
      { keys: 4, mm: 0.05, load: 0.012 },
    ];
    for (const first of [0.1, 0.2, 0.3]) {
      for (const bar of bars) {
        const source = walkHeight(frames, first);
        const { curve, error } = fitCurve(source, {
          keyCount: 2 * bar.keys,
          frames: { fps: 24 },
          load: LOAD,
        });
        expect(curve.keys.length).toBe(2 * bar.keys);
        for (const key of curve.keys) expect(key.time * 24).toBe(Math.round(key.time * 24));
        expect(error.value.max * 1e3).toBeLessThanOrEqual(bar.mm);
        expect(error.load!.rms / STANDARD_GRAVITY).toBeLessThanOrEqual(bar.load);
        if (bar.keys === 4) expect(error.jump!.max / STANDARD_GRAVITY).toBeLessThanOrEqual(0.1);
      }
    }
  });

  it('states errors that a tenfold finer grid does not exceed by more than its spacing explains', () => {
    const source = walkHeight(13, 0.25);
    const { curve, error } = fitCurve(source, { keyCount: 6, frames: { fps: 24 }, load: LOAD });
    let worst = 0;
    for (let i = 0; i < 4000; i++) {
      const t = (source.period * i) / 4000;
      worst = Math.max(worst, Math.abs(evaluate(curve, t) - evaluateSeries(source, t).value));
    }
    assertClose(worst, error.value.max, { rel: 0.02 });
  });

  it('closes a loop in value and slope, and gives both sides of every key one slope', () => {
    fc.assert(
      fc.property(anySeries, fc.integer({ min: 2, max: 6 }), (source, keyCount) => {
        const { curve } = fitCurve(source, { keyCount });
        for (const key of curve.keys) expect(key.in.slope).toBe(key.out.slope);
        const seam = source.period;
        const gap = 1e-9 * seam;
        const left = evaluateJet(curve, seam - gap);
        const right = evaluateJet(curve, seam + gap);
        const size = 1 + Math.abs(right.acceleration) + Math.abs(right.velocity);
        assertClose(left.value, right.value, { abs: 1e-7 * size });
        assertClose(left.velocity, right.velocity, { abs: 1e-7 * size });
      }),
      { numRuns: 50 },
    );
  });

  it('keeps every handle inside its segment', () => {
    fc.assert(
      fc.property(anySeries, fc.integer({ min: 1, max: 6 }), (source, keyCount) => {
        const { keys } = fitCurve(source, { keyCount }).curve;
        keys.forEach((key, i) => {
          const next = keys[(i + 1) % keys.length];
          const length = i + 1 < keys.length ? next.time - key.time : keys[0].time + source.period - key.time;
          for (const span of [key.out.span, next.in.span]) {
            expect(span).toBeGreaterThanOrEqual(0);
            expect(span).toBeLessThanOrEqual(length * (1 + 1e-12));
          }
        });
      }),
      { numRuns: 50 },
    );
  });

  it('never needs more keys for a wider tolerance', () => {
    fc.assert(
      fc.property(anySeries, fc.double({ min: 1.1, max: 20, noNaN: true }), (source, factor) => {
        const strict = fitCurve(source, { tolerance: 2e-3 });
        const loose = fitCurve(source, { tolerance: 2e-3 * factor });
        expect(strict.met).toBe(true);
        expect(loose.curve.keys.length).toBeLessThanOrEqual(strict.curve.keys.length);
      }),
      { numRuns: 25 },
    );
  });

  it('leaves locked keys bit-identical and solves round them', () => {
    const source = walkHeight(12, 0.2);
    const locked: Key = {
      time: 5 / 24,
      value: 0.9004,
      in: { span: 0.05, slope: 0.01 },
      out: { span: 0.04, slope: 0.01 },
      locked: true,
      meta: { note: 'agreed' },
    };
    const { curve } = fitCurve(source, { keyCount: 6, frames: { fps: 24 }, locked: [locked] });
    expect(curve.keys).toContain(locked);
    expect(curve.keys.length).toBe(6);
  });

  it('follows a drift, so that a walk travels', () => {
    const source: Series = { period: 1, mean: 0, drift: 1.4, cos: [0, 0.01], sin: [0, 0.02] };
    const { curve, error } = fitCurve(source, { tolerance: 1e-4 });
    expect(curve.after).toBe('travels');
    expect(error.value.max).toBeLessThanOrEqual(1e-4);
    assertClose(evaluate(curve, 10.3), evaluateSeries(source, 10.3).value, { abs: 1.1e-4 });
  });

  it('fits samples, a function and a curve', () => {
    const times = Array.from({ length: 400 }, (_, i) => i / 399);
    const values = times.map((t) => Math.sin(2 * Math.PI * t));
    const sampled = fitCurve({ times, values });
    expect(sampled.met).toBe(true);
    expect(sampled.curve.keys.length).toBe(4);
    const jet = (t: number, out: Float64Array): void => {
      out[0] = Math.exp(-t) * Math.cos(5 * t);
      out[1] = -Math.exp(-t) * (Math.cos(5 * t) + 5 * Math.sin(5 * t));
      out[2] = Math.exp(-t) * (-24 * Math.cos(5 * t) + 10 * Math.sin(5 * t));
    };
    const settled = fitCurve({ jet }, { start: 0, end: 3, tolerance: 1e-3 });
    expect(settled.met).toBe(true);
    const again = fitCurve(settled.curve, { tolerance: 1e-3 });
    expect(again.met).toBe(true);
    expect(again.curve.keys.length).toBeLessThanOrEqual(settled.curve.keys.length);
  });

  it('keys constants and single samples plainly', () => {
    expect(fitCurve({ times: [0, 1, 2], values: [3, 3, 3] }).curve.keys.length).toBe(2);
    const single = fitCurve({ times: [2], values: [5] });
    expect(single.curve.keys.length).toBe(1);
    expect(evaluate(single.curve, 17)).toBe(5);
    expect(fitCurve({ period: 1, mean: 2, drift: 0, cos: [], sin: [] }).curve.keys.length).toBe(1);
  });

  it('forces keys where it is told to', () => {
    const source = walkHeight(12, 0.2);
    const keysAt = [0, 3, 6, 9].map((frame) => frame / 24);
    const both = [...keysAt, ...keysAt.map((t) => t + 0.5)];
    const { curve, error } = fitCurve(source, { keyCount: 8, keysAt: both, frames: { fps: 24 }, load: LOAD });
    expect(curve.keys.map((k) => Math.round(k.time * 24))).toEqual([0, 3, 6, 9, 12, 15, 18, 21]);
    expect(error.value.max).toBeLessThanOrEqual(0.35e-3);
  });

  it('refuses what it cannot use, by name', () => {
    const times = [0, 0.5, 0.5];
    expect(() => fitCurve({ times, values: [1, 2, 3] })).toThrow(
      'fitCurve: source.times[2] must be > 0.5 s, the one before it, got 0.5',
    );
    expect(() => fitCurve({ times: [0, 1], values: [1, Number.NaN] })).toThrow('fitCurve: source.values[1]');
    // @ts-expect-error an option that does not exist
    expect(() => fitCurve({ times: [0, 1], values: [1, 2] }, { smoothness: 3 })).toThrow('smoothness');
    expect(() => fitCurve({ jet: () => {} })).toThrow('fitCurve: end must be given, or period');
  });

  it('refuses a jet function that returns its numbers instead of writing them', () => {
    const jet = (t: number): number[] => [t, 1, 0];
    const rule = 'fitCurve: source.jet must write three finite numbers at 0 s, got NaN, NaN, NaN';
    expect(() => fitCurve({ jet }, { end: 1 })).toThrow(rule);
  });

  it('takes baked samples as they are, with the first one repeated or not', () => {
    const bob = { period: 1, mean: 0.9, drift: 0, cos: [0.02, 0.004], sin: [0.01, 0] };
    const { curve } = fitCurve(bob, { keyCount: 6 });
    for (const repeatFirst of [true, false]) {
      const baked = bakeCurve(curve, { fps: 96, repeatFirst });
      const again = fitCurve(baked, { period: 1, tolerance: 1e-5 });
      expect(again.met).toBe(true);
      // Between samples a hundredth of a second apart the path through them is as near.
      for (let t = 0; t < 1; t += 0.013) {
        expect(Math.abs(evaluate(again.curve, t) - evaluate(curve, t))).toBeLessThan(2e-5);
      }
    }
  });
});
