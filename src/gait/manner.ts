import { seriesExtremes } from '../curves/series-extremes.js';
import type { LoadTerms } from './load.js';

/** The dials that shape the load, resolved. */
export interface Manner {
  /** Factor on the load's swing about 1 BW. */
  readonly swing: number;
  /** How far the give is lengthened: 0 as measured, 1 longest. */
  readonly linger: number;
  /** How far the rise after the give is slowed: 0 as measured, 1 slowest. */
  readonly recovery: number;
}

/** Second harmonic, as a fraction of the first, that a full `linger` takes away about the lowest point. */
const LINGER_DEPTH = 0.5;

/** Second harmonic, as a fraction of the first, that a full `recovery` tilts the rise with. */
const RECOVERY_TILT = 0.5;

/**
 * The load terms with the dials applied: swing multiplies all of them; linger takes second harmonic away
 * in phase with the first, so that the centre of mass stays low for longer; recovery adds it a quarter
 * turn behind, so that it sinks fast and rises slowly.
 */
export function applyManner(terms: LoadTerms, manner: Manner): LoadTerms {
  const { swing, linger, recovery } = manner;
  if (swing === 1 && linger === 0 && recovery === 0) return terms;
  const first = Math.hypot(terms.cos[0], terms.sin[0]);
  const phase = Math.atan2(terms.sin[0], terms.cos[0]);
  const [c, s] = [Math.cos(2 * phase), Math.sin(2 * phase)];
  const inPhase = -LINGER_DEPTH * linger * first;
  const behind = -RECOVERY_TILT * recovery * first;
  const shape = (x: number, k: number, second: number): number => swing * (k === 1 ? x + second : x);
  return {
    cos: terms.cos.map((x, k) => shape(x, k, inPhase * c - behind * s)),
    sin: terms.sin.map((x, k) => shape(x, k, inPhase * s + behind * c)),
  };
}

/**
 * Fraction of a step by which the load has to come later for timing-chart poses at full `poseTiming`: the
 * low a quarter step after contact and the high a quarter step after passing, split evenly where the two
 * ask for different delays.
 *
 * @param middle - middle of double support, in step phase
 */
export function chartedDelay(terms: LoadTerms, middle: number): number {
  const height = {
    period: 1,
    mean: 0,
    drift: 0,
    cos: terms.cos.map((x, k) => -x / (k + 1) ** 2),
    sin: terms.sin.map((x, k) => -x / (k + 1) ** 2),
  };
  const extremes = seriesExtremes(height);
  if (extremes.length === 0) return 0;
  const low = extremes.reduce((a, b) => (b.value < a.value ? b : a)).time + middle;
  const high = extremes.reduce((a, b) => (b.value > a.value ? b : a)).time + middle;
  const centred = (x: number): number => x - Math.round(x);
  return (centred(0.25 - low) + centred(0.75 - high)) / 2;
}
