import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Curve,
  checkCurve,
  createSampler,
  evaluate,
  evaluateJet,
  type Key,
} from '../../src/curves/index.js';
import { assertClose } from '../support/assert-close.js';
import { anyCurve, evenShare } from './arbitraries.js';

/** Rounding of a value of order 10 through a handful of operations. */
const ROUNDING = 1e-12;

/** Truncation of a central difference over 1e-5 of a segment, for tame curves. */
const DIFFERENCE = 1e-4;

const key = (time: number, value: number, slope: number, span: number, more: Partial<Key> = {}): Key => ({
  time,
  value,
  in: { span, slope },
  out: { span, slope },
  ...more,
});

/** De Casteljau's construction with the time found by plain halving: slow, and independent of the library. */
function byConstruction(left: Key, right: Key, t: number): number {
  const h = right.time - left.time;
  const at = (p: readonly number[], s: number): number => {
    let row = [...p];
    while (row.length > 1) row = row.slice(1).map((x, i) => row[i] + (x - row[i]) * s);
    return row[0];
  };
  const x = [0, left.out.span, h - right.in.span, h];
  const y0 = left.value;
  const y3 = right.arrives ?? right.value;
  const y = [y0, y0 + left.out.span * left.out.slope, y3 - right.in.span * right.in.slope, y3];
  let low = 0;
  let high = 1;
  for (let i = 0; i < 80; i++) {
    const middle = 0.5 * (low + high);
    if (at(x, middle) <= t - left.time) low = middle;
    else high = middle;
  }
  return at(y, 0.5 * (low + high));
}

