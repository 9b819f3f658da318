import { errorOf, refuseAny } from '../../internal/check.js';
import { planWalk } from '../plan-walk.js';
import type { PartedPath } from '../run/parted-path.js';
import { planRun } from '../run/plan-run.js';
import type { Run } from '../run/run.js';
import { type LinePoint, prepareLine } from '../shot/centre-line.js';
import { otherFoot } from '../shot/cycle-steps.js';
import { planShot } from '../shot/plan-shot.js';
import type { Plant, Shot, ShotStep } from '../shot/shot.js';
import type { ShotSpec, ShotStretch } from '../shot/shot-spec.js';
import { type TrackNode, trackThrough } from '../shot/tracks.js';
import type { Side, Walk } from '../walk.js';
import {
  type AxisState,
  type AxisStep,
  INTO_RUN,
  judgeStep,
  OUT_OF_RUN,
  stepBetween,
} from './change-step.js';
import {
  addPiece,
  addWalked,
  easeRoot,
  emptyShot,
  type GrowingShot,
  justBefore,
  lineOf,
  type Offset,
} from './join.js';
import { type Joint, jointOf } from './joint.js';
import { isRun, type RunPart, type RunShotSpec, runShotProblems, type WalkedPart } from './run-shot-spec.js';

/** How much longer or shorter a step between the gaits may be than it would be by itself; the best of these is taken. */
const TRIED = Array.from({ length: 23 }, (_, i) => 0.5 + 0.05 * i);

/** How much grip counts beside load when the best is chosen, and a leg length by which the root has to go down. By eye. */
const GRIP_COUNTS = 2;
const LOWERING_COUNTS = 20;

/** A horizontal force that a shoe holds, over the vertical one. Memory: 0.5 to 0.8 on dry floors. */
const GRIP = 0.6;

/**
 * A shot that runs for a while: from walking into running and back, as often as there are parts.
 *
 * Walked parts are those of `planShot`, run ones those of `planRun`. Between them lies one step: its load goes from
 * the one gait's to the other's with two pulses, solved so that height and velocity meet at both ends, and the same along
 * and beside; its time is the one of a few that needs the least load and grip and lets no foot pull. In flight the
 * load is exactly 0.
 *
 * @param spec - what to plan, in SI units; only `parts` has to be given
 * @returns the shot, plain read-only data, for everything that takes one
 * @throws RangeError or TypeError naming the field, its rule and its value, where the spec is not valid
 *
 * @example
 * ```ts
 * import { planRunShot, readMotion } from 'underfoot';
 *
 * const walk = (steps: number) => ({ walk: [{ pace: 'brisk' as const, steps }] });
 * const shot = planRunShot({ parts: [walk(6), { run: { pace: { speed: 3 } }, steps: 8 }, walk(6)] });
 * console.log(shot.steps.filter(({ gait }) => gait === 'run').length); // → 8
 *
 * const { land } = shot.steps.find(({ gait }) => gait === 'run')!;
 * const forces = new Float64Array(6);
 * readMotion(shot).sampleForces(land - 0.02, forces);
 * console.log(forces[0] + forces[3]); // → 0
 * ```
 *
 * Source: common practice, no source, for changing gait in one step.
 */
export function planRunShot(spec: RunShotSpec): Shot {
  refuseAny('planRunShot', runShotProblems(spec));
  const { parts } = spec;
  refuseAny(
    'planRunShot',
    parts.map((part, i) => besideRunProblem(parts, part, i)),
  );
  const { from, to, still, firstFoot, ...common } = spec;
  const { parts: _parts, ...body } = common;
  const walkedOf = (i: number, foot: Side | undefined): Shot =>
    planShot({
      ...body,
      ...(foot ? { firstFoot: foot } : {}),
      from: i === 0 ? (from ?? 'standing') : 'walking',
      to: i === parts.length - 1 ? (to ?? 'standing') : 'walking',
      still: {
        ...(i === 0 && still?.before !== undefined ? { before: still.before } : {}),
        ...(i === parts.length - 1 && still?.after !== undefined ? { after: still.after } : {}),
      },
      stretches: (parts[i] as WalkedPart).walk,
    });
  const whole = emptyShot();
  let walked = walkedOf(0, firstFoot);
  let offset: Offset = { time: 0, along: 0, floor: 0, forward: 0, side: 0, heading: 0 };
  addWalked(whole, walked, offset, { joins: false, goesOn: true });
  for (let i = 1; i < parts.length; i += 2) {
    const part = parts[i] as RunPart;
    const landing = otherFoot(whole.steps[whole.steps.length - 1].foot);
    const run = planRun({ ...part.run, body: spec.body, gravity: spec.gravity, firstFoot: landing });
    const last = part.steps % 2 === 1 ? landing : otherFoot(landing);
    const next = walkedOf(i + 1, otherFoot(last));
    const course = { whole, walked, offset, run, steps: part.steps, next, field: `parts[${i}]` };
    offset = addRun(course);
    addWalked(whole, next, offset, { joins: true, goesOn: i + 2 < parts.length });
    walked = next;
  }
  return shotOf(spec, whole, walked);
}

