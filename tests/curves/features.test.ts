import { describe, expect, it } from 'vitest';
import {
  boundsOf,
  type Curve,
  findCrossings,
  findExtremes,
  findInflections,
} from '../../src/curves/index.js';
import { assertClose } from '../support/assert-close.js';

/** Rounding of a third-length span and of the control values that it makes. */
const ROUNDED = 1e-12;

const side = (slope: number) => ({ span: 1 / 3, slope });
const key = (time: number, value: number, slope = 0, more = {}) => ({
  time,
  value,
  in: side(slope),
  out: side(slope),
  ...more,
});
const line = (time: number, value: number, more = {}) => key(time, value, 0, { next: 'line', ...more });
const open = (keys: Curve['keys']): Curve => ({
  keys,
  start: keys[0].time,
  before: 'holds',
  after: 'holds',
});
const loop = (keys: Curve['keys'], period: number, more: Partial<Curve> = {}): Curve => ({
  keys,
  start: 0,
  period,
  before: 'loops',
  after: 'loops',
  ...more,
});
const travels = { before: 'travels', after: 'travels' } as const;

describe('findExtremes', () => {
  it('finds the turn at the seam of a loop', () => {
    const zigzag = loop([line(0, 0), line(1, 1)], 2);
    expect(findExtremes(zigzag)).toEqual([
      { time: 0, value: 0 },
      { time: 1, value: 1 },
    ]);
  });

  it('sees what arrives at the seam less the gain where a curve travels, and the drop of a gain as a jump', () => {
    const keys = [line(0, 2), line(1, 0)];
    expect(findExtremes(loop(keys, 2, { gain: 1, ...travels }))).toEqual([
      { time: 0, value: 2 },
      { time: 1, value: 0 },
    ]);
    expect(findExtremes(loop(keys, 2, { gain: 1 }))).toEqual([
      { time: 0, value: 3 },
      { time: 1, value: 0 },
    ]);
  });

  it('gives the further value of a jump at the bottom too', () => {
    expect(findExtremes(open([line(0, 0), line(1, 0, { arrives: -5 }), line(2, 1)]))).toEqual([
      { time: 1, value: -5 },
    ]);
    expect(findExtremes(open([line(0, 0), line(1, -5, { arrives: -2 }), line(2, 1)]))).toEqual([
      { time: 1, value: -5 },
    ]);
  });

  it('takes no rounding for a turn', () => {
    const values = [0.3, 0.1 + 0.2, 0.3, 0.1 + 0.2];
    expect(values[0]).not.toBe(values[1]);
    expect(findExtremes(open(values.map((value, i) => line(i, value))))).toEqual([]);
  });

  it('is exact where a segment is almost a parabola', () => {
    // t − t² + 1e-5 t³ turns where 1 − 2 t + 3e-5 t² = 0.
    const curve = open([key(0, 0, 1), key(1, 1e-5, -1 + 3e-5)]);
    const [{ time }, ...others] = findExtremes(curve);
    assertClose(time, 2 / (2 + Math.sqrt(4 - 1.2e-4)), { abs: ROUNDED });
    expect(others).toEqual([]);
  });
});

describe('findInflections', () => {
  // t² and then 1 + 2 u − u²: 2 is gained in a cycle, and the bend changes at both keys.
  const keys = [key(0, 0, 0), key(1, 1, 2)];

  it('finds a change of bend at the seam of a curve that travels, and none where the loop drops its gain', () => {
    expect(findInflections(loop(keys, 2, { gain: 2, ...travels }))).toEqual([
      { time: 0, value: 0 },
      { time: 1, value: 1 },
    ]);
    expect(findInflections(loop(keys, 2, { gain: 2 }))).toEqual([{ time: 1, value: 1 }]);
  });

  it('counts a key at which the value jumps as none', () => {
    expect(findInflections(open([...keys, key(2, 2, 0)]))).toEqual([{ time: 1, value: 1 }]);
    expect(findInflections(open([keys[0], { ...keys[1], value: 0.5, arrives: 1 }, key(2, 1.5)]))).toEqual([]);
  });

  it('finds the key in the middle of t³, where the second derivative is 0 on both sides', () => {
    expect(findInflections(open([key(-1, -1, 3), key(0, 0, 0), key(1, 1, 3)]))).toEqual([
      { time: 0, value: 0 },
    ]);
  });
});

describe('findCrossings', () => {
  it('gives the seam of a loop once, as the start of the cycle', () => {
    expect(findCrossings(loop([line(0, 0), line(1, 1)], 2), 0)).toEqual([0]);
  });

  it('leaves the end of a cycle that travels to the next one', () => {
    const ramp = loop([line(0, 0)], 1, { gain: 1, ...travels });
    expect(findCrossings(ramp, 1)).toEqual([]);
    expect(findCrossings(ramp, 0)).toEqual([0]);
    expect(findCrossings(ramp, 0.25)).toEqual([0.25]);
  });

  it('gives the first time of a stretch that lasts to the last key, and the last key of one that begins there', () => {
    expect(findCrossings(open([line(0, 1), line(1, 0), line(2, 0)]), 0)).toEqual([1]);
    expect(findCrossings(open([line(0, 1), line(1, 0)]), 0)).toEqual([1]);
  });

  it('tells two crossings a ten-millionth apart from one', () => {
    // (t − ½)² reaches 1e-14 at ½ ± 1e-7; rounding of 0.25 moves that by less than 1e-8.
    const found = findCrossings(open([key(0, 0.25, -1), key(1, 0.25, 1)]), 1e-14);
    expect(found.length).toBe(2);
    assertClose(found[1] - found[0], 2e-7, { abs: 2e-8 });
  });
});

describe('boundsOf', () => {
  it('takes in both values of a jump at either end', () => {
    const first = open([line(0, 0, { arrives: 9 }), line(1, 1)]);
    expect(boundsOf(first)).toMatchObject({ min: 0, max: 9, maxAt: 0 });
    const last = open([line(0, 0), line(1, -7, { arrives: 1 })]);
    expect(boundsOf(last)).toEqual({ start: 0, end: 1, min: -7, minAt: 1, max: 1, maxAt: 1 });
  });

  it('names the first of several places', () => {
    const curve = open([line(0, 1), line(1, 0), line(2, 1), line(3, 0)]);
    expect(boundsOf(curve)).toMatchObject({ minAt: 1, maxAt: 0 });
  });
});