describe('evaluate', () => {
  it('agrees with de Casteljau’s construction', () => {
    fc.assert(
      fc.property(anyCurve, evenShare, (curve, u) => {
        fc.pre(curve.keys.length > 1);
        const [left, right] = curve.keys;
        fc.pre((left.next ?? 'curve') === 'curve');
        const h = right.time - left.time;
        const steep = 1e6;
        const t = left.time + u * h * (1 - 1e-9);
        // A vertical tangent turns an ulp of time into any value: compare where the slope is finite.
        fc.pre(Math.abs(evaluateJet(curve, t).velocity) < steep);
        fc.pre(
          left.out.span > 1e-3 * h && right.in.span > 1e-3 * h && left.out.span + right.in.span < 1.9 * h,
        );
        assertClose(evaluate(curve, t), byConstruction(left, right, t), { abs: 1e-9 });
      }),
      { numRuns: 2000 },
    );
  });

  it('passes through its keys exactly', () => {
    fc.assert(
      fc.property(anyCurve, (curve) => {
        for (const k of curve.keys.slice(0, -1)) expect(evaluate(curve, k.time) - k.value).toBe(0);
      }),
    );
  });

  it('never gives NaN or Infinity, inside, at the seams or far outside', () => {
    fc.assert(
      fc.property(anyCurve, fc.constantFrom(-1e6, -1, -1e-9, 0, 0.5, 1, 1 + 1e-9, 1e6), (curve, u) => {
        const span = curve.period ?? curve.keys[curve.keys.length - 1].time - curve.start;
        const jet = evaluateJet(curve, curve.start + u * span);
        for (const x of Object.values(jet)) expect(Number.isFinite(x)).toBe(true);
      }),
    );
  });

  it('gives derivatives that a central difference confirms', () => {
    const curve: Curve = {
      keys: [key(0, 0, 1, 0.2), key(0.5, 0.3, -0.5, 0.1), key(1.1, 0.2, 0.4, 0.25)],
      start: 0,
      before: 'holds',
      after: 'holds',
    };
    const h = 1e-5;
    for (const t of [0.05, 0.2, 0.33, 0.6, 0.8, 1.05]) {
      const jet = evaluateJet(curve, t);
      const up = evaluateJet(curve, t + h);
      const down = evaluateJet(curve, t - h);
      assertClose(jet.velocity, (up.value - down.value) / (2 * h), { abs: DIFFERENCE, rel: DIFFERENCE });
      assertClose(jet.acceleration, (up.velocity - down.velocity) / (2 * h), {
        abs: DIFFERENCE,
        rel: DIFFERENCE,
      });
    }
  });

  it('holds, goes on straight, loops, and carries the gained distance on', () => {
    const keys = [key(0, 1, 2, 0.1), key(0.5, 3, 2, 0.1)];
    const open = (before: Curve['before'], after: Curve['after']): Curve => ({
      keys,
      start: 0,
      before,
      after,
    });
    expect(evaluate(open('holds', 'holds'), -5)).toBe(1);
    expect(evaluate(open('holds', 'holds'), 5)).toBe(3);
    assertClose(evaluate(open('straight', 'straight'), -1), -1, { abs: ROUNDING });
    assertClose(evaluate(open('straight', 'straight'), 1.5), 5, { abs: ROUNDING });
    const cyclic: Curve = { keys, start: 0, period: 1, gain: 4, before: 'travels', after: 'loops' };
    assertClose(evaluate(cyclic, 7.25), evaluate(cyclic, 0.25), { abs: ROUNDING });
    assertClose(evaluate(cyclic, -2.75), evaluate(cyclic, 0.25) - 12, { abs: ROUNDING });
  });

  it('goes on straight with the exact slope of its end, whatever the length of the handle there', () => {
    const end = (own: number, other: number): Curve => ({
      keys: [key(0, 1, 3, other), { ...key(2, 2, -1, 0), in: { span: own, slope: -1 } }],
      start: 0,
      before: 'straight',
      after: 'straight',
    });
    // The key's own slope where its handle has a length, however short.
    for (const span of [0.5, 1e-3, 1e-9, 1e-14]) {
      assertClose(evaluate(end(span, 0.5), 3) - 2, -1, { abs: ROUNDING });
      expect(evaluateJet(end(span, 0.5), 2).velocity).toBe(-1);
    }
    // Without one, the line from the nearest control point that is elsewhere: (2 − 1 − 0.5 · 3) / 1.5.
    assertClose(evaluate(end(0, 0.5), 3) - 2, -1 / 3, { abs: ROUNDING });
    assertClose(evaluate(end(0, 0), 3) - 2, 0.5, { abs: ROUNDING });
    const first = { ...end(0.5, 0), keys: [key(0, 1, 3, 0), key(2, 2, -1, 0.5)] };
    // (2 + 0.5 − 1) / 1.5 on the left.
    assertClose(1 - evaluate(first, -1), 1, { abs: ROUNDING });
  });

  it('is seamless where a cycle closes', () => {
    const curve: Curve = {
      keys: [key(0.2, 1, 2, 0.1), key(0.7, 0.5, -1, 0.1)],
      start: 0,
      period: 1,
      gain: 0.25,
      before: 'travels',
      after: 'travels',
    };
    const left = evaluateJet(curve, 1 - 1e-9);
    const right = evaluateJet(curve, 1 + 1e-9);
    const apart = { abs: 1e-7 };
    assertClose(left.value, right.value, apart);
    assertClose(left.velocity, right.velocity, apart);
    assertClose(evaluate(curve, 1), evaluate(curve, 0) + 0.25, { abs: ROUNDING });
  });

  it('jumps at a key that has two values', () => {
    const curve: Curve = {
      keys: [
        key(0, 0, 0, 0.1, { next: 'line' }),
        key(1, 5, 0, 0.1, { arrives: 2, next: 'hold' }),
        key(2, 7, 0, 0.1),
      ],
      start: 0,
      before: 'holds',
      after: 'holds',
    };
    expect(evaluate(curve, 0.5)).toBe(1);
    assertClose(evaluate(curve, 1 - 1e-12), 2, { abs: 1e-11 });
    expect(evaluate(curve, 1)).toBe(5);
    expect(evaluate(curve, 1.999)).toBe(5);
    expect(evaluate(curve, 2)).toBe(7);
  });

  it('refuses what is not a curve, or not a time, in one grammar', () => {
    const curve: Curve = { keys: [key(0, 0, 0, 0)], start: 0, before: 'holds', after: 'holds' };
    expect(() => evaluate(curve, Number.NaN)).toThrow('evaluate: t must be a finite number in s, got NaN');
    expect(() => evaluate({ ...curve, keys: [] }, 0)).toThrow(
      'evaluate: keys must have at least 1 entry, got 0',
    );
    expect(() => evaluate({ ...curve, after: 'loops' }, 0)).toThrow('after must be "holds" or "straight"');
    expect(() => createSampler([])).toThrow('createSampler: curves must have at least 1 entry, got 0');
    expect(() => createSampler(curve).sample(Number.NaN, [])).toThrow('t must be a finite number in s');
  });
});