/** What is walked next to a run has to be straight on and level there. */
function besideRunProblem(parts: RunShotSpec['parts'], part: WalkedPart | RunPart, i: number) {
  if (isRun(part)) return undefined;
  const beside: (readonly [ShotStretch, number])[] = [];
  if (i > 0) beside.push([part.walk[0], 0]);
  if (i + 1 < parts.length) beside.push([part.walk[part.walk.length - 1], part.walk.length - 1]);
  const bad = beside.find(([{ turn, slope, stairs }]) => turn || slope || stairs);
  if (!bad) return undefined;
  const rule = 'must be straight on and level beside a run';
  return {
    field: `parts[${i}].walk[${bad[1]}]`,
    rule,
    got: 'a turn, slope or stairs',
    kind: 'range' as const,
  };
}

function shotOf(spec: RunShotSpec, whole: GrowingShot, { gravity, body, centreAboveRoot }: Shot): Shot {
  const { parts, ...rest } = spec;
  const stretches = parts.flatMap((part) => (isRun(part) ? [] : part.walk));
  const asked: ShotSpec = { ...rest, stretches };
  const { duration, steps, handOvers, cycles, layers, notes } = whole;
  return {
    kind: 'shot',
    spec: asked,
    gravity,
    body,
    duration,
    stretches: whole.stretches,
    cycles,
    steps,
    handOvers,
    line: lineOf(whole.segments),
    base: { along: whole.along, beside: whole.beside, height: whole.height, root: whole.root },
    layers,
    centreAboveRoot,
    notes,
  };
}

