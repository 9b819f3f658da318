import type { Tracked } from '../curves/curve.js';
import { type FitResult, fitCurve } from '../curves/fit/fit-curve.js';
import type { FitOptions } from '../curves/fit/options.js';
import type { Source } from '../curves/fit/source.js';
import type { KeyedError, KeyedRoot, KeyRootOptions } from './key-root.js';
import type { Channels } from './walk.js';

/**
 * Metres of path error that one body weight of load error is worth to the fit. Empirical: 6 mm held more
 * of the walks of 12 to 16 frames a step within every stated accuracy than 5 to 10 mm did; see
 * docs/decisions/005-load-weight.md.
 */
const METRES_PER_BODY_WEIGHT = 0.006;

/** A cycle whose path is to be keyed. */
export interface KeyedCycle {
  readonly strideTime: number;
  /** Gravity in m/s². */
  readonly gravity: number;
  /** Exact paths in m. */
  readonly path: Channels<Source>;
  /** What forward gains over the cycle in m, for paths that do not say. */
  readonly gain?: number;
  /** Times in s that have to carry a key. */
  readonly keysAt: readonly number[];
}

/** Height, forward and side of a cycle as keys, with what they miss; options are checked by the caller. */
export function fitRoot(
  cycle: KeyedCycle,
  options: KeyRootOptions & { readonly of: Tracked },
): Pick<KeyedRoot, 'height' | 'forward' | 'side' | 'error' | 'met'> {
  const fit = { ...fitOptions(cycle, options), of: options.of };
  const { path, gravity, gain } = cycle;
  const height = fitCurve(path.height, fit);
  const forward = fitCurve(path.forward, gain === undefined ? fit : { ...fit, gain });
  const side = fitCurve(path.side, fit);
  return {
    height: height.curve,
    forward: forward.curve,
    side: side.curve,
    error: {
      height: errorOf(height, gravity),
      forward: errorOf(forward, gravity),
      side: errorOf(side, gravity),
    },
    met: height.met && forward.met && side.met,
  };
}

function fitOptions({ strideTime, gravity, keysAt }: KeyedCycle, options: KeyRootOptions): FitOptions {
  const { fps, keysPerStep, tolerance = 0.0003, loadTolerance = 0.05 } = options;
  const weight = METRES_PER_BODY_WEIGHT / gravity;
  const fit = {
    start: 0,
    period: strideTime,
    frames: { fps },
    extremes: options.keyExtremes ?? false,
    ...(keysAt.length > 0 ? { keysAt } : {}),
  };
  return keysPerStep === undefined
    ? { ...fit, tolerance, load: { weight, tolerance: loadTolerance * gravity } }
    : { ...fit, keyCount: 2 * keysPerStep, load: { weight } };
}

function errorOf({ error }: FitResult, gravity: number): KeyedError {
  const { value, load, jump } = error;
  const inBodyWeights = { max: load!.max / gravity, at: load!.at, rms: load!.rms / gravity };
  return { value, load: inBodyWeights, jump: { max: jump!.max / gravity, at: jump!.at } };
}