describe('createSampler', () => {
  it('gives the very numbers of evaluate, in any order, one curve or many', () => {
    fc.assert(
      fc.property(
        fc.array(anyCurve, { minLength: 1, maxLength: 4 }),
        fc.array(fc.double({ min: -8, max: 8, noNaN: true }), { minLength: 1, maxLength: 20 }),
        (curves, times) => {
          const sampler = createSampler(curves);
          const out = new Float64Array(curves.length);
          const jets = new Float64Array(3 * curves.length);
          for (const t of [...times, ...curves[0].keys.map((k) => k.time)]) {
            sampler.sample(t, out);
            sampler.sampleJets(t, jets);
            curves.forEach((curve, i) => {
              expect(out[i]).toBe(evaluate(curve, t));
              expect([...jets.slice(3 * i, 3 * i + 3)]).toEqual(Object.values(evaluateJet(curve, t)));
              expect(jets[3 * i]).toBe(out[i]);
            });
          }
        },
      ),
    );
  });
});

describe('the sampler’s time', () => {
  it('is within 1e-13 of the segment of the time asked for, in every way of asking', () => {
    const share = fc.oneof(
      evenShare,
      fc.constantFrom(0, 1e-12, 1e-6, 0.01, 0.05, 0.2, 1 / 3 + 1e-13, 0.56, 0.9, 1 - 1e-12, 1),
    );
    fc.assert(
      fc.property(share, share, evenShare, (p, q, x) => {
        // Handles at a third and two thirds of the rise make the value the parameter.
        const keys = [key(0, 0, p > 0 ? 1 / (3 * p) : 0, p), key(1, 1, q > 0 ? 1 / (3 * q) : 0, q)];
        fc.pre(p > 0 && q > 0);
        const sampler = createSampler({ keys, start: 0, before: 'holds', after: 'holds' });
        const out = new Float64Array(3);
        const timeOf = (s: number): number => (((3 * (p + q) - 2) * s + 3 * (1 - q - 2 * p)) * s + 3 * p) * s;
        for (const t of [x, x / 32, 1 - x / 32, Math.round(32 * x) / 32]) {
          if (t >= 1) continue;
          sampler.sample(t, out);
          const once = out[0];
          sampler.sampleMany([t], out);
          expect(out[0]).toBe(once);
          sampler.sampleJets(t, out);
          expect(out[0]).toBe(once);
          // Tiny handles have huge slopes: their product carries rounding of its own into the value.
          if (Math.min(p, q) > 1e-3) assertClose(timeOf(once), t, { abs: 1e-13 });
        }
      }),
      { numRuns: 3000 },
    );
  });
});

describe('a cycle that begins inside a segment', () => {
  const share = fc.constantFrom(0.2, 1 / 3, 0.5);
  const slopes = fc.integer({ min: -4000, max: 4000 }).map((n) => n / 1000);
  const cycle = fc
    .record({
      first: share,
      second: share,
      slopes: fc.array(slopes, { minLength: 2, maxLength: 2 }),
      gain: fc.constantFrom(0, 0.7),
      outside: fc.constantFrom('holds' as const, 'straight' as const, 'travels' as const),
    })
    .map(({ first, second, slopes: [m0, m1], gain, outside }): Curve => {
      // 0.25 s from the last key to the start, 0.35 s from there to the first key.
      const side = (span: number, slope: number) => ({ span, slope });
      const keys: Key[] = [
        { time: 1.35, value: 0.4, in: side(0.6 * second, m0), out: side(0.4 * first, m0) },
        { time: 1.75, value: -0.2, in: side(0.4 * second, m1), out: side(0.6 * first, m1) },
      ];
      return { keys, start: 1, period: 1, gain, before: outside, after: outside };
    });

  it('has there the part of that segment that is left', () => {
    fc.assert(
      fc.property(cycle, evenShare, (curve, u) => {
        const { keys, gain = 0 } = curve;
        const left = { ...keys[1], time: 0.75, value: keys[1].value - gain };
        const t = 1 + 0.3499 * u;
        assertClose(evaluate(curve, t), byConstruction(left, keys[0], t), { abs: 1e-11 });
        const jet = evaluateJet(curve, t);
        const d = 1e-5;
        const rise = byConstruction(left, keys[0], t + d / 2) - byConstruction(left, keys[0], t - d / 2);
        // A difference over 1e-5 s of values with the rounding of the halving, 1e-16 of some tens, and more where it is steep.
        assertClose(jet.velocity, rise / d, { abs: 2 * DIFFERENCE, rel: 2 * DIFFERENCE });
        assertClose(jet.value, evaluate(curve, t), { abs: 0 });
      }),
    );
  });

  it('ends there, however it was asked before', () => {
    fc.assert(
      fc.property(cycle, evenShare, (curve, u) => {
        const fresh = createSampler(curve);
        const used = createSampler(curve);
        const [a, b] = [new Float64Array(1), new Float64Array(1)];
        for (const t of [1 - 0.24 * u, 1 - 1e-9, 0.75 + 1e-9, 2, 2.2]) {
          used.sample(1.1, b);
          used.sample(t, b);
          fresh.sample(t, a);
          expect(b[0]).toBe(a[0]);
          used.sample(1.1, b);
          used.sampleMany([1.2, t], b);
          used.sampleMany([t], b);
          expect(b[0]).toBe(a[0]);
        }
        used.sample(1.1, b);
        used.sample(1 - 1e-6, b);
        if (curve.before === 'holds') expect(b[0]).toBe(evaluate(curve, 0));
      }),
    );
  });

  it('is right where its times are rounded', () => {
    // The length of the segment across the seam is a difference of numbers near a million, and off by up to 6e-11
    // either way, so that it may end later than it is long.
    const steep = { span: 0.06, slope: 1 };
    for (let n = 0; n < 8; n++) {
      const first = 0.05 + n * 1.5e-11;
      const keys: Key[] = [
        { time: first, value: 0, in: steep, out: { span: 0.09, slope: 8 } },
        { time: 0.15, value: 1, in: steep, out: steep },
        { time: 1e6, value: 0, in: steep, out: steep },
      ];
      const curve: Curve = { keys, start: 0, period: 1e6 + 0.1, gain: 0, before: 'loops', after: 'loops' };
      const sampler = createSampler(curve);
      const out = new Float64Array(1);
      // Fills the part that begins at the first key.
      sampler.sample(first + 1e-4, out);
      for (let i = 1; i < 200; i++) {
        const early = i * 1e-12;
        sampler.sample(first - early, out);
        // At a slope of 1, 1e-12 s is 1e-12; the rest is the rounding of the segment's length.
        assertClose(out[0], -early, { abs: 1e-9 });
      }
    }
  });
});