/** A run between what has been put together and the next walked part. */
interface RunCourse {
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

const moved = (state: AxisState, by: number): AxisState => ({ ...state, place: state.place + by });

/** Adds the step into a run, the run and the step out of it; where the next part begins. */
function addRun(course: RunCourse): Offset {
  const { whole, walked, offset, run, steps, next } = course;
  const { gravity, pace, stance } = run;
  const contact = stance.left.fraction * pace.strideTime;
  const flight = pace.stepTime - contact;
  const line = prepareLine(lineOf(whole.segments));
  const cycle = whole.cycles.length;
  whole.cycles.push(standIn(run));
  const stretch = whole.stretches.length;
  const firstFoot = run.spec.firstFoot ?? 'right';
  const { floor } = offset;

  // Into the run: from the walk's state at its last contact to lifting off as a run's step does.
  const from = jointOf(walked, walked.duration);
  const start = whole.duration;
  const landing = stateAt(run, 0);
  const risen = moved({ ...landing.height, velocity: -landing.height.velocity }, floor);
  const lifts: Omit<Joint, 'root'> = {
    along: landing.along,
    beside: { ...landing.beside, place: landing.beside.place - landing.beside.velocity * flight },
    height: risen,
  };
  const leaves = {
    along: moved(from.along, offset.along),
    beside: from.beside,
    height: moved(from.height, floor),
  };
  const usual = (walked.cycles[walked.cycles.length - 1].pace.stepTime + contact) / 2;
  const heelBehind = whole.steps[whole.steps.length - 1].along + walked.cycles[0].pivot.pressureTravel;
  const into = best(course, usual, (span) => {
    const along = leaves.along.place + (span * (leaves.along.velocity + landing.along.velocity)) / 2;
    const step = stepOf(
      leaves,
      { ...lifts, along: { ...landing.along, place: along } },
      span,
      gravity,
      INTO_RUN,
    );
    // The foot pushes until it lifts: the leg must reach back that far.
    const root = risen.place - floor - walked.centreAboveRoot;
    return { ...step, lowered: tooHigh(root, along - heelBehind, walked.body.legLength) };
  });
  const lift = start + into.span;
  addStep(whole, lift, into);
  const last = whole.steps[whole.steps.length - 1];
  const roll = { ...last.roll, end: lift };
  whole.steps[whole.steps.length - 1] = { ...last, lift, roll, ends: false };
  const lifted = sumOf(into.along.place);
  const lands = lift + flight;
  addFlight(whole, lands, flight, gravity, { along: lifted, run, beside: lifts.beside, height: risen });
  whole.duration = lands;

  // The run's own origin is the heel of its first landing.
  const heel = lifted + landing.along.velocity * flight - landing.along.place;
  let time = lands;
  let end = lands;
  for (let k = 0; k < steps; k++) {
    const foot = k % 2 === 0 ? firstFoot : otherFoot(firstFoot);
    const along = heel + k * pace.stepLength;
    const before = whole.steps[whole.steps.length - 1];
    const closing = k === steps - 1;
    // The last foot waits for the walk, and stands where that has it stand.
    const beside = closing ? next.steps[0].beside : stance[foot].side;
    const step: ShotStep = {
      index: whole.steps.length,
      foot,
      gait: 'run',
      stretch,
      cycle,
      kind: 'step',
      land: time,
      lift: time + contact,
      ends: false,
      duration: time - before.land,
      length: along - before.along,
      along,
      beside,
      plant: plantAt(line, along, beside, floor),
      roll: { from: 0, to: 1, start: time, end: time + contact },
    };
    whole.steps.push(step);
    const left = foot === 'left' ? 1 : 0;
    whole.handOvers.push({ start: time, end: time, from: 1 - left, to: left });
    if (closing) break;
    const stride = Math.floor(k / 2);
    addRunPieces(whole, run, 2 * (k % 2), time + contact, {
      along: heel + stride * pace.strideLength,
      floor,
    });
    time += contact;
    addRunPieces(whole, run, 2 * (k % 2) + 1, time + flight, {
      along: heel + stride * pace.strideLength,
      floor,
    });
    time += flight;
    end = time;
  }
  addPiece(whole.root, end, [0, 0, 0, 0, 0, 0]);

  // Out of the run: from landing to the next walk's first contact.
  const caught = stateAt(run, steps - 1);
  const begins = {
    along: moved(caught.along, heel),
    beside: caught.beside,
    height: moved(caught.height, floor),
  };
  const shift = heel + (steps - 1) * pace.stepLength - next.steps[0].along;
  const to = jointOf(next, 0);
  const walks = { along: moved(to.along, shift), beside: to.beside, height: moved(to.height, floor) };
  const way = walks.along.place - begins.along.place;
  const usualOut = (2 * way) / (begins.along.velocity + walks.along.velocity);
  const out = best(course, usualOut, (span) => ({
    ...stepOf(begins, walks, span, gravity, OUT_OF_RUN),
    lowered: 0,
  }));
  const ends = end + out.span;
  addStep(whole, ends, out);
  const closing = whole.steps[whole.steps.length - 1];
  const closed = ends + next.steps[0].lift;
  whole.steps[whole.steps.length - 1] = {
    ...closing,
    lift: closed,
    roll: { ...closing.roll, end: closed },
  };
  easeTurns(course, { cycle, start, lands, end, ends });
  easeRootThrough(whole, { lands, end, ends }, from.root, to.root);
  whole.stretches.push({
    cycle,
    firstStep: whole.steps.length - steps,
    lastStep: whole.steps.length - 1,
    start,
    end: ends,
    ...(steps > 1 ? { steady: { start: lands, end } } : {}),
  });
  whole.notes.push(...run.notes, ...gripNotes(into, out));
  whole.duration = ends;
  const origin: LinePoint = { forward: 0, side: 0, heading: 0, curvature: 0, bend: 0 };
  line(shift, origin);
  const { forward, side, heading } = origin;
  return { time: ends, along: shift, floor, forward, side, heading };
}

/** A walk as fast and with steps as long as a run's: it turns the body, and aims nothing that is ever shared. */
function standIn({ pace, body, gravity }: Run): Walk {
  const { mass, legLength, stature } = body;
  const { speed, strideLength } = pace;
  return planWalk({ pace: { speed, strideLength }, body: { mass, legLength, stature }, gravity });
}

/** A run's centre of mass as its n-th foot lands: along from its origin, beside, and above the floor. */
function stateAt({ centre, pace }: Run, n: number): Omit<Joint, 'root'> {
  const stride = Math.floor(n / 2);
  const axis = (path: PartedPath, gain: number): AxisState => {
    const { powers, span } = path.parts[2 * (n % 2)];
    return { place: powers[0] + stride * gain, velocity: powers[1] / span, force: 0 };
  };
  return {
    along: axis(centre.forward, pace.strideLength),
    beside: axis(centre.side, 0),
    height: axis(centre.height, 0),
  };
}

/** How much too high a root is for a leg that reaches so far ahead or behind, in leg lengths; 0 where it is not. */
function tooHigh(root: number, flat: number, legLength: number): number {
  const reach = Math.sqrt(Math.max(0, legLength * legLength - flat * flat));
  return Math.max(0, root - reach) / legLength;
}

/** A step between the gaits. */
interface ChangeStep {
  readonly span: number;
  readonly along: AxisStep;
  readonly beside: AxisStep;
  readonly height: AxisStep;
  readonly grip: number;
}

/** A step that is tried, and by how many leg lengths the root would have to go down for it. */
type TriedStep = Omit<ChangeStep, 'grip'> & { readonly lowered: number };

function stepOf(
  from: Omit<Joint, 'root'>,
  to: Omit<Joint, 'root'>,
  span: number,
  gravity: number,
  shapes: typeof INTO_RUN,
): Omit<ChangeStep, 'grip'> {
  const axis = (name: 'along' | 'beside' | 'height', weight: 0 | 1): AxisStep =>
    stepBetween(from[name], to[name], span, { gravity, weight, shapes });
  return { span, along: axis('along', 0), beside: axis('beside', 0), height: axis('height', 1) };
}

/** The step of the least load and grip among those in which no foot has to pull. */
function best({ field }: RunCourse, usual: number, make: (span: number) => TriedStep): ChangeStep {
  let found: ChangeStep | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const by of TRIED) {
    const { lowered, ...step } = make(by * usual);
    const judged = judgeStep(step.height, step.along);
    if (judged.least < -1e-9) continue;
    const cost = judged.most + GRIP_COUNTS * judged.grip + LOWERING_COUNTS * lowered;
    if (cost >= least) continue;
    least = cost;
    found = { ...step, grip: judged.grip };
  }
  if (found) return found;
  throw errorOf('planRunShot', {
    field,
    rule: 'must change pace so gently that no foot has to pull',
    got: 'a change in which one would',
    kind: 'range',
  });
}

