import { planWalk } from '../plan-walk.js';
import type { Run } from '../run/run.js';
import { type LinePoint, prepareLine } from '../shot/centre-line.js';
import { otherFoot } from '../shot/cycle-steps.js';
import type { Shot, ShotStep } from '../shot/shot.js';
import type { Side, Walk } from '../walk.js';
import { bestStep, type ChangeStep, gripNotes, stepOf, tooHigh } from './best-step.js';
import { type AxisState, INTO_RUN, OUT_OF_RUN } from './change-step.js';
import { easeRootThrough, easeTurns } from './ease-gaits.js';
import { addPiece, type GrowingShot, lineOf, type Offset } from './join.js';
import { type Joint, jointOf } from './joint.js';
import { addFlight, addRunPieces, addStep, plantAt, stateAt } from './run-pieces.js';

/** A run between what has been put together and the next walked part. */
export interface RunCourse {
  readonly whole: GrowingShot;
  readonly walked: Shot;
  readonly offset: Offset;
  readonly run: Run;
  /** Landings of the run. */
  readonly steps: number;
  readonly next: Shot;
  /** Name of the part, for errors. */
  readonly field: string;
}

/** Where and when a run is, within the whole. */
interface RunPlace {
  /** Indices of its cycle and its stretch. */
  readonly cycle: number;
  readonly stretch: number;
  readonly firstFoot: Side;
  /** Height of its floor in m. */
  readonly floor: number;
  /** Time of a contact and of a flight in s. */
  readonly contact: number;
  readonly flight: number;
  readonly line: (along: number, out: LinePoint) => void;
}

const moved = (state: AxisState, by: number): AxisState => ({ ...state, place: state.place + by });

const lastOf = <T>(list: readonly T[]): T => list[list.length - 1];

/** Adds the step into a run, the run and the step out of it; returns where the next part begins. */
export function addRun(course: RunCourse): Offset {
  const { whole, run, steps } = course;
  const { pace, stance } = run;
  const contact = stance.left.fraction * pace.strideTime;
  const place: RunPlace = {
    cycle: whole.cycles.length,
    stretch: whole.stretches.length,
    firstFoot: run.spec.firstFoot ?? 'right',
    floor: lastOf(whole.steps).plant.height,
    contact,
    flight: pace.stepTime - contact,
    line: prepareLine(lineOf(whole.segments)),
  };
  whole.cycles.push(standIn(run));
  const start = whole.duration;
  const into = stepIn(course, place);
  const lands = whole.duration;
  runOn(course, place, into.heel);
  const end = whole.duration;
  const out = stepOut(course, place, into.heel);
  const ends = whole.duration;
  easeTurns(course, { cycle: place.cycle, start, lands, end, ends });
  easeRootThrough(whole, { lands, end, ends }, into.root, out.root);
  whole.stretches.push({
    cycle: place.cycle,
    firstStep: whole.steps.length - steps,
    lastStep: whole.steps.length - 1,
    start,
    end: ends,
    steady: { start: lands, end },
  });
  whole.notes.push(...run.notes, ...gripNotes(into.step, out.step));
  const origin: LinePoint = { forward: 0, side: 0, heading: 0, curvature: 0, bend: 0 };
  place.line(out.shift, origin);
  const { forward, side, heading } = origin;
  return { time: ends, along: out.shift, floor: place.floor, forward, side, heading };
}

/** A walk as fast and with steps as long as a run's: it turns the body, and aims nothing that is ever shared. */
function standIn({ pace, body, gravity }: Run): Walk {
  const { mass, legLength, stature } = body;
  const { speed, strideLength } = pace;
  return planWalk({ pace: { speed, strideLength }, body: { mass, legLength, stature }, gravity });
}

