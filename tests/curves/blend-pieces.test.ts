import { describe, expect, it } from 'vitest';
import { blendCurves, type Curve } from '../../src/curves/index.js';
import { assertClose } from '../support/assert-close.js';

/** Rounding of a blend that is exact. */
const EXACT = 1e-12;

const key = (time: number, value: number, span = 0.1, more = {}) => ({
  time,
  value,
  in: { span, slope: 1 },
  out: { span, slope: 1 },
  ...more,
});
const open = (keys: Curve['keys']): Curve => ({ keys, start: 0, before: 'holds', after: 'holds' });
const loop = (keys: Curve['keys'], more: Partial<Curve> = {}): Curve => ({
  keys,
  start: 0,
  period: 1,
  before: 'loops',
  after: 'loops',
  ...more,
});

describe('blendCurves, segment by segment', () => {
  it('is exact where one is a line and the other bends, whichever is first', () => {
    const line = open([key(0, 0, 0.1, { next: 'line' }), key(1, 2)]);
    const bent = open([key(0, 1, 0.4), key(1, 0, 0.2)]);
    for (const [a, b] of [
      [line, bent],
      [bent, line],
    ]) {
      const { curve, error } = blendCurves(a, b, 0.25);
      expect(curve.keys.length).toBe(2);
      expect([curve.keys[0].out.span, curve.keys[1].in.span]).toEqual([0.4, 0.2]);
      assertClose(error.value.max, 0, { abs: EXACT });
    }
  });

  it('is halved until it meets the tolerance where handles differ, by a little or by much', () => {
    const rough = { arrives: 3 };
    for (const span of [0.401, 0.42, 0.05, 0.7]) {
      const a = open([key(0, 0, 0.4), key(1, 1, 0.4), key(2, 0, 0.4, rough)]);
      const b = open([key(0, 1, span), key(1, 0, span), key(2, 1, 0.3)]);
      const { error, met } = blendCurves(a, b, 0.5, { tolerance: 1e-6 });
      expect([span, met, error.value.max <= 1e-6]).toEqual([span, true, true]);
    }
  });

  it('arrives nowhere where both hold', () => {
    const a = open([key(0, 0, 0, { next: 'hold' }), key(1, 2)]);
    const b = open([key(0, 4, 0, { next: 'hold' }), key(1, 8)]);
    const { keys } = blendCurves(a, b, 0.5).curve;
    expect(keys.map(({ value, next, arrives }) => [value, next, arrives])).toEqual([
      [2, 'hold', undefined],
      [5, undefined, undefined],
    ]);
  });

  it('has no jump at the seam of loops that have none, however their gains round', () => {
    const travels = { before: 'travels', after: 'travels' } as const;
    for (let i = 1; i < 30; i++) {
      const a = loop([key(0, 0.1 * i)], { gain: 0.3 / i, ...travels });
      const b = loop([key(0, 0.7)], { gain: 0.1 * i, ...travels });
      const { keys } = blendCurves(a, b, 0.3).curve;
      expect(keys.map(({ arrives }) => arrives)).toEqual([undefined]);
    }
  });

  it('takes locked keys for keys, in loops and in open curves', () => {
    const locked = { locked: true };
    const pairs: [Curve, Curve][] = [
      [loop([key(0, 0, 0.1, locked)]), loop([key(0.5, 1, 0.1, locked)])],
      [
        open([key(0, 0, 0.1, locked), key(2, 1, 0.1, locked)]),
        { ...open([key(-0.5, 1, 0.1, locked), key(3, 0, 0.1, locked)]), start: -0.5 },
      ],
    ];
    for (const [a, b] of pairs) {
      const { curve } = blendCurves(a, b, 0.5);
      expect(curve.keys.length).toBeGreaterThan(0);
      expect(curve.keys.every((each) => !each.locked)).toBe(true);
    }
  });

  it('makes one key of two that are a rounding apart, and of smooth ones a ten-millionth apart', () => {
    const corner = { out: { span: 0.1, slope: -1 } };
    const near = blendCurves(
      loop([key(0, 0, 0.1, corner), key(0.5, 1)]),
      loop([key(0, 1), key(0.5 + 1e-12, 0)]),
      0.5,
    );
    expect(near.curve.keys.filter(({ time }) => Math.abs(time - 0.5) < 1e-6).length).toBe(1);
    const smooth = blendCurves(
      loop([key(0, 0), key(0.5, 1)]),
      loop([key(0, 1, 0.2), key(0.5 + 1e-7, 0, 0.2)]),
      0.5,
    );
    expect(smooth.curve.keys.filter(({ time }) => Math.abs(time - 0.5) < 1e-3).length).toBe(1);
  });

  it('loops where one curve loops and the other travels without a gain', () => {
    const travels = { before: 'travels', after: 'travels' } as const;
    const [still, walk] = [loop([key(0, 0)]), loop([key(0, 1)], travels)];
    for (const [a, b] of [
      [still, walk],
      [walk, still],
    ]) {
      expect(blendCurves(a, b, 0.5).curve).toMatchObject({ before: 'loops', after: 'loops' });
    }
  });
});
