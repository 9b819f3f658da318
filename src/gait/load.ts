import type { Series } from '../curves/series.js';
import { COEFFICIENTS, measuredSpeed } from './coefficients.js';
import { PROJECTION_SAMPLES, projectHarmonics } from './fourier.js';
import { sampleShares, wrapPhase } from './share.js';
import type { Side, Sides, Stance } from './walk.js';

/**
 * Cosine and sine terms of the total load's step harmonics, in BW. Their angle runs over one step and is 0
 * in the middle of double support.
 */
export interface LoadTerms {
  readonly cos: readonly number[];
  readonly sin: readonly number[];
}

/** Stride harmonics that the load of unequal steps keeps. */
const UNEVEN_HARMONICS = 16;

/**
 * Step harmonics of the total load for a dimensionless speed.
 *
 * The first one's size is κ (π²/4) Fr, what a stiff-legged walk of that speed would have times the
 * fraction κ of its bob that people keep, and its phase varies with speed. The higher cosine and sine
 * terms are cubics in the speed without a constant, for the second one passes through nearly nothing at
 * an ordinary pace and its phase turns over. Beyond the measured speeds the terms stay as they are at the
 * end of the range, below it they fade in proportion to the speed.
 */
export function loadTermsFor(dimensionlessSpeed: number): LoadTerms {
  const { bobKept, lead, cosTerms, sinTerms, range } = COEFFICIENTS;
  const v = measuredSpeed(dimensionlessSpeed);
  const fade = Math.min(1, dimensionlessSpeed / range.min);
  const size = bobKept * (Math.PI ** 2 / 4) * dimensionlessSpeed ** 2;
  const phase = lead.base + lead.slow * Math.exp(-v / lead.decay);
  return {
    cos: [size * Math.cos(phase), ...cosTerms.map((atNodes) => fade * cubicThrough(atNodes, v))],
    sin: [-size * Math.sin(phase), ...sinTerms.map((atNodes) => fade * cubicThrough(atNodes, v))],
  };
}

/** Value at `v` of the cubic without a constant that takes the given values at the three node speeds. */
function cubicThrough(atNodes: readonly number[], v: number): number {
  const [p, q, r] = COEFFICIENTS.nodes;
  const [a, b, c] = atNodes;
  return (
    v *
    ((a * (v - q) * (v - r)) / (p * (p - q) * (p - r)) +
      (b * (v - p) * (v - r)) / (q * (q - p) * (q - r)) +
      (c * (v - p) * (v - q)) / (r * (r - p) * (r - q)))
  );
}

/** Where on the stride the terms go. */
export interface LoadPlacement {
  readonly stance: Sides<Stance>;
  /** By how much of a step the load comes later than measured. */
  readonly delay: number;
  /** Fraction of the whole load that the right foot takes; left out where both are alike. */
  readonly rightShare?: number;
  readonly strideTime: number;
}

/**
 * The total load of both feet in BW as a series over the stride, mean exactly 1. Equal steps take the
 * terms as they are; unequal ones stretch them to each step and are projected on the stride's harmonics.
 */
export function loadSeries(terms: LoadTerms, placement: LoadPlacement, symmetric: boolean): Series {
  return symmetric ? evenLoad(terms, placement) : unevenLoad(terms, placement);
}

function evenLoad(terms: LoadTerms, { stance, delay, strideTime }: LoadPlacement): Series {
  const harmonics = 2 * terms.cos.length;
  const cos = new Array<number>(harmonics).fill(0);
  const sin = new Array<number>(harmonics).fill(0);
  // Middle of double support in step phase: half of (fraction − ½) strides.
  const middle = stance.left.fraction - 0.5 + delay;
  for (let k = 1; k <= terms.cos.length; k++) {
    const angle = 2 * Math.PI * k * middle;
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    const [a, b] = [terms.cos[k - 1], terms.sin[k - 1]];
    cos[2 * k - 1] = a * c - b * s;
    sin[2 * k - 1] = a * s + b * c;
  }
  return { period: strideTime, mean: 1, drift: 0, cos, sin };
}

function unevenLoad(terms: LoadTerms, placement: LoadPlacement): Series {
  const { strideTime, rightShare } = placement;
  const n = PROJECTION_SAMPLES;
  const load = new Float64Array(n);
  for (let i = 0; i < n; i++) load[i] = loadAt(terms, placement, i / n);
  const { cos, sin } = projectHarmonics(load, UNEVEN_HARMONICS);
  const series = { period: strideTime, mean: 1, drift: 0, cos, sin };
  return rightShare === undefined ? series : shiftLoad(series, placement, rightShare);
}

function loadAt(terms: LoadTerms, { stance, delay }: LoadPlacement, phase: number): number {
  const [own, other] = landedLast(stance, phase);
  const length = wrapPhase(stance[other].contact - stance[own].contact);
  const doubleSupport = stance[other].fraction - wrapPhase(stance[own].contact - stance[other].contact);
  const since = wrapPhase(phase - stance[own].contact);
  const angle = 2 * Math.PI * ((since - doubleSupport / 2) / length - delay);
  let load = 1;
  for (let k = 1; k <= terms.cos.length; k++) {
    load += terms.cos[k - 1] * Math.cos(k * angle) + terms.sin[k - 1] * Math.sin(k * angle);
  }
  return load;
}

function landedLast(stance: Sides<Stance>, phase: number): [Side, Side] {
  const left = wrapPhase(phase - stance.left.contact);
  return left < wrapPhase(phase - stance.right.contact) ? ['left', 'right'] : ['right', 'left'];
}

/**
 * Moves load from one foot to the other by one term of the stride's first harmonic, greatest in the middle
 * of the right foot's stance, of the size that gives that foot its share.
 */
function shiftLoad(series: Series, { stance }: LoadPlacement, rightShare: number): Series {
  const n = PROJECTION_SAMPLES;
  const omega = 2 * Math.PI;
  const middle = stance.right.contact + stance.right.fraction / 2;
  const shares = new Float64Array(2);
  let now = 0;
  let gain = 0;
  for (let i = 0; i < n; i++) {
    const phase = i / n;
    sampleShares(stance, phase, shares);
    let load = 1;
    for (let k = 1; k <= series.cos.length; k++) {
      load +=
        series.cos[k - 1] * Math.cos(k * omega * phase) + series.sin[k - 1] * Math.sin(k * omega * phase);
    }
    now += (load * shares[1]) / n;
    gain += (Math.cos(omega * (phase - middle)) * shares[1]) / n;
  }
  const size = (rightShare - now) / gain;
  return {
    ...series,
    cos: series.cos.map((x, i) => (i === 0 ? x + size * Math.cos(omega * middle) : x)),
    sin: series.sin.map((x, i) => (i === 0 ? x + size * Math.sin(omega * middle) : x)),
  };
}
