import { errorOf, refuseAny } from '../../internal/check.js';
import { centreHeight } from '../root-relation.js';
import { balanceBase } from './balance.js';
import { bendLine } from './bend-line.js';
import { shotSpecProblems } from './check-shot-spec.js';
import { describeStretches } from './describe-stretches.js';
import { fitStretches, layShot } from './fit-stretches.js';
import { gripNotes } from './grip-notes.js';
import { type Easing, easeAbout, easingNotes, lightestStep, noEasing } from './keep-load.js';
import { groupsOf } from './lay-chosen.js';
import type { Course, Layout } from './lay-nodes.js';
import { placeSteps } from './place-steps.js';
import { planChosen } from './plan-chosen.js';
import { putDown } from './put-down.js';
import { rideOn } from './ride.js';
import type { Shot } from './shot.js';
import type { ChosenSpec, ShotSpec, StretchedSpec } from './shot-spec.js';
import { turnNotes } from './turn-notes.js';

/** Rounds of easing at most; each takes 15 % off what would pull. */
const MOST_ROUNDS = 40;

/**
 * A motion that begins and ends: from standing or walking, by stretches or by contacts already chosen, to
 * standing or walking.
 *
 * Contacts, lengths and times come first. Progress goes smoothly from contact to contact, on it rides the
 * oscillation of each stretch's own `planWalk`, read by a phase that the contacts keep in step, and the
 * forces are what moves the resulting path; where a stretch is at its pace, all of it is that walk.
 *
 * @param spec - what to plan, in SI units; only `stretches` or `contacts` has to be given
 * @returns the shot, plain read-only data
 * @throws RangeError or TypeError naming the field, its rule and its value, where the spec is not valid
 *
 * @example
 * ```ts
 * import { planShot } from 'underfoot';
 *
 * const shot = planShot({ stretches: [{ pace: 'ordinary', steps: 8 }] });
 * console.log(shot.steps.map(({ foot }) => foot[0]).join('')); // → rlrlrlrlrl
 * console.log(shot.steps[9].kind, shot.duration.toFixed(1)); // → close 5.6
 * ```
 *
 * Source: three steps to pace and two to stop, Jian, Winter, Ishac & Gilchrist 1993.
 */
export function planShot(spec: ShotSpec): Shot {
  refuseAny('planShot', shotSpecProblems(spec));
  let easing = noEasing(spec.contacts ? groupsOf(spec as ChosenSpec).length : spec.stretches!.length);
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const { shot, course, layout } = planEased(spec, easing);
    const light = lightestStep(shot, layout);
    if (light === undefined) return finish(shot, course, layout);
    easing = easeAbout(easing, course, layout, light.step);
  }
  throw errorOf('planShot', {
    field: spec.contacts ? 'contacts' : 'stretches',
    rule: 'must let every change be slow enough that no foot has to pull',
    got: `a change that still pulls after ${MOST_ROUNDS} rounds of easing`,
    kind: 'range',
  });
}

/** A shot that never pulls, its way over the floor balanced over its feet. */
function finish(shot: Shot, course: Course, layout: Layout): Shot {
  const balanced = { ...shot, base: balanceBase(shot, course, layout) };
  return { ...balanced, notes: [...shot.notes, ...gripNotes(balanced), ...turnNotes(balanced)] };
}

function planEased(spec: ShotSpec, easing: Easing): { shot: Shot; course: Course; layout: Layout } {
  const plan = spec.contacts
    ? planChosen(spec as ChosenSpec, easing)
    : planStretches(spec as StretchedSpec, easing);
  const { course, layout, duration } = plan;
  const { cycles } = course;
  const { body, gravity } = cycles[0];
  const standingHeight = centreHeight(body, body.legLength);
  const ride = rideOn(course, layout, duration, { standingHeight, smoothing: easing.smoothing });
  const base = { ...ride.base, ...plan.base };
  const notes = [...cycles.flatMap((walk) => walk.notes), ...plan.notes, ...easingNotes(easing)];
  const shot: Shot = {
    kind: 'shot',
    spec,
    gravity,
    body,
    duration,
    stretches: describeStretches(course, layout, duration, base),
    cycles,
    steps: plan.steps,
    handOvers: plan.handOvers,
    line: plan.line,
    base,
    layers: ride.layers,
    centreAboveRoot: centreHeight(body, 0),
    notes,
  };
  return { shot, course, layout };
}

function planStretches(spec: StretchedSpec, easing: Easing) {
  const { course, notes } = fitStretches(spec, easing);
  const layout = layShot(course, spec);
  const { steps, handOvers, duration } = placeSteps(course, layout, spec.still?.after ?? 0);
  const line = bendLine(course, layout);
  return {
    course,
    layout,
    duration,
    steps: putDown(steps, line, layout, course),
    handOvers,
    line,
    base: {},
    notes,
  };
}
