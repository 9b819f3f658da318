import { describe, expect, it } from 'vitest';
import { type Curve, insertKey, splitCurve } from '../../src/curves/index.js';

const side = { span: 0.2, slope: 1 };
const key = (time: number, value: number, more = {}) => ({ time, value, in: side, out: side, ...more });
const open = (keys: Curve['keys']): Curve => ({ keys, start: 0, before: 'straight', after: 'straight' });

describe('insertKey', () => {
  it('gives back the curve that has a key there', () => {
    const curve = open([key(0, 0), key(1, 1), key(2, 0)]);
    for (const { time } of curve.keys) expect(insertKey(curve, time)).toBe(curve);
  });

  it('touches no locked key on either side, and cuts lines and holds beside one', () => {
    expect(() => insertKey(open([key(0, 0, { locked: true }), key(1, 1)]), 0.5)).toThrow(
      'insertKey: keys[0] must not be locked',
    );
    expect(() => insertKey(open([key(0, 0), key(1, 1, { locked: true })]), 0.5)).toThrow(
      'insertKey: keys[1] must not be locked',
    );
    for (const next of ['line', 'hold']) {
      const curve = open([key(0, 0, { locked: true, next }), key(1, 1, { locked: true })]);
      const { keys } = insertKey(curve, 0.25);
      expect([keys[0], keys[2]]).toEqual(curve.keys);
      const slope = next === 'line' ? 1 : 0;
      const handle = { span: 0.25 / 3, slope };
      expect(keys[1]).toEqual({ time: 0.25, value: 0.25 * slope, in: handle, out: handle, next });
    }
  });
});

describe('splitCurve', () => {
  it('gives each side of a jump its own value', () => {
    const [first, second] = splitCurve(open([key(0, 0), key(1, 5, { arrives: 1 }), key(2, 6)]), 1);
    expect(first.keys).toEqual([key(0, 0), key(1, 1)]);
    expect(second.keys).toEqual([key(1, 5), key(2, 6)]);
  });

  it('holds where it was cut, and goes on as before at the other ends', () => {
    const [first, second] = splitCurve(open([key(0, 0), key(1, 1)]), 0.25);
    expect(first).toMatchObject({ start: 0, before: 'straight', after: 'holds' });
    expect(second).toMatchObject({ start: 0.25, before: 'holds', after: 'straight' });
  });
});
