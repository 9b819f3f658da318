/** Samples at which a source does more than an even division of its range can see: steps, spikes, corners. */
import { lowerBound } from './grid.js';
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
  const { samples } = source;
  if (!samples || samples.length < 3) return [];
  const jet = new Float64Array(3);
  const values = new Float64Array(samples.length);
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  samples.forEach((t, i) => {
    source.jet(t, jet);
    values[i] = jet[0];
    low = Math.min(low, jet[0]);
    high = Math.max(high, jet[0]);
  });
  const notable = NOTABLE * (high - low);
  const found: number[] = [];
  const look = (a: number, b: number): void => {
    const from = samples[lowerBound(samples, a)] === a ? lowerBound(samples, a) + 1 : lowerBound(samples, a);
    const to = lowerBound(samples, b);
    if (to <= from || found.length >= MOST) return;
    source.jet(a, jet);
    const [v0, m0] = [jet[0], jet[1] * (b - a)];
    source.jet(b, jet);
    const [v1, m1] = [jet[0], jet[1] * (b - a)];
    let worst = 0;
    for (let i = from; i < to; i++) {
      const s = (samples[i] - a) / (b - a);
      const r = 1 - s;
      const cubic = r * r * ((1 + 2 * s) * v0 + s * m0) + s * s * ((1 + 2 * r) * v1 - r * m1);
      worst = Math.max(worst, Math.abs(cubic - values[i]));
    }
    if (worst <= notable) return;
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
