import { integrateTwice, type Series, scaleSeries } from '../curves/series.js';
import { seriesExtremes } from '../curves/series-extremes.js';
import { refuseAny } from '../internal/check.js';
import { resolveBody, STANDARD_GRAVITY } from './body.js';
import { walkSpecProblems } from './check-walk-spec.js';
import { mannerOf, stepFactorOf } from './dials.js';
import { leanOf } from './lean.js';
import { loadSeries, loadTermsFor } from './load.js';
import { applyManner, chartedDelay } from './manner.js';
import type { Note } from './note.js';
import { paceNotes } from './notes.js';
import { resolvePace } from './pace.js';
import { pivotFor } from './pivot.js';
import { isSymmetric, placeFeet, shareOfRight, supportProblem } from './place-feet.js';
import { centreHeight, relateRoot } from './root-relation.js';
import { planShear } from './shear.js';
import { deepestDip } from './swing-limit.js';
import type { Pace, Sides, Stance, Walk, WalkSpec } from './walk.js';

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
 * console.log(walk.pace.stepTime.toFixed(3)); // → 0.548
 * ```
 */
export function planWalk(spec: WalkSpec): Walk {
  refuseAny('planWalk', walkSpecProblems(spec));
  const gravity = spec.gravity ?? STANDARD_GRAVITY;
  const body = resolveBody(spec.body, spec.carry?.mass);
  const pace = resolvePace(spec.pace, body, gravity, stepFactorOf(spec, body.mass));
  const stance = placeFeet(spec, body, pace);
  refuseAny('planWalk', [supportProblem(stance)]);
  const symmetric = isSymmetric(spec, stance, pace);
  const notes: Note[] = paceNotes(pace);
  const load = planLoad(spec, { stance, pace, gravity, symmetric }, notes);
  const pivot = pivotFor(body, pace.dimensionlessSpeed);
  const { strideLength } = pace;
  const shear = planShear({ load, stance, pivot, strideLength, gravity, symmetric });
  const path = {
    height: integrateTwice(load, gravity, 0, 0),
    forward: shear.centreForward,
    side: shear.centreSide,
  };
  const root = relateRoot(
    {
      body,
      stance,
      pivot,
      strideLength,
      symmetric,
      speed: pace.dimensionlessSpeed,
      centre: path,
      crouch: spec.crouch,
    },
    notes,
  );
  return {
    kind: 'walk',
    spec,
    gravity,
    body,
    pace,
    stance,
    pivot,
    total: { vertical: load, forward: shear.forward, side: shear.side },
    centre: { ...path, height: { ...path.height, mean: centreHeight(body, root.height) } },
    root,
    lean: leanOf(spec, body.mass),
    notes,
  };
}

/** What the load is planned on. */
interface LoadGround {
  readonly stance: Sides<Stance>;
  readonly pace: Pace;
  readonly gravity: number;
  readonly symmetric: boolean;
}

function planLoad(spec: WalkSpec, ground: LoadGround, notes: Note[]): Series {
  const { stance, pace, gravity, symmetric } = ground;
  const terms = applyManner(loadTermsFor(pace.dimensionlessSpeed), mannerOf(spec));
  const middle = stance.left.fraction + stance.right.fraction - 1;
  const delay = spec.poseTiming ? spec.poseTiming * chartedDelay(terms, middle / 2) : 0;
  const { strideTime } = pace;
  const rightShare = shareOfRight(spec);
  const load = loadSeries(terms, { stance, delay, rightShare, strideTime }, symmetric);
  return boundLoad(spec.bob === undefined ? load : withBob(load, spec.bob, gravity), gravity, notes);
}

/** The load scaled so that the centre of mass rises and falls by `bob` m from lowest to highest. */
function withBob(load: Series, bob: number, gravity: number): Series {
  const now = bobOf(load, gravity);
  return now === 0 ? load : { ...scaleSeries(load, bob / now), mean: 1 };
}

function bobOf(load: Series, gravity: number): number {
  const heights = seriesExtremes(integrateTwice(load, gravity, 0, 0)).map(({ value }) => value);
  return heights.length === 0 ? 0 : Math.max(...heights) - Math.min(...heights);
}

/** The load, its swing held back where a foot would have to pull, with a note of the factor. */
function boundLoad(load: Series, gravity: number, notes: Note[]): Series {
  const dip = deepestDip(load);
  if (dip <= 1) return load;
  const factor = 1 / dip;
  const bob = bobOf(load, gravity);
  notes.push({
    code: 'swing-held-back',
    text:
      `A bob of ${bob.toFixed(3)} m would need the feet to pull; ` +
      `the load's swing is held back to ${factor.toFixed(3)} of itself.`,
    values: { factor, bob, bobAllowed: bob * factor },
  });
  return { ...scaleSeries(load, factor), mean: 1 };
}