/** From the walk's state at its last contact to a run's first flight; where the run's first heel will land. */
function stepIn(
  course: RunCourse,
  { floor, contact, flight }: RunPlace,
): { readonly step: ChangeStep; readonly heel: number; readonly root: Joint['root'] } {
  const { whole, walked, offset, run } = course;
  const { gravity } = run;
  const from = jointOf(walked, walked.duration);
  const landing = stateAt(run, 0);
  const risen = moved({ ...landing.height, velocity: -landing.height.velocity }, floor);
  const lifts: Omit<Joint, 'root'> = {
    along: landing.along,
    beside: { ...landing.beside, place: landing.beside.place - landing.beside.velocity * flight },
    height: risen,
  };
  const leaves: Omit<Joint, 'root'> = {
    along: moved(from.along, offset.along),
    beside: from.beside,
    height: moved(from.height, offset.floor),
  };
  const stands = lastOf(whole.steps);
  const walk = lastOf(walked.cycles);
  const toe = stands.along + walk.pivot.pressureTravel;
  const step = bestStep(course.field, (walk.pace.stepTime + contact) / 2, (span) => {
    const place = leaves.along.place + (span * (leaves.along.velocity + landing.along.velocity)) / 2;
    const to = { ...lifts, along: { ...landing.along, place } };
    // The foot pushes until it lifts: the leg must reach back that far.
    const root = risen.place - floor - walked.centreAboveRoot;
    return {
      ...stepOf(leaves, to, span, gravity, INTO_RUN),
      lowered: tooHigh(root, place - toe, walked.body.legLength),
    };
  });
  const lift = whole.duration + step.span;
  addStep(whole, lift, step);
  whole.steps[whole.steps.length - 1] = { ...stands, lift, roll: { ...stands.roll, end: lift }, ends: false };
  const lifted = step.along.place.reduce((sum, c) => sum + c, 0);
  whole.duration = lift + flight;
  addFlight(whole, whole.duration, flight, gravity, {
    along: { place: lifted, velocity: landing.along.velocity, force: 0 },
    beside: lifts.beside,
    height: risen,
  });
  // The run's own origin is the heel of its first landing.
  const heel = lifted + landing.along.velocity * flight - landing.along.place;
  return { step, heel, root: from.root };
}

/** The run's own steps, up to its last landing. */
function runOn(course: RunCourse, place: RunPlace, heel: number): void {
  const { whole, run, steps } = course;
  const { strideLength } = run.pace;
  for (let k = 0; k < steps; k++) {
    addLanding(course, place, heel, k);
    if (k + 1 === steps) break;
    const at = { along: heel + Math.floor(k / 2) * strideLength, floor: place.floor };
    const lift = whole.duration + place.contact;
    addRunPieces(whole, run, 2 * (k % 2), lift, at);
    whole.duration = lift + place.flight;
    addRunPieces(whole, run, 2 * (k % 2) + 1, whole.duration, at);
  }
  addPiece(whole.root, whole.duration, [0, 0, 0, 0, 0, 0]);
}

/** The n-th landing of the run, now. */
function addLanding({ whole, run, steps, next }: RunCourse, place: RunPlace, heel: number, n: number): void {
  const { cycle, stretch, firstFoot, floor, contact, line } = place;
  const foot = n % 2 === 0 ? firstFoot : otherFoot(firstFoot);
  const along = heel + n * run.pace.stepLength;
  // The last foot waits for the walk, and stands where that has it stand.
  const beside = n + 1 === steps ? next.steps[0].beside : run.stance[foot].side;
  const before = lastOf(whole.steps);
  const land = whole.duration;
  const step: ShotStep = {
    index: whole.steps.length,
    foot,
    gait: 'run',
    stretch,
    cycle,
    kind: 'step',
    land,
    lift: land + contact,
    ends: false,
    duration: land - before.land,
    length: along - before.along,
    along,
    beside,
    plant: plantAt(line, along, beside, floor),
    roll: { from: 0, to: 1, start: land, end: land + contact },
  };
  whole.steps.push(step);
  const left = foot === 'left' ? 1 : 0;
  whole.handOvers.push({ start: land, end: land, from: 1 - left, to: left });
}

/** From the run's last landing to the next walk's first contact; where along the line that walk's own origin is. */
function stepOut(
  { whole, run, steps, next, field }: RunCourse,
  { floor }: RunPlace,
  heel: number,
): { readonly step: ChangeStep; readonly shift: number; readonly root: Joint['root'] } {
  const caught = stateAt(run, steps - 1);
  const begins: Omit<Joint, 'root'> = {
    along: moved(caught.along, heel),
    beside: caught.beside,
    height: moved(caught.height, floor),
  };
  const shift = heel + (steps - 1) * run.pace.stepLength - next.steps[0].along;
  const to = jointOf(next, 0);
  const walks: Omit<Joint, 'root'> = {
    along: moved(to.along, shift),
    beside: to.beside,
    height: moved(to.height, floor),
  };
  const way = walks.along.place - begins.along.place;
  const usual = (2 * way) / (begins.along.velocity + walks.along.velocity);
  const step = bestStep(field, usual, (span) => ({
    ...stepOf(begins, walks, span, run.gravity, OUT_OF_RUN),
    lowered: 0,
  }));
  whole.duration += step.span;
  addStep(whole, whole.duration, step);
  const stands = lastOf(whole.steps);
  const lift = whole.duration + next.steps[0].lift;
  whole.steps[whole.steps.length - 1] = { ...stands, lift, roll: { ...stands.roll, end: lift } };
  return { step, shift, root: to.root };
}
