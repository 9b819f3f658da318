/** Samples at which a source does more than an even division of its range can see: steps, spikes, corners. */
import { lowerBound } from './grid.js';
import { rangeOf } from './samples.js';
import type { FitSource } from './source.js';

/** Departure from a cubic through the ends of a cell, as a share of the range, that calls for a closer look. */
const NOTABLE = 0.05;

/** Most samples picked out. */
const MOST = 160;

/**
 * Times of samples to be offered as places for keys, beyond an even division into `division` cells. Each cell
 * that a cubic through its ends misses by more than a twentieth of the range is halved at its middle sample, and
 * so on. Nothing here depends on a tolerance.
 */
export function detailTimes(source: FitSource, start: number, end: number, division: number): number[] {
  const { samples, sampled: values } = source;
  if (!samples || !values || samples.length < 3) return [];
  const jet = new Float64Array(3);
  const notable = NOTABLE * rangeOf(values);
  const found: number[] = [];
  const look = (a: number, b: number): void => {
    let from = lowerBound(samples, a);
    if (samples[from] === a) from++;
    const to = lowerBound(samples, b);
    if (to <= from || found.length >= MOST) return;
    source.jet(a, jet);
    const v0 = jet[0];
    const m0 = jet[1] * (b - a);
    source.jet(b, jet);
    const rise = jet[0] - v0;
    const m1 = jet[1] * (b - a);
    const c3 = m0 + m1 - 2 * rise;
    const c2 = 3 * rise - 2 * m0 - m1;
    const rate = 1 / (b - a);
    let i = from;
    for (; i < to; i++) {
      const s = (samples[i] - a) * rate;
      if (Math.abs(((c3 * s + c2) * s + m0) * s + v0 - values[i]) > notable) break;
    }
    if (i === to) return;
    const middle = samples[(from + to) >> 1];
    found.push(middle);
    look(a, middle);
    look(middle, b);
  };
  for (let k = 0; k < division; k++) {
    look(start + ((end - start) * k) / division, start + ((end - start) * (k + 1)) / division);
  }
  return found.sort((a, b) => a - b);
}
