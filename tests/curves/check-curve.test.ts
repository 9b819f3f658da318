import { describe, expect, it } from 'vitest';
import {
  blendCurves,
  type Curve,
  checkCurve,
  evaluate,
  evaluateJet,
  findExtremes,
} from '../../src/curves/index.js';

const flat = { span: 0.1, slope: 0 };
const key = (time: number, more = {}) => ({ time, value: 1, in: flat, out: flat, ...more });
const open = (keys: readonly unknown[]): Curve =>
  ({ keys, start: 0, before: 'holds', after: 'holds' }) as unknown as Curve;

describe('checkCurve', () => {
  it('names everything that is wrong at once, unknown fields and holes among the rest', () => {
    const sparse = [key(0)];
    sparse[2] = key(1, { value: 'x', colour: 1, in: { span: -1, slope: null, weight: 1 } }) as never;
    const found = checkCurve({ ...open(sparse), start: Number.NaN, speed: 2 });
    expect(found.map(({ field, kind }) => `${field} ${kind}`)).toEqual([
      'curve type',
      'start range',
      'keys[1] type',
      'keys[2] type',
      'keys[2].value type',
      'keys[2].in type',
      'keys[2].in.span range',
      'keys[2].in.slope type',
    ]);
  });

  it('speaks of the argument that the caller gave', () => {
    const good = open([key(0), key(1)]);
    expect(() => blendCurves({ ...good, colour: 1 } as never, good, 0)).toThrow(
      'blendCurves: first must have no fields but keys',
    );
    expect(() => blendCurves(good, 3 as never, 0)).toThrow('blendCurves: second must be an object, got 3');
    expect(() => findExtremes(open([undefined]))).toThrow(
      'findExtremes: keys[0] must be an object, got undefined',
    );
  });

  it('refuses numbers so large, or keys so near, that something would overflow, and nothing smaller', () => {
    const most = 1e60;
    const steep = { span: 1 / 3, slope: most };
    const widest = [key(0, { value: -most, out: steep }), key(1, { value: most, in: steep })];
    expect(checkCurve(open(widest))).toEqual([]);
    for (let i = 0; i <= 20; i++) {
      const { value, velocity, acceleration } = evaluateJet(open(widest), i / 20);
      expect([value, velocity, acceleration].every(Number.isFinite)).toBe(true);
    }
    const near = [
      key(0, { in: { span: 0, slope: 0 }, out: { span: 0, slope: 0 } }),
      key(1.1e-60, { value: most }),
    ];
    near[1].in = { span: 0, slope: 0 };
    expect(Number.isFinite(evaluateJet(open(near), 5e-61).acceleration)).toBe(true);
    expect(Number.isFinite(evaluate(open(near), 5e-61))).toBe(true);
    for (const more of [
      { value: 1e61 },
      { time: 1e61 },
      { arrives: -1e61 },
      { out: { span: 0, slope: 1e61 } },
    ]) {
      expect(checkCurve(open([key(0), { ...key(1), ...more }]))[0].rule).toMatch(
        /^must be in \[-1e\+60, 1e\+60\]/,
      );
    }
    expect(checkCurve(open([key(0), key(1e-61)]))[0].rule).toBe(
      'must be 1e-60 s or more past the key before it',
    );
    expect(checkCurve({ ...open([key(0)]), period: 1e-61 })[0].field).toBe('period');
  });
});