describe('numbers at the ends of what a curve may hold', () => {
  it('keep their shape over very long and very short segments', () => {
    for (const length of [1e-60, 1e-30, 1, 1e30, 1e59]) {
      for (const size of [1e-250, 1, 1e50]) {
        const flat = { span: length / 3, slope: 0 };
        const keys = [
          { time: 0, value: 0, in: flat, out: flat },
          { time: length, value: size, in: flat, out: flat },
        ];
        const curve: Curve = { keys, start: 0, before: 'holds', after: 'holds' };
        // An ease in and out at a quarter: 3/16 − 2/64.
        assertClose(evaluate(curve, length / 4) / size, 10 / 64, { abs: ROUNDING });
        const jet = evaluateJet(curve, length / 4);
        assertClose((jet.velocity / size) * length, 9 / 8, { abs: ROUNDING });
        for (const number of Object.values(jet)) expect(Number.isFinite(number)).toBe(true);
      }
    }
  });

  it('are all that a time may be', () => {
    const curve: Curve = { keys: [key(0, 0, 1e60, 0.1)], start: 0, before: 'straight', after: 'straight' };
    expect(Number.isFinite(evaluate(curve, 1e60))).toBe(true);
    const rule = 't must be in [-1e+60, 1e+60] s, got 1e+300';
    expect(() => evaluate(curve, 1e300)).toThrow(`evaluate: ${rule}`);
    expect(() => evaluateJet(curve, 1e300)).toThrow(`evaluateJet: ${rule}`);
    expect(() => createSampler(curve).sample(1e300, [])).toThrow(`sample: ${rule}`);
  });
});

describe('a curve whose value runs with its time', () => {
  it('is a straight line, with handles of no length too', () => {
    const nothing = { span: 0, slope: 0 };
    const keys = [
      { time: 2, value: 1, in: nothing, out: nothing },
      { time: 4, value: 5, in: nothing, out: nothing },
    ];
    const curve: Curve = { keys, start: 2, before: 'straight', after: 'straight' };
    for (const t of [2, 2.1, 3, 3.7, 4]) {
      const jet = evaluateJet(curve, t);
      assertClose(jet.value, 1 + 2 * (t - 2), { abs: ROUNDING });
      assertClose(jet.velocity, 2, { abs: ROUNDING });
      assertClose(jet.acceleration, 0, { abs: ROUNDING });
    }
    assertClose(evaluate(curve, 9), 15, { abs: ROUNDING });
  });

  it('goes on straight from the seam of a cycle as its handles point', () => {
    // No handle on the left: the curve leaves towards the other handle's end, (0.8, 0.4).
    const keys: Key[] = [
      { time: 0, value: 0, in: { span: 0.2, slope: 3 }, out: { span: 0, slope: 0 } },
      { time: 1, value: 1, in: { span: 0.2, slope: 3 }, out: { span: 0.2, slope: 0 } },
    ];
    const curve: Curve = { keys, start: 0, period: 2, gain: 0, before: 'straight', after: 'straight' };
    assertClose(evaluate(curve, -1), -0.5, { abs: ROUNDING });
    assertClose(evaluate(curve, 3), 3, { abs: ROUNDING });
  });
});

