/** What a fit says about its errors, against a grid much finer than its own. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Curve, evaluate, evaluateJet, evaluateSeries, fitCurve } from '../../src/curves/index.js';
import { assertClose } from '../support/assert-close.js';
import { anySeries } from './arbitraries.js';

/** The largest error is looked for between the points of the grid. */
const FOUND = { rel: 2e-4, abs: 1e-13 };

/** Both are sums over a finite grid, one of them of a load that jumps at keys. */
const SUMMED = { rel: 0.05, abs: 1e-9 };

describe('the errors that a fit states', () => {
  it('are the largest error in value, where it is, and the mean square of the load', () => {
    fc.assert(
      fc.property(anySeries, fc.integer({ min: 1, max: 5 }), fc.boolean(), (source, keyCount, framed) => {
        const frames = framed ? { frames: { fps: 12 } } : {};
        const { curve, error } = fitCurve(source, { keyCount, load: { weight: 1e-3 }, ...frames });
        const points = 4000;
        let worst = 0;
        let load = 0;
        for (let i = 0; i < points; i++) {
          const t = (source.period * (i + 0.5)) / points;
          const exact = evaluateSeries(source, t);
          worst = Math.max(worst, Math.abs(evaluate(curve, t) - exact.value));
          load += (evaluateJet(curve, t).acceleration - exact.acceleration) ** 2 / points;
        }
        assertClose(error.value.max, worst, FOUND);
        const { at } = error.value;
        assertClose(Math.abs(evaluate(curve, at) - evaluateSeries(source, at).value), worst, FOUND);
        assertClose(error.load!.rms, Math.sqrt(load), SUMMED);
      }),
      { numRuns: 60 },
    );
  });

  it('keep to the keys that are allowed, in the quick search too', () => {
    const source = { period: 1, mean: 0, drift: 0, cos: [1, 0.3, 0.2], sin: [0.2, 0.4, 0.1] };
    const { curve, met } = fitCurve(source, { tolerance: 1e-4, search: 'quick', maxKeys: 4 });
    expect(curve.keys.length).toBeLessThanOrEqual(4);
    expect(met).toBe(false);
  });

  it('takes a cycle of samples as closed, whether the last one repeats the first or not', () => {
    const times = Array.from({ length: 61 }, (_, i) => 0.5 + i / 60);
    const values = times.map((t) => Math.sin(2 * Math.PI * t) + 0.3 * Math.cos(6 * Math.PI * t) + 0.7 * t);
    const asked = { period: 1, gain: 0.7, tolerance: 1e-3 };
    const whole = fitCurve({ times, values }, asked);
    const short = fitCurve({ times: times.slice(0, 60), values: values.slice(0, 60) }, asked);
    expect(whole.met).toBe(true);
    expect(short.curve.keys.length).toBe(whole.curve.keys.length);
    for (const { curve } of [whole, short]) {
      for (let i = 0; i <= 600; i++) {
        const t = 0.5 + i / 600;
        const exact = Math.sin(2 * Math.PI * t) + 0.3 * Math.cos(6 * Math.PI * t) + 0.7 * t;
        // The path through sixty samples is within a tenth of the tolerance.
        assertClose(evaluate(curve, t), exact, { abs: 1.1e-3 });
      }
    }
  });

  it('says that a cycle of samples which does not close is out of reach', () => {
    const times = Array.from({ length: 30 }, (_, i) => 3.7 + i / 29);
    const values = times.map((t, i) => t - 3.7 + 0.1 * (i % 3));
    const { curve, error, met } = fitCurve({ times, values }, { period: 1, tolerance: 1e-2 });
    expect(met).toBe(false);
    // The step at the seam is 1.2 high: no curve through it is nearer to both of its ends than half of that.
    expect(error.value.max).toBeGreaterThanOrEqual(0.6);
    expect(curve.keys.length).toBeLessThanOrEqual(32);
  });

  it('closes a cycle of two samples, up and down again', () => {
    const { curve, met } = fitCurve({ times: [1, 2], values: [2, 5] }, { period: 2, tolerance: 1e-3 });
    expect(met).toBe(true);
    expect(curve.keys.length).toBe(2);
    // Half way the path between an extreme and the next one is in the middle.
    assertClose(evaluate(curve, 2.5), 3.5, { abs: 1e-3 });
    assertClose(evaluate(curve, 3), 2, { abs: 1e-3 });
  });

  it('refuses samples beyond what a curve can hold by name', () => {
    expect(() => fitCurve({ times: [0, 1], values: [0, 1e200] })).toThrow(
      'fitCurve: source.values[1] must be in [-1e+60, 1e+60], got 1e+200',
    );
    expect(() => fitCurve({ times: [0, 1e61], values: [0, 1] })).toThrow(
      'fitCurve: source.times[1] must be in',
    );
  });

  it('refuses a range without a single sample, about which it could say nothing', () => {
    const source = { times: [0, 1, 2, 3], values: [0, 1, 4, 9] };
    expect(() => fitCurve(source, { start: 1.2, end: 1.8 })).toThrow(
      'fitCurve: end must leave a sample in the range from 1.2 s to 1.8 s, got 1.8',
    );
    expect(() => fitCurve(source, { start: 5, period: 2 })).toThrow(
      'fitCurve: period must leave a sample in the range from 5 s to 7 s, got 2',
    );
    expect(() => fitCurve(source, { end: -1, start: -2, search: 'quick' })).toThrow(
      'fitCurve: end must leave a sample',
    );
    expect(fitCurve(source, { start: 1.2, end: 2 }).met).toBe(true);
  });

  it('holds the first and the last sample in a range that goes on past them, without keys to spare', () => {
    const source = { times: [0, 1, 2, 3], values: [0, 1, 4, 9] };
    const { curve, met } = fitCurve(source, { start: 2, end: 7, tolerance: 1e-3 });
    expect(met).toBe(true);
    expect(curve.keys.length).toBeLessThanOrEqual(4);
    for (const t of [3, 4, 5, 6, 7]) assertClose(evaluate(curve, t), 9, { abs: 1e-3 });
    const after = fitCurve(source, { start: 3, end: 4 });
    expect(after.met).toBe(true);
    expect(after.curve.keys.map((key) => key.value)).toEqual([9, 9]);
  });

  it('takes handles without length for what they are: a corner of a curve, keyed with two slopes', () => {
    const key = (time: number, value: number, span: number, slope: number) => ({
      time,
      value,
      in: { span, slope },
      out: { span, slope },
    });
    // The middle key's slope is that of neither side, since its handles are points.
    const keys = [key(0, 0, 0.2, 1), key(0.75, 0.9, 0, 2.65), key(1.8, -0.4, 0.3, -1)];
    const source: Curve = { keys, start: 0, before: 'holds', after: 'holds' };
    const { curve, error, met } = fitCurve(source, { tolerance: 1e-4 });
    expect(met).toBe(true);
    expect(curve.keys.length).toBeLessThanOrEqual(5);
    const points = 20000;
    let worst = 0;
    for (let i = 0; i <= points; i++) {
      const t = (1.8 * i) / points;
      worst = Math.max(worst, Math.abs(evaluate(curve, t) - evaluate(source, t)));
    }
    assertClose(error.value.max, worst, { rel: 3e-2 });
  });

  it('follows the steps of a cycle of samples exactly', () => {
    const times = Array.from({ length: 301 }, (_, i) => i / 300);
    const values = times.map((_, i) => Number(i % 75 > 30));
    const { curve, met } = fitCurve({ times, values }, { period: 1, tolerance: 1e-5 });
    expect(met).toBe(true);
    expect(curve.keys.length).toBeLessThanOrEqual(16);
    for (let i = 0; i < 300; i++) assertClose(evaluate(curve, times[i]), values[i], { abs: 1e-5 });
  });
});