const sumOf = (powers: readonly number[]): number => powers.reduce((sum, c) => sum + c, 0);

function addStep(whole: GrowingShot, end: number, { along, beside, height }: ChangeStep): void {
  addPiece(whole.along, end, along.place);
  addPiece(whole.beside, end, beside.place);
  addPiece(whole.height, end, height.place);
}

function addFlight(
  whole: GrowingShot,
  end: number,
  flight: number,
  gravity: number,
  from: { readonly along: number; readonly run: Run; readonly beside: AxisState; readonly height: AxisState },
): void {
  const speed = stateAt(from.run, 0).along.velocity;
  addPiece(whole.along, end, [from.along, speed * flight]);
  addPiece(whole.beside, end, [from.beside.place, from.beside.velocity * flight]);
  addPiece(whole.height, end, [
    from.height.place,
    from.height.velocity * flight,
    (-gravity * flight * flight) / 2,
  ]);
}

function addRunPieces(
  whole: GrowingShot,
  { centre }: Run,
  part: number,
  end: number,
  { along, floor }: { readonly along: number; readonly floor: number },
): void {
  const raised = (path: PartedPath, by: number): number[] =>
    path.parts[part].powers.map((c, i) => (i === 0 ? c + by : c));
  addPiece(whole.along, end, raised(centre.forward, along));
  addPiece(whole.beside, end, raised(centre.side, 0));
  addPiece(whole.height, end, raised(centre.height, floor));
}

