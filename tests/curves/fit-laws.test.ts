import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Curve,
  checkCurve,
  evaluate,
  fitCurve,
  type Series,
  scaleSeries,
} from '../../src/curves/index.js';
import { assertClose } from '../support/assert-close.js';
import { anyCurve, anySeries, evenShare } from './arbitraries.js';

/** Scaling by a power of two changes no rounding, so the result is the very same. */
const SAME = 0;

/** Rounding, grown by the steps of a polish; in periods. */
const SETTLED = 1e-6;

/** The three shapes on which curve fitters are compared, over [0, 1]. */
const SHAPES = {
  sine: (x: number) => Math.sin(2 * Math.PI * x),
  doubleHump: (x: number) =>
    Math.sin(Math.PI * x) + 0.3 * Math.sin(3 * Math.PI * x) + 0.05 * Math.sin(9 * Math.PI * x),
};
const TIMES = Array.from({ length: 1000 }, (_, i) => i / 999);

function segmentsOf(
  shape: (x: number) => number,
  share: number,
  search: 'quick' | 'fewest',
  noise: (i: number) => number = () => 0,
): number {
  const exact = TIMES.map(shape);
  const range = Math.max(...exact) - Math.min(...exact);
  const values = exact.map((v, i) => v + range * noise(i));
  const { curve, met } = fitCurve({ times: TIMES, values }, { tolerance: share * range, search });
  expect(met).toBe(true);
  for (const key of curve.keys) expect(key.in.slope).toBe(key.out.slope);
  const loudest = Math.max(...TIMES.map((_, i) => Math.abs(noise(i))));
  for (let i = 0; i <= 9990; i++) {
    const x = i / 9990;
    // Between samples the source is a path through them: 1 % of the tolerance covers its own error.
    expect(Math.abs(evaluate(curve, x) - shape(x))).toBeLessThanOrEqual(range * (1.01 * share + loudest));
  }
  return curve.keys.length - 1;
}

describe('fitCurve on the three test shapes, verified on a ten times finer grid', () => {
  it('needs no more segments than the bars allow when asked for the fewest', () => {
    expect(segmentsOf(SHAPES.sine, 1e-3, 'fewest')).toBeLessThanOrEqual(3);
    expect(segmentsOf(SHAPES.doubleHump, 1e-3, 'fewest')).toBeLessThanOrEqual(6);
    expect(segmentsOf(SHAPES.sine, 1e-4, 'fewest')).toBeLessThanOrEqual(3);
    expect(segmentsOf(SHAPES.doubleHump, 1e-4, 'fewest')).toBeLessThanOrEqual(10);
    expect(segmentsOf(SHAPES.sine, 1e-5, 'fewest')).toBeLessThanOrEqual(5);
    expect(segmentsOf(SHAPES.doubleHump, 1e-5, 'fewest')).toBeLessThanOrEqual(15);
  });

  it('needs few in the quick search', () => {
    expect(segmentsOf(SHAPES.sine, 1e-3, 'quick')).toBeLessThanOrEqual(3);
    expect(segmentsOf(SHAPES.doubleHump, 1e-3, 'quick')).toBeLessThanOrEqual(8);
  });

  it('sees through noise', () => {
    let state = 7;
    const noise = TIMES.map(() => {
      state = (state * 1664525 + 1013904223) >>> 0;
      return 2e-4 * (2 * (state / 2 ** 32) - 1);
    });
    expect(segmentsOf(SHAPES.doubleHump, 1e-3, 'quick', (i) => noise[i])).toBeLessThanOrEqual(10);
    expect(segmentsOf(SHAPES.doubleHump, 1e-3, 'fewest', (i) => noise[i])).toBeLessThanOrEqual(7);
  });
});

