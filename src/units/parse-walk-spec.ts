import { walkSpecProblems } from '../gait/check-walk-spec.js';
import type { CarryPlace, PaceName, WalkSpec } from '../gait/walk.js';
import { errorOf, isRecord, type Problem, refuseAny } from '../internal/check.js';
import { knownUnit, quantityProblem, readQuantity } from './quantity.js';

/** A plain number in SI units, or a quantity in words. */
export type Quantity = number | string;

/** A walk spec whose numbers may be quantities in words: `3 ft`, `40 strides/min`, `70 kg`. */
export interface WalkSpecInUnits
  extends Omit<WalkSpec, 'pace' | 'body' | 'gravity' | 'stepWidth' | 'bob' | 'lean' | 'carry'> {
  readonly pace:
    | PaceName
    | {
        readonly speed?: Quantity;
        readonly strideLength?: Quantity;
        /** Also in strides or steps over a time; two steps are a stride. */
        readonly strideRate?: Quantity;
        readonly framesPerStep?: Quantity;
        readonly fps?: Quantity;
      };
  readonly body?: { readonly mass?: Quantity; readonly legLength?: Quantity; readonly stature?: Quantity };
  readonly gravity?: Quantity;
  readonly stepWidth?: Quantity;
  readonly bob?: Quantity;
  readonly lean?: Quantity;
  readonly carry?: { readonly mass: Quantity; readonly where: CarryPlace };
}

/** The units that each field may be given in; the first is what planning counts in. */
const UNITS: Readonly<Record<string, readonly string[]>> = {
  'pace.speed': ['m/s'],
  'pace.strideLength': ['m', 'm/stride'],
  'pace.strideRate': ['1/s', 'stride/s'],
  'pace.framesPerStep': ['frame'],
  'pace.fps': ['1/s', 'frame/s'],
  'body.mass': ['kg'],
  'body.legLength': ['m'],
  'body.stature': ['m'],
  gravity: ['m/s^2'],
  stepWidth: ['m'],
  bob: ['m'],
  lean: ['rad'],
  'carry.mass': ['kg'],
};

/** The objects that hold such fields; the rest is not looked into. */
const PARTS = ['', 'pace', 'body', 'carry'];

/**
 * A walk spec in plain SI numbers from one whose quantities may be in words.
 *
 * Each quantity is converted to the unit that planning counts in; everything else passes through, and the
 * whole is checked as `planWalk` does.
 *
 * @param spec - as `planWalk` takes it, with numbers in SI units or words such as `3 ft`, `40/min`, `70 kg`
 * @returns the spec that `planWalk` takes
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planWalk } from 'underfoot';
 * import { formatQuantity, parseWalkSpec } from 'underfoot/units';
 *
 * const spec = parseWalkSpec({
 *   pace: { strideLength: '3 ft', strideRate: '40 strides/min' },
 *   body: { mass: '70 kg', stature: '5 ft 11 in' },
 * });
 * console.log(formatQuantity(planWalk(spec).pace.speed, 'm/s', 'ft/s')); // → 2 ft/s
 * ```
 */
export function parseWalkSpec(spec: WalkSpecInUnits): WalkSpec {
  const where = 'parseWalkSpec';
  const plain = convert('', spec);
  refuseAny(where, walkSpecProblems(plain));
  return plain as WalkSpec;

  function convert(path: string, value: unknown): unknown {
    const units = UNITS[path];
    if (units && typeof value === 'string') return inUnits(path, value, units);
    if (!isRecord(value) || !PARTS.includes(path)) return value;
    return Object.fromEntries(
      Object.entries(value).map(([name, inner]) => [name, convert(path ? `${path}.${name}` : name, inner)]),
    );
  }

  function inUnits(path: string, text: string, units: readonly string[]): number {
    for (const unit of units) {
      const read = readQuantity(text, knownUnit(unit));
      if (read !== undefined) return read;
    }
    const problem: Problem = quantityProblem(path, text, units[0]);
    throw errorOf(where, problem);
  }
}
