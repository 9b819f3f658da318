/** Curves for property tests, aimed at the seams: zero-length, third-length and full-length spans, steep slopes. */
import fc from 'fast-check';
import type { Curve, Key, Outside } from '../../src/curves/index.js';

/** Evenly spread over [0, 1]: `fc.double` spends most of its draws next to zero. */
export const evenShare = fc.integer({ min: 0, max: 1_000_000 }).map((n) => n / 1_000_000);

const spanShare = fc.oneof(
  fc.constantFrom(0, 1e-12, 1e-6, 1 / 3, 1 / 3 + 1e-13, 0.5, 1 - 1e-12, 1),
  evenShare,
);
const slope = fc.oneof(
  fc.constantFrom(0, -1e-9, 50),
  fc.integer({ min: -20_000, max: 20_000 }).map((n) => n / 1000),
);
/** Whole thousandths, so that products of small numbers do not vanish. */
const value = fc.integer({ min: -2000, max: 2000 }).map((n) => n / 1000);
const kind = fc.constantFrom('curve', 'curve', 'curve', 'line', 'hold', undefined) as fc.Arbitrary<
  Key['next']
>;

const side = fc.record({ share: spanShare, slope });

/** A valid curve of 1 to 6 keys, open or cyclic, with jumps now and then. */
export const anyCurve: fc.Arbitrary<Curve> = fc
  .record({
    start: fc.integer({ min: -3000, max: 3000 }).map((n) => n / 1000),
    lead: fc.constantFrom(0, 0, 0.125),
    keys: fc.array(
      fc.record({
        gap: fc.integer({ min: 30, max: 1000 }).map((n) => n / 1000),
        value,
        left: side,
        right: side,
        next: kind,
        jump: fc.option(value, { freq: 8 }),
      }),
      { minLength: 1, maxLength: 6 },
    ),
    cyclic: fc.boolean(),
    gain: fc.constantFrom(0, 0.7),
    before: fc.constantFrom<Outside>('holds', 'straight', 'loops', 'travels'),
    after: fc.constantFrom<Outside>('holds', 'straight', 'loops', 'travels'),
  })
  .map(({ start, lead, keys, cyclic, gain, before, after }) => {
    const times: number[] = [];
    let t = start + lead;
    for (const key of keys) {
      times.push(t);
      t += key.gap;
    }
    const n = keys.length;
    const period = t - start;
    const after0 = (i: number): number => {
      if (i + 1 < n) return times[i + 1] - times[i];
      return cyclic ? times[0] + period - times[i] : keys[i].gap;
    };
    const before0 = (i: number): number => (i > 0 ? after0(i - 1) : cyclic ? after0(n - 1) : 0.1);
    const open = (side: Outside): Outside =>
      side === 'loops' ? 'holds' : side === 'travels' ? 'straight' : side;
    return {
      keys: keys.map((key, i) => ({
        time: times[i],
        value: key.value,
        in: { span: key.left.share * before0(i), slope: key.left.slope },
        out: { span: key.right.share * after0(i), slope: key.right.slope },
        ...(key.next ? { next: key.next } : {}),
        ...(key.jump === null ? {} : { arrives: key.jump }),
      })),
      start,
      ...(cyclic ? { period, ...(gain ? { gain } : {}) } : {}),
      before: cyclic ? before : open(before),
      after: cyclic ? after : open(after),
    };
  });

/** A smooth loop: a few harmonics over a period, sizes falling off as in a body's motion. */
export const anySeries = fc
  .record({
    period: fc.double({ min: 0.6, max: 2, noNaN: true }),
    mean: value,
    drift: fc.constantFrom(0, 0, 1.2),
    terms: fc.array(fc.tuple(value, value), { minLength: 1, maxLength: 4 }),
  })
  .map(({ period, mean, drift, terms }) => ({
    period,
    mean,
    drift,
    cos: terms.map(([a], k) => a / (k + 1) ** 2),
    sin: terms.map(([, b], k) => b / (k + 1) ** 2),
  }));

/** An open curve of two keys or more. */
export const openCurve = anyCurve.filter((curve) => curve.period === undefined && curve.keys.length > 1);
