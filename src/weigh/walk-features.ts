import type { Series } from '../curves/series.js';
import { toSeries } from './centre-from-plates.js';

/** A complex number as real and imaginary part. */
type Complex = readonly [number, number];

/**
 * What is left of a walk's path when place, direction of time's zero, size and speed of playing are taken
 * out: the height's second and third step harmonic, and the forward sway's first, over the height's first.
 */
export interface WalkFeatures {
  readonly second: Complex;
  readonly third: Complex;
  /** Nothing where there is no forward path. */
  readonly sway?: Complex;
  /** Size of the height's first step harmonic, in m. */
  readonly size: number;
}

/** Samples over a cycle that harmonics are taken of. */
const SAMPLES = 192;

/** Features of paths over a cycle, given as functions of the phase. */
export function featuresOf(
  height: (phase: number) => number,
  forward: ((phase: number) => number) | undefined,
  steps: number,
): WalkFeatures {
  const seriesOf = (path: (phase: number) => number): Series =>
    toSeries(
      Array.from({ length: SAMPLES }, (_, i) => path(i / SAMPLES)),
      1,
      Math.min(3 * steps, SAMPLES / 2 - 1),
    );
  return featuresFrom(seriesOf(height), forward && seriesOf(forward), steps);
}

function featuresFrom(z: Series, x: Series | undefined, steps: number): WalkFeatures {
  const first = harmonic(z, steps);
  const size = Math.hypot(...first);
  const turn = Math.atan2(first[1], first[0]);
  const align = ([re, im]: Complex, k: number): Complex => {
    const [c, s] = [Math.cos(-k * turn), Math.sin(-k * turn)];
    return [(re * c - im * s) / size, (re * s + im * c) / size];
  };
  return {
    second: align(harmonic(z, 2 * steps), 2),
    third: align(harmonic(z, 3 * steps), 3),
    ...(x ? { sway: align(harmonic(x, steps), 1) } : {}),
    size,
  };
}

/** Features of exact series over a stride of two steps. */
export function featuresOfSeries(height: Series, forward: Series): WalkFeatures {
  return featuresFrom(height, forward, 2);
}

/** Cosine term and minus sine term: the coefficient of exp(iωt). */
function harmonic(series: Series, k: number): Complex {
  return [series.cos[k - 1] ?? 0, -(series.sin[k - 1] ?? 0)];
}

/** How differently people do the same: scatter of each feature, as a fraction of the height's first harmonic. */
const SCATTER = { second: 0.08, third: 0.08, sway: 0.12 } as const;

/** Squared distance of features, in scatters. */
export function featureDistance(a: WalkFeatures, b: WalkFeatures): number {
  const gap = (x: Complex, y: Complex, scatter: number): number =>
    ((x[0] - y[0]) ** 2 + (x[1] - y[1]) ** 2) / scatter ** 2;
  const shape = gap(a.second, b.second, SCATTER.second) + gap(a.third, b.third, SCATTER.third);
  if (!a.sway || !b.sway) return shape;
  // The sway counts by its ratio: it grows a hundredfold from a brisk walk to a slow one.
  const [x, y] = [Math.hypot(...a.sway), Math.hypot(...b.sway)];
  return shape + (Math.log(Math.max(x, 1e-9) / Math.max(y, 1e-9)) / SCATTER.sway) ** 2;
}
