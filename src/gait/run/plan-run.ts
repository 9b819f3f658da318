import { refuseAny } from '../../internal/check.js';
import { resolveBody, STANDARD_GRAVITY } from '../body.js';
import type { Note } from '../note.js';
import { RUN_TRANSITION_FROUDE } from '../notes.js';
import { resolvePace } from '../pace.js';
import { pressureProgress } from '../pressure.js';
import { centreHeight } from '../root-relation.js';
import type { Body, Pace, Side, Sides, Stance } from '../walk.js';
import { runSpecProblems } from './check-run-spec.js';
import { type PartedPath, powersAt } from './parted-path.js';
import {
  forwardPowers,
  heightPowers,
  pulsePowers,
  pushPowers,
  type StepForces,
  sidePowers,
  twoSteps,
} from './pulse.js';
import type { Run, RunSpec } from './run.js';
import { dutyFactorFor, peakOverMeanFor, RUN_STEP_EXPONENT, RUN_STEP_FACTOR } from './run-pace.js';

/** Step width over leg length: 3 to 4 cm in adults (Arellano & Kram 2011, memory). */
const STEP_WIDTH = 0.04;

/** Heights of the points that the floor's forces aim at, over leg length. Memory: peaks of 0.2 to 0.4 BW fore-aft. */
const AIM = { forward: 1.3, side: 1.14 } as const;

/** Travel of the pressure along the foot, over leg length: as in the walk. */
const PRESSURE_TRAVEL = 0.2;

/** Length of a runner's leg from hip joint to floor at its straightest, over leg length: knees stay bent. Memory. */
const STRAIGHTEST = 0.98;

/** The root never sinks below this many leg lengths on average. Common practice, no source. */
const LOWEST = 0.4;

/** Trunk lean of a runner in rad. Memory: 3 to 8 degrees. */
const LEAN = 0.05;

/** Dimensionless speeds that the sources span: 1.5 to 6 m/s at a leg of 0.90 m. */
export const RUN_SPEEDS = { min: 0.5, max: 2.05 } as const;

/**
 * A steady run: pace, stance, both feet's forces and the path of the centre of mass, for a body under a gravity.
 *
 * A foot is on the ground for less than half of the stride. Its load is a pulse in closed form, 0 as it lands and
 * leaves, its fore-aft force brakes and then propels, and between the contacts nothing but gravity acts. The path is
 * the exact double integral of the forces, so that it closes and weighs 1 on average whatever the dials say.
 *
 * @param spec - what to plan, in SI units; only `pace` has to be given
 * @returns the run, plain read-only data
 * @throws RangeError or TypeError naming the field, its rule and its value, where the spec is not valid
 *
 * @example
 * ```ts
 * import { planRun } from 'underfoot';
 *
 * const { pulse, stance, pace } = planRun({ pace: { speed: 3 } });
 * console.log(pulse.peak.toFixed(2), stance.left.fraction.toFixed(2), pace.stepTime.toFixed(2)); // → 2.31 0.36 0.38
 * ```
 *
 * Source: step, contact and mean load, Munro, Miller & Fuglevand 1987; see the method's page for what is from memory.
 */
export function planRun(spec: RunSpec): Run {
  refuseAny('planRun', runSpecProblems(spec));
  const gravity = spec.gravity ?? STANDARD_GRAVITY;
  const body = resolveBody(spec.body);
  const factor = spec.stepFactor ?? RUN_STEP_FACTOR;
  const pace = resolvePace(spec.pace, body, gravity, factor, RUN_STEP_EXPONENT);
  const notes = runNotes(pace);
  const duty = spec.dutyFactor ?? dutyFactorFor(pace.dimensionlessSpeed);
  const { legLength } = body;
  const travel = PRESSURE_TRAVEL * legLength;
  const contact = duty * pace.strideTime;
  const mean = 1 / (2 * duty);
  const peakOverMean = peakOverMeanFor(pace.dimensionlessSpeed);
  const half = (spec.stepWidth ?? STEP_WIDTH * legLength) / 2;
  const forces: StepForces = {
    load: pulsePowers(mean, peakOverMean),
    // The pressure is left behind, or ahead, by half of what the centre outruns it by.
    push: Math.max(0, pace.speed * contact - travel) / (2 * AIM.forward * legLength),
    inwards: half / (AIM.side * legLength),
    contact,
    flight: pace.stepTime - contact,
    gravity,
    stepLength: pace.stepLength,
  };
  const first = spec.firstFoot ?? 'right';
  const paths = pathsOf(forces, travel, first);
  const root = rootOf(paths.centre.height, forces, body, travel, half, notes);
  const centre = { ...paths.centre, height: raise(paths.centre.height, centreHeight(body, root.height)) };
  return {
    kind: 'run',
    spec,
    gravity,
    body,
    pace,
    stance: stancesOf(first, duty, half, pace),
    pressureTravel: travel,
    pulse: { mean, peak: mean * peakOverMean, push: forces.push, inwards: forces.inwards },
    total: paths.total,
    centre,
    root,
    lean: { pitch: spec.lean ?? LEAN, roll: 0 },
    notes,
  };
}