describe('laws of fitCurve', () => {
  it('scaling value and tolerance together scales the result', () => {
    fc.assert(
      fc.property(anySeries, fc.constantFrom(2 ** -10, 0.5, 4, 1024), (source, by) => {
        const plain = fitCurve(source, { tolerance: 1e-3 });
        const scaled = fitCurve(scaleSeries(source, by), { tolerance: 1e-3 * by });
        expect(scaled.curve.keys.length).toBe(plain.curve.keys.length);
        scaled.curve.keys.forEach((key, i) => {
          assertClose(key.time, plain.curve.keys[i].time, { abs: SAME });
          assertClose(key.value, plain.curve.keys[i].value * by, { abs: SAME });
        });
      }),
      { numRuns: 25 },
    );
  });

  it('a phase shift of a cyclic source shifts its keys, where keys may stand anywhere', () => {
    fc.assert(
      fc.property(evenShare, evenShare, evenShare, (a, b, turn) => {
        // One clear maximum, so that the source says where its cycle begins.
        const source: Series = { period: 1, mean: 0.2, drift: 0, cos: [1, 0.2 * a], sin: [0, 0.2 * b] };
        const shifted: Series = {
          ...source,
          cos: source.cos.map(
            (c, k) =>
              c * Math.cos(2 * Math.PI * (k + 1) * turn) -
              source.sin[k] * Math.sin(2 * Math.PI * (k + 1) * turn),
          ),
          sin: source.sin.map(
            (s, k) =>
              s * Math.cos(2 * Math.PI * (k + 1) * turn) +
              source.cos[k] * Math.sin(2 * Math.PI * (k + 1) * turn),
          ),
        };
        const plain = fitCurve(source, { keyCount: 4 });
        const moved = fitCurve(shifted, { keyCount: 4 });
        const places = (keys: Curve['keys'], by: number) =>
          keys.map((key) => (((key.time - by) % 1) + 1.25) % 1).sort((x, y) => x - y);
        const [before, after] = [places(plain.curve.keys, 0), places(moved.curve.keys, turn)];
        for (const t of before) {
          const nearest = Math.min(...after.map((u) => Math.min(Math.abs(u - t), 1 - Math.abs(u - t))));
          assertClose(nearest, 0, { abs: SETTLED });
        }
        assertClose(moved.error.value.max, plain.error.value.max, { rel: 1e-2 });
      }),
      { numRuns: 60 },
    );
  });

  it('a curve survives JSON, fitted or not', () => {
    fc.assert(
      fc.property(anyCurve, (curve) => {
        const back = JSON.parse(JSON.stringify(curve)) as Curve;
        expect(JSON.stringify(back)).toBe(JSON.stringify(curve));
        expect(checkCurve(back)).toEqual([]);
        expect(evaluate(back, 0.3) - evaluate(curve, 0.3)).toBe(0);
      }),
    );
  });

  it('gives valid curves for ramps, steps, spikes and uneven samples', () => {
    const sources = [
      { times: [0, 1, 2, 3], values: [0, 1, 1, 0] },
      { times: [0, 1, 1.001, 2], values: [0, 0, 5, 5] },
      { times: TIMES, values: TIMES.map((_, i) => (i === 500 ? 1 : 0)) },
      { times: [0, 0.1, 0.11, 5, 5.5], values: [1, -1, 2, 2, 0] },
    ];
    for (const source of sources) {
      for (const search of ['quick', 'fewest'] as const) {
        const { curve, error, met } = fitCurve(source, { search, maxKeys: 64 });
        expect(checkCurve(curve)).toEqual([]);
        expect(Number.isFinite(error.value.max)).toBe(true);
        expect(met).toBe(true);
      }
    }
  });

  it('follows a step and a spike of one sample with a key at each sample that stands out, exactly', () => {
    for (const [keys, shape] of [
      [4, (i: number) => Number(i >= 500)],
      [5, (i: number) => Number(i === 500)],
    ] as const) {
      for (const search of ['quick', 'fewest'] as const) {
        const { curve, error, met } = fitCurve(
          { times: TIMES, values: TIMES.map((_, i) => shape(i)) },
          { search },
        );
        expect(met).toBe(true);
        expect(curve.keys.length).toBeLessThanOrEqual(keys);
        // The key stands at the sample: what is left is rounding of a value of 1.
        expect(error.value.max).toBeLessThanOrEqual(1e-15);
      }
    }
  });

  it('gives nothing but zeros for zeros in the quick search', () => {
    const { curve, met } = fitCurve({ times: [0, 1], values: [0, 0] }, { search: 'quick' });
    expect(met).toBe(true);
    expect(curve.keys.map(({ time, value }) => [time, value])).toEqual([
      [0, 0],
      [1, 0],
    ]);
  });

  it('keeps to whole frames, and to every second one, round the seam of a cycle and from a start off the frames', () => {
    const wave = (t: number) => Math.sin(2 * Math.PI * t) + 0.3 * Math.cos(6 * Math.PI * t);
    const slope = (t: number) =>
      2 * Math.PI * Math.cos(2 * Math.PI * t) - 1.8 * Math.PI * Math.sin(6 * Math.PI * t);
    const jet = (t: number, out: Float64Array): void => {
      out[0] = wave(t);
      out[1] = slope(t);
      out[2] = 0;
    };
    for (const search of ['quick', 'fewest'] as const) {
      for (const every of [1, 2]) {
        const frames = { fps: 30, every };
        const cycle = fitCurve({ jet }, { period: 1, frames, keysAt: [0.2], tolerance: 0.3, search });
        for (const { time } of cycle.curve.keys) {
          expect(time).toBe(Math.round(time * 30) / 30);
          expect(Math.abs(Math.round(time * 30) % every)).toBe(0);
        }
        // From half a frame before frame 1 the frames are 1, 2, 3… or 1, 3, 5…
        const start = 0.5 / 30;
        const open = fitCurve({ jet }, { start, end: 1.1, frames, tolerance: 0.3, search });
        for (const { time } of open.curve.keys.slice(1, -1)) {
          expect(time).toBe(Math.round(time * 30) / 30);
          expect(Math.abs((Math.round(time * 30) - 1) % every)).toBe(0);
        }
      }
    }
  });

  it('keys a start that is a last digit past its frame there, and not a cycle later', () => {
    const start = 111 / 750 + 2 ** -55;
    expect(start).toBeGreaterThan(111 / 750);
    const jet = (t: number, out: Float64Array): void => {
      const angle = (2 * Math.PI * (t - start)) / 0.0603;
      out[0] = Math.cos(angle);
      out[1] = ((-2 * Math.PI) / 0.0603) * Math.sin(angle);
      out[2] = 0;
    };
    for (const search of ['quick', 'fewest'] as const) {
      const { curve } = fitCurve(
        { jet },
        { start, period: 0.0603, frames: { fps: 750 }, keysAt: [start], search },
      );
      for (const { time } of curve.keys) assertClose(time * 750, Math.round(time * 750), { abs: 1e-6 });
      expect(curve.keys[0].time).toBe(start);
    }
  });

  it('keys the extremes of a cycle once, also the one at which it is cut', () => {
    fc.assert(
      fc.property(anySeries, (source) => {
        const { curve } = fitCurve(source, { extremes: true, tolerance: 1e-2 });
        expect(checkCurve(curve)).toEqual([]);
        const times = [...curve.keys.map((key) => key.time), curve.keys[0].time + source.period];
        for (let i = 1; i < times.length; i++) {
          expect(times[i] - times[i - 1]).toBeGreaterThan(1e-9 * source.period);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('says so where the tolerance is out of reach', () => {
    const source: Series = { period: 1, mean: 0, drift: 0, cos: [1], sin: [0.3] };
    const { curve, met } = fitCurve(source, { tolerance: 1e-9, frames: { fps: 6 } });
    expect(met).toBe(false);
    expect(curve.keys.length).toBeLessThanOrEqual(6);
  });
});
