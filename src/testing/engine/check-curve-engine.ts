import type { Curve } from '../../curves/curve.js';
import { requireNumber, requireRecord, show } from '../../internal/check.js';
import { judge, type LawReport, type LawRuns } from '../laws/law.js';
import { engineLaws } from './engine-laws.js';

/** Anything that gives the value of a curve at a time in s. */
export type CurveEngine = (curve: Curve, seconds: number) => number;

/** How to judge an evaluator. */
export interface EngineOptions extends LawRuns {
  /**
   * Farthest that values may be off, as a fraction of the largest in the curve, in (0, 0.1]. Default 1e-9.
   * Where a curve is steep, being off by as much of a segment's time is allowed too.
   */
  readonly tolerance?: number;
}

/**
 * Judges an evaluator of curves by laws that hold for every curve, and names the one that is broken.
 *
 * What is right comes from the keys by de Casteljau's construction at chosen parameters, so no time is ever
 * solved for and the library's own evaluation has no say. Laws are tried in order up to the first that is
 * broken.
 *
 * @param engine - value at a time in s
 * @param options - cases for each law, whole, in [1, 1e6]; seed; tolerance
 * @returns every law with its verdict and cases; `assertLaws` throws it, `formatReport` prints it
 * @throws RangeError or TypeError where the options are wrong; what the engine throws is reported
 *
 * @example
 * ```ts
 * import { type Curve, evaluate } from 'underfoot/curves';
 * import { checkCurveEngine } from 'underfoot/testing';
 *
 * console.log(checkCurveEngine(evaluate).holds); // → true
 *
 * // Takes the two sides of each key for one another.
 * const swap = (curve: Curve): Curve => ({
 *   ...curve,
 *   keys: curve.keys.map((key) => ({ ...key, in: key.out, out: key.in })),
 * });
 * const report = checkCurveEngine((curve, t) => evaluate(swap(curve), t));
 * console.log(report.broken?.law); // → Each side of a key keeps its own slope.
 * ```
 */
export function checkCurveEngine(engine: CurveEngine, options: EngineOptions = {}): LawReport {
  const where = 'checkCurveEngine';
  requireRecord(where, 'options', options, ['runs', 'seed', 'tolerance']);
  const { runs = 200, seed = 1, tolerance = 1e-9 } = options;
  if (typeof engine !== 'function')
    throw new TypeError(`${where}: engine must be a function, got ${show(engine)}`);
  requireNumber(where, 'runs', runs, { whole: true, min: 1, max: 1e6 });
  requireNumber(where, 'seed', seed, { whole: true });
  requireNumber(where, 'tolerance', tolerance, { above: 0, max: 0.1 });
  return judge('curve engine', engineLaws(engine, tolerance), runs, seed);
}
