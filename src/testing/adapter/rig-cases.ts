import type fc from 'fast-check';
import type { Curve } from '../../curves/curve.js';
import { jumpsAtEnd } from '../../exchange/rig/rig-curve.js';
import { type CurveChoice, curves } from '../arbitraries/curves.js';

/** Curves that a rig can be given: all but those whose seam no last key can tell. */
export function rigCases(choice: CurveChoice = {}): fc.Arbitrary<Curve> {
  return curves(choice).filter((curve) => !jumpsAtEnd(curve));
}
