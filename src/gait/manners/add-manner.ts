import { refuseAny } from '../../internal/check.js';
import { resolveBody, STANDARD_GRAVITY } from '../body.js';
import { walkSpecProblems } from '../check-walk-spec.js';
import { mannerOf, stanceOf, stepFactorOf } from '../dials.js';
import { resolvePace } from '../pace.js';
import { STEP_WIDTH } from '../place-feet.js';
import { STANCE_LIMITS, stanceFractionFor } from '../stance.js';
import type { WalkSpec } from '../walk.js';
import { type MannerName, mannerFrom, mannerProblems, NEUTRAL, type WalkManner } from './walk-manner.js';

/** A walk spec whose pace may be left to its manner. */
export type SpecWithoutPace = Omit<WalkSpec, 'pace'> & Partial<Pick<WalkSpec, 'pace'>>;

/** Shortest and longest stances that a manner's shift leads to. */
const STANCES = { min: 0.51, max: STANCE_LIMITS.max } as const;

/**
 * A spec that walks in a manner: what `planWalk` takes.
 *
 * Whatever the spec sets itself stays, its pace included; the manner fills in the rest, relative to what body,
 * pace and heft give. A neutral dial changes nothing, to the bit.
 *
 * @param spec - as `planWalk` takes it, or without a pace
 * @param manner - a name, or numbers
 * @returns the spec with the manner's dials written out
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { addManner, planWalk } from 'underfoot';
 *
 * const sneaking = planWalk(addManner({}, 'sneak'));
 * const plain = planWalk({ pace: sneaking.spec.pace });
 * console.log((plain.root.height - sneaking.root.height).toFixed(2)); // → 0.15
 * console.log(addManner({ crouch: 0.2 }, 'sneak').crouch); // → 0.2
 * ```
 *
 * Source: common practice, no source.
 */
export function addManner(spec: SpecWithoutPace, manner: MannerName | WalkManner): WalkSpec {
  const where = 'addManner';
  const problems = walkSpecProblems(spec);
  const paceMissing = typeof spec === 'object' && spec !== null && spec.pace === undefined;
  refuseAny(where, paceMissing ? problems.filter(({ field }) => field !== 'pace') : problems);
  refuseAny(where, mannerProblems('manner', manner));
  const dials = { ...NEUTRAL, ...withoutGaps(mannerFrom(manner)) };
  const given: WalkSpec = { ...spec, pace: spec.pace ?? paceOf(spec, dials.dimensionlessSpeed) };
  const heft = given.heft ?? dials.heft;
  return { ...given, ...withoutGaps(fillIn(given, dials, heft)) };
}

/** What the manner adds to a spec; only what changes something. */
function fillIn(given: WalkSpec, dials: Required<WalkManner>, heft: number): Partial<WalkSpec> {
  const body = resolveBody(given.body, given.carry?.mass);
  const gravity = given.gravity ?? STANDARD_GRAVITY;
  const heavy = { ...given, heft };
  const fill = <T>(own: T | undefined, neutral: boolean, value: () => T): T | undefined =>
    own !== undefined || neutral ? undefined : value();
  const stepFactor = fill(given.stepFactor, dials.stepLength === 1, () => {
    return stepFactorOf(heavy, body.mass) * dials.stepLength;
  });
  const resolved = (): number => {
    const factor = stepFactor ?? stepFactorOf(heavy, body.mass);
    const { dimensionlessSpeed } = resolvePace(given.pace, body, gravity, factor);
    return stanceOf(heavy, stanceFractionFor(dimensionlessSpeed)) + dials.stanceShift;
  };
  const load = mannerOf(heavy);
  return {
    stepFactor,
    stanceFraction: fill(given.stanceFraction, dials.stanceShift === 0, () => {
      return Math.min(STANCES.max, Math.max(STANCES.min, resolved()));
    }),
    stepWidth: fill(given.stepWidth, dials.stepWidth === 1, () => {
      return dials.stepWidth * STEP_WIDTH * body.legLength;
    }),
    heft: fill(given.heft, dials.heft === 0, () => dials.heft),
    swing: fill(given.swing ?? given.bob, dials.swing === 1, () => Math.min(10, load.swing * dials.swing)),
    linger: fill(given.linger, dials.linger === 0, () => Math.min(1, load.linger + dials.linger)),
    recovery: fill(given.recovery, dials.recovery === 0, () => Math.min(1, load.recovery + dials.recovery)),
    poseTiming: fill(given.poseTiming, dials.poseTiming === 0, () => dials.poseTiming),
    crouch: fill(given.crouch, dials.crouch === 0, () => dials.crouch),
    lean: fill(given.lean, dials.lean === 0, () => dials.lean),
  };
}

function paceOf(spec: SpecWithoutPace, dimensionlessSpeed: number): WalkSpec['pace'] {
  if (dimensionlessSpeed === NEUTRAL.dimensionlessSpeed) return 'ordinary';
  const { legLength } = resolveBody(spec.body);
  return { speed: dimensionlessSpeed * Math.sqrt((spec.gravity ?? STANDARD_GRAVITY) * legLength) };
}

function withoutGaps<T extends object>(fields: T): Partial<T> {
  const given = Object.entries(fields).filter(([, value]) => value !== undefined);
  return Object.fromEntries(given) as Partial<T>;
}
