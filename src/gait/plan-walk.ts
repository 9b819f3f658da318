import { integrateTwice, type Series, scaleSeries } from '../curves/series.js';
import { refuseAny } from '../internal/check.js';
import { resolveBody, STANDARD_GRAVITY } from './body.js';
import { walkSpecProblems } from './check-walk-spec.js';
import { loadSeries, loadTermsFor } from './load.js';
import type { Note } from './note.js';
import { paceNotes } from './notes.js';
import { resolvePace, STEP_FACTOR } from './pace.js';
import { planShear } from './shear.js';
import { stanceFractionFor } from './stance.js';
import { deepestDip } from './swing-limit.js';
import type { Body, Pace, Pivot, Sides, Stance, Walk, WalkSpec } from './walk.js';

/** Step width over leg length (Donelan, Kram & Kuo 2001 prefer 0.12–0.13). */
const STEP_WIDTH = 0.13;

/**
 * A steady walk: pace, stance, both feet's forces and the path of the centre of mass, for a body under a
 * gravity.
 *
 * The total load is a short series of step harmonics with a mean of 1 BW; the horizontal totals follow
 * from feet that push towards a point above the centre of mass; the path is their exact double integral.
 *
 * @param spec - what to plan, in SI units; only `pace` has to be given
 * @returns the walk, plain read-only data
 * @throws RangeError or TypeError naming the field, its rule and its value, where the spec is not valid
 *
 * @example
 * ```ts
 * import { planWalk } from 'underfoot';
 *
 * const walk = planWalk({ pace: { speed: 1.28 }, body: { legLength: 0.9 } });
 * console.log(walk.pace.stepTime.toFixed(3)); // → 0.547
 * ```
 */
export function planWalk(spec: WalkSpec): Walk {
  refuseAny('planWalk', walkSpecProblems(spec));
  const gravity = spec.gravity ?? STANDARD_GRAVITY;
  const body = resolveBody(spec.body);
  const pace = resolvePace(spec.pace, body, gravity, spec.stepFactor ?? STEP_FACTOR);
  const stance = placeFeet(spec, body, pace);
  const notes: Note[] = paceNotes(pace);
  const load = boundLoad(planLoad(stance, pace), notes);
  const pivot = pivotFor(body);
  const shear = planShear({
    load,
    stance,
    pivot,
    strideLength: pace.strideLength,
    gravity,
    symmetric: true,
  });
  return {
    kind: 'walk',
    spec,
    gravity,
    body,
    pace,
    stance,
    pivot,
    total: { vertical: load, forward: shear.forward, side: shear.side },
    centre: {
      height: integrateTwice(load, gravity, centreHeight(body), 0),
      forward: shear.centreForward,
      side: shear.centreSide,
    },
    notes,
  };
}

function placeFeet(spec: WalkSpec, body: Body, pace: Pace): Sides<Stance> {
  const fraction = spec.stanceFraction ?? stanceFractionFor(pace.dimensionlessSpeed);
  const half = (spec.stepWidth ?? STEP_WIDTH * body.legLength) / 2;
  const rightFirst = spec.firstFoot !== 'left';
  const first = { contact: 0, fraction, forward: 0 };
  const second = { contact: 0.5, fraction, forward: pace.stepLength };
  return {
    left: { ...(rightFirst ? second : first), side: half },
    right: { ...(rightFirst ? first : second), side: -half },
  };
}

function planLoad(stance: Sides<Stance>, pace: Pace): Series {
  const doubleSupport = stance.left.fraction - 0.5;
  return loadSeries(loadTermsFor(pace.dimensionlessSpeed), doubleSupport / 2, pace.strideTime);
}

/** The load, its swing held back where a foot would have to pull, with a note of the factor. */
function boundLoad(load: Series, notes: Note[]): Series {
  const dip = deepestDip(load);
  if (dip <= 1) return load;
  const factor = 1 / dip;
  notes.push({
    code: 'swing-held-back',
    text: `The feet would have to pull; the load's swing is held back to ${factor.toFixed(3)} of itself.`,
    values: { factor },
  });
  return { ...scaleSeries(load, factor), mean: 1 };
}

function pivotFor(body: Body): Pivot {
  return {
    forwardHeight: 1.45 * body.legLength,
    sideHeight: 1.45 * body.legLength,
    pressureTravel: 0.2 * body.legLength,
  };
}

/** Height of the centre of mass of a walking body in m, on average. */
function centreHeight(body: Body): number {
  return 0.55 * body.stature;
}
