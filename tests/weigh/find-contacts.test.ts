import { describe, expect, it } from 'vitest';
import { findLoadings } from '../../src/weigh/find-contacts.js';
import { assertClose } from '../support/assert-close.js';

const RATE = 100;

/** 700 N over spans of samples [from, to), nothing between. */
const pulses = (...spans: [number, number][]): Float64Array =>
  Float64Array.from({ length: 300 }, (_, i) => (spans.some(([from, to]) => i >= from && i < to) ? 700 : 0));

const find = (vertical: Float64Array) => findLoadings(vertical, RATE, 20, 10);

describe('loadings of a plate', () => {
  it('begin and end where the force crosses the thresholds between samples', () => {
    const [loading] = find(pulses([50, 100]));
    assertClose(loading.from, 49 + 20 / 700, { abs: 1e-12 });
    assertClose(loading.to, 99 + 690 / 700, { abs: 1e-12 });
    expect(loading.cut).toBe(false);
  });

  it('are one where the plate is left for less than 0.05 s, two where it is left for more', () => {
    expect(find(pulses([50, 80], [83, 120])).length).toBe(1);
    expect(find(pulses([50, 80], [88, 120])).length).toBe(2);
  });

  it('are cut where the record begins or ends inside them', () => {
    expect(find(pulses([0, 60], [120, 180], [260, 300])).map(({ cut }) => cut)).toEqual([true, false, true]);
  });

  it('leave knocks and light touches out', () => {
    expect(find(pulses([50, 60], [100, 160])).length).toBe(1);
    const touched = pulses([100, 160]);
    touched.fill(100, 200, 260);
    expect(find(touched).length).toBe(1);
  });

  it('do not flicker between the two thresholds', () => {
    const wavering = Float64Array.from({ length: 300 }, (_, i) => (i < 50 || i > 200 ? 0 : i % 2 ? 700 : 12));
    expect(find(wavering).length).toBe(1);
  });
});