function stancesOf(first: Side, fraction: number, half: number, pace: Pace): Sides<Stance> {
  const stance = (side: Side): Stance => ({
    contact: side === first ? 0 : 0.5,
    fraction,
    forward: side === first ? 0 : pace.stepLength,
    side: side === 'left' ? half : -half,
  });
  return { left: stance('left'), right: stance('right') };
}

function pathsOf(forces: StepForces, travel: number, first: Side): Pick<Run, 'total' | 'centre'> {
  const { load, inwards, stepLength } = forces;
  const side = first === 'right' ? 1 : -1;
  const turned = (powers: readonly number[]): number[] => powers.map((c) => side * c + 0);
  const [swayContact, swayFlight] = sidePowers(forces);
  const forward = forwardPowers(forces);
  // Halfway through the contact the centre is above the pressure, halfway along the foot.
  const lead = travel / 2 - powersAt(forward[0], 0.5);
  const ahead = (powers: readonly number[]): number[] => powers.map((c, i) => (i === 0 ? c + lead : c));
  const [fall, flight] = heightPowers(forces);
  return {
    total: {
      vertical: twoSteps([load, [0]], forces),
      forward: twoSteps([pushPowers(forces), [0]], forces),
      side: twoSteps([turned(load.map((c) => c * inwards)), [0]], forces, 0, -1),
    },
    centre: {
      height: raise(twoSteps([fall, flight], forces), 0),
      forward: twoSteps([ahead(forward[0]), ahead(forward[1])], forces, stepLength),
      side: twoSteps([turned(swayContact), turned(swayFlight)], forces, 0, -1),
    },
  };
}

/** The path raised or lowered so that its mean over the period is `mean`. */
function raise(path: PartedPath, mean: number): PartedPath {
  const now = path.parts.reduce(
    (sum, { span, powers }) => sum + span * powers.reduce((area, c, i) => area + c / (i + 1), 0),
    0,
  );
  const by = mean - now / path.period;
  const parts = path.parts.map((part) => ({
    ...part,
    powers: part.powers.map((c, i) => (i === 0 ? c + by : c)),
  }));
  return { ...path, parts };
}

/** Places over a contact at which the legs' reach is asked for. */
const LOOKS = 32;

/** The root as high as bent legs reach; it rises and falls as the centre of mass does. */
function rootOf(
  height: PartedPath,
  { contact, stepLength, flight }: StepForces,
  body: Body,
  travel: number,
  half: number,
  notes: Note[],
): Run['root'] {
  const { legLength } = body;
  const speed = stepLength / (contact + flight);
  const leg = STRAIGHTEST * legLength;
  let highest = Number.POSITIVE_INFINITY;
  let farthest = 0;
  for (let i = 0; i <= LOOKS; i++) {
    const u = i / LOOKS;
    const along = (u - 0.5) * speed * contact - travel * (pressureProgress(u) - 0.5);
    const flat = Math.hypot(along, half);
    farthest = Math.max(farthest, flat);
    const bob = powersAt(height.parts[0].powers, u);
    highest = Math.min(highest, Math.sqrt(Math.max(0, leg * leg - flat * flat)) - bob);
  }
  if (highest < LOWEST * legLength) {
    notes.push({
      code: 'legs-overreach',
      text: `The legs are too short for these contacts: a foot is ${farthest.toFixed(3)} m from under the hip.`,
      values: { distance: farthest, legLength },
    });
    highest = LOWEST * legLength;
  }
  return { rise: 1, height: highest };
}

function runNotes({ dimensionlessSpeed, froude }: Pace): Note[] {
  const notes: Note[] = [];
  const { min, max } = RUN_SPEEDS;
  const beyond = (code: Note['code'], limit: number, side: string): void => {
    notes.push({
      code,
      text: `Dimensionless speed ${dimensionlessSpeed.toFixed(3)} is ${side} ${limit}, the end of what runners were measured at.`,
      values: { dimensionlessSpeed, limit },
    });
  };
  if (dimensionlessSpeed < min) beyond('slower-than-measured', min, 'below');
  if (dimensionlessSpeed > max) beyond('faster-than-measured', max, 'above');
  if (froude < RUN_TRANSITION_FROUDE) {
    notes.push({
      code: 'before-run-transition',
      text: `Froude number ${froude.toFixed(3)} is below ${RUN_TRANSITION_FROUDE}, where people still walk.`,
      values: { froude, limit: RUN_TRANSITION_FROUDE },
    });
  }
  return notes;
}