function plantAt(
  line: (along: number, out: LinePoint) => void,
  along: number,
  beside: number,
  height: number,
): Plant {
  const point: LinePoint = { forward: 0, side: 0, heading: 0, curvature: 0, bend: 0 };
  line(along, point);
  return {
    forward: point.forward - beside * Math.sin(point.heading),
    side: point.side + beside * Math.cos(point.heading),
    height,
    heading: point.heading,
    pitch: 0,
  };
}

/** Times of a run within the whole. */
interface RunTimes {
  readonly cycle: number;
  readonly start: number;
  readonly lands: number;
  readonly end: number;
  readonly ends: number;
}

/** Lets the turns of the body go over from walk to run and back, each step at its own phase. */
function easeTurns({ whole, walked, run, steps, next }: RunCourse, times: RunTimes): void {
  const { cycle, start, lands, end, ends } = times;
  const rest = (time: number, value: number): TrackNode => ({ time, value, rate: 0 });
  const firstFoot = run.spec.firstFoot ?? 'right';
  const landed = (walk: Walk, foot: Side): number => walk.stance[foot].contact;
  // The walk that ends, on from its last contact for half a stride.
  const old = walked.cycles[walked.cycles.length - 1];
  const before = landed(old, otherFoot(firstFoot));
  whole.layers.push({
    cycle: cycle - 1,
    phase: trackThrough([
      { time: start, value: before, rate: old.pace.strideRate },
      { time: lands, value: before + 0.5, rate: 0.5 / (lands - start) },
    ]),
    weight: trackThrough([rest(start, 1), rest(lands, 0)]),
    turnsOnly: true,
  });
  const phase = landed(whole.cycles[cycle], firstFoot);
  const half = (steps - 1) / 2;
  whole.layers.push({
    cycle,
    phase: trackThrough([
      { time: start, value: phase - 0.5, rate: 0.5 / (lands - start) },
      { time: lands, value: phase, rate: run.pace.strideRate },
      { time: end, value: phase + half, rate: run.pace.strideRate },
      { time: ends, value: phase + half + 0.5, rate: 0.5 / (ends - end) },
    ]),
    weight: trackThrough([rest(start, 0), rest(lands, 1), rest(end, 1), rest(ends, 0)]),
    turnsOnly: true,
  });
  const after = next.cycles[0];
  const comes = landed(after, otherFoot(whole.steps[whole.steps.length - 1].foot));
  whole.layers.push({
    // It will stand right behind the run's own in the list.
    cycle: cycle + 1,
    phase: trackThrough([
      { time: end, value: comes - 0.5, rate: 0.5 / (ends - end) },
      { time: justBefore(ends), value: comes, rate: after.pace.strideRate },
    ]),
    weight: trackThrough([rest(end, 0), rest(justBefore(ends), 1)]),
    turnsOnly: true,
  });
}

function easeRootThrough(
  whole: GrowingShot,
  { lands, end, ends }: { readonly lands: number; readonly end: number; readonly ends: number },
  from: Joint['root'],
  to: Joint['root'],
): void {
  // What was added for the run's own length comes after the step into it.
  whole.root.times.pop();
  whole.root.powers.pop();
  const still = { value: 0, rate: 0 };
  easeRoot(whole, lands, from, still);
  easeRoot(whole, end, still, still);
  easeRoot(whole, ends, still, to);
}

function gripNotes(...steps: readonly ChangeStep[]): Shot['notes'] {
  const grip = Math.max(...steps.map((step) => step.grip));
  if (grip <= GRIP) return [];
  return [
    {
      code: 'needs-grip',
      text: `Changing gait needs a floor that holds ${grip.toFixed(2)} of the load sideways; ${GRIP} is usual.`,
      values: { grip, limit: GRIP },
    },
  ];
}