describe('sampling', () => {
  const eased = (share: number): Curve => ({
    keys: Array.from({ length: 33 }, (_, i) => key(100 * i, Math.sin(i), Math.cos(i) / 100, 100 * share)),
    start: 0,
    before: 'holds',
    after: 'holds',
  });
  // Whole numbers: others an engine puts on the heap for a call that it does not copy into the loop.
  const times = Int32Array.from({ length: 1000 }, (_, i) => ((i * 0.6180339887) % 1) * 3190);
  const late = times.map((t) => t + 4000);
  it.each([
    ['third-length spans', 'sample', [1 / 3], times],
    ['free spans', 'sample', [0.4], times],
    ['two curves', 'sample', [1 / 3, 0.4], times],
    ['derivatives', 'sampleJets', [0.4], times],
    ['times outside', 'sample', [0.4], late],
    ['derivatives outside', 'sampleJets', [0.4], late],
  ])('puts nothing on the heap: %s', (name, call, shares, asked) => {
    const sampler = createSampler(shares.map(eased));
    // A text of its own: what engines learn of a loop they keep with its text.
    const body = `/* ${name} */ for (let i = 0; i < times.length; i++) sampler.${call}(times[i], out);`;
    const run = new Function('sampler', 'times', 'out', body);
    const out = new Float64Array(3 * shares.length);
    const count = 100 * asked.length;
    const perCall = Array.from({ length: 15 }, () => {
      const before = process.memoryUsage().heapUsed;
      for (let k = 0; k < 100; k++) run(sampler, asked, out);
      return Math.abs(process.memoryUsage().heapUsed - before) / count;
    });
    // A number on the heap takes 16 bytes. The least of the runs: compiler and collector are in the others.
    expect(Math.min(...perCall)).toBeLessThan(0.5);
  });
});

describe('sampleMany', () => {
  it('gives the very numbers of evaluate, for times in order or not', () => {
    fc.assert(
      fc.property(
        fc.array(anyCurve, { minLength: 1, maxLength: 3 }),
        fc.array(evenShare, { minLength: 1, maxLength: 60 }),
        fc.boolean(),
        (curves, shares, inOrder) => {
          const times = shares.map((x) => 8 * x - 4);
          if (inOrder) times.sort((a, b) => a - b);
          const out = new Float64Array(times.length * curves.length);
          createSampler(curves).sampleMany(times, out);
          times.forEach((t, j) => {
            curves.forEach((curve, i) => {
              expect(out[j * curves.length + i]).toBe(evaluate(curve, t));
            });
          });
        },
      ),
    );
  });

  it('refuses a time that is not finite', () => {
    const curve: Curve = { keys: [key(0, 0, 0, 0)], start: 0, before: 'holds', after: 'holds' };
    expect(() => createSampler(curve).sampleMany([0, Number.NaN], new Float64Array(2))).toThrow(
      't must be a finite',
    );
  });
});

describe('checkCurve', () => {
  it('finds nothing wrong with a valid curve', () => {
    fc.assert(
      fc.property(anyCurve, (curve) => {
        expect(checkCurve(curve)).toEqual([]);
      }),
    );
  });

  it('lists every problem with its path', () => {
    const bad = {
      keys: [key(0, Number.NaN, 0, -1), { ...key(1, 0, 0, 0), colour: 1 }],
      start: 0,
      before: 'bounces',
      after: 'holds',
    };
    expect(checkCurve(bad).map((problem) => problem.field)).toEqual([
      'before',
      'keys[0].value',
      'keys[0].in.span',
      'keys[0].out.span',
      'keys[1]',
    ]);
  });

  it('refuses keys out of order and handles that leave their segment', () => {
    const curve = {
      keys: [key(0, 0, 0, 0.9), key(0.5, 0, 0, 0.1)],
      start: 0,
      before: 'holds',
      after: 'holds',
    };
    expect(checkCurve(curve)[0].field).toBe('keys[0].out.span');
    expect(checkCurve({ ...curve, keys: [...curve.keys].reverse() })[0].field).toBe('keys[1].time');
  });
});
