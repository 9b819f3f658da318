import { errorOf } from '../../internal/check.js';
import type { Note } from '../note.js';
import { planWalk } from '../plan-walk.js';
import type { PaceSpec, Walk } from '../walk.js';
import { calmWalk, type Easing, easeWalk } from './keep-load.js';
import { type Course, type Layout, layNodes } from './lay-nodes.js';
import { placeSteps } from './place-steps.js';
import { frameSteps } from './retime.js';
import type { ShotStretch, StretchedSpec } from './shot-spec.js';
import { stretchWalks } from './stretch-walks.js';
import { varySteps } from './variation.js';

/** The steps of a stretch may be this much shorter or longer than usual to fit what was asked for. */
const STRETCHING = { min: 0.4, max: 2.5 } as const;

/** How closely distances and durations are met, relative. */
const CLOSE = 1e-13;

/** Rounds of choosing numbers of steps, and of fitting their length, at most. */
const MOST_COUNTS = 12;
const MOST_FITS = 40;

/** A step longer or shorter by more than this fraction is worth a note. */
const WORTH_SAYING = 0.01;

/** The course of a spec, with distances and durations met, and what is worth saying about that. */
export interface Fitted {
  readonly course: Course;
  readonly notes: readonly Note[];
}

/** Fewest steps of a stretch. */
function leastSteps(spec: StretchedSpec, k: number): number {
  const stops = (spec.to ?? 'standing') === 'standing' && k === spec.stretches.length - 1;
  return stops && spec.stretches[k].steps === undefined ? 2 : 1;
}

/** Chooses how many steps each stretch has and scales them, so that every distance and duration is met. */
export function fitStretches(spec: StretchedSpec, { swing, sink, patience }: Easing): Fitted {
  const { stretches } = spec;
  const walks = stretchWalks(spec);
  const counts = stretches.map((stretch, k) => guess(stretch, walks[k], leastSteps(spec, k)));
  const measure = (planned: readonly Walk[]): number[] =>
    measureStretches(spec, makeCourse(spec, planned, counts, patience));
  for (let round = 0; round < MOST_COUNTS; round++) {
    const measured = measure(walks);
    let changed = false;
    stretches.forEach((stretch, k) => {
      const wanted = stretch.distance ?? stretch.duration;
      if (wanted === undefined) return;
      const { stepLength, stepTime } = walks[k].pace;
      const more = Math.round(
        (wanted - measured[k]) / (stretch.distance === undefined ? stepTime : stepLength),
      );
      const next = Math.max(leastSteps(spec, k), counts[k] + more);
      changed ||= next !== counts[k];
      counts[k] = next;
    });
    if (!changed) break;
  }
  const whole = spec.wholeFrames !== undefined;
  const fits = stretches.map(() => ({ scale: 1, last: 1, measured: 0 }));
  let fitted = walks;
  for (let round = 0; round < MOST_FITS; round++) {
    const measured = measure(fitted);
    let off = 0;
    stretches.forEach((stretch, k) => {
      const wanted = stretch.distance ?? stretch.duration;
      // On whole frames a duration is met as closely as whole steps meet it.
      if (wanted === undefined || (whole && stretch.distance === undefined)) return;
      off = Math.max(off, Math.abs(measured[k] / wanted - 1));
      const next = nextScale(fits[k], measured[k], wanted);
      fits[k] = { scale: next, last: fits[k].scale, measured: measured[k] };
      if (next < STRETCHING.min || next > STRETCHING.max) {
        // What the steps come to at their shortest or longest, the others being as they are.
        const bound = next < 1 ? STRETCHING.min : STRETCHING.max;
        const ends = fitted.map((walk, j) => (j === k ? scaleSteps(walks[k], bound, whole) : walk));
        refuseScale(stretch, k, next < 1, measure(ends)[k]);
      }
    });
    if (off <= CLOSE) break;
    fitted = walks.map((walk, k) => (fits[k].scale === 1 ? walk : scaleSteps(walk, fits[k].scale, whole)));
  }
  const notes = fitNotes(walks, fitted);
  const calm = fitted.map((walk, k) => easeWalk(calmWalk(walk, notes), swing[k], sink));
  return { course: makeCourse(spec, calm, counts, patience), notes };
}

/** The next scale to try: along the line through the last two, where they tell it, else in proportion. */
function nextScale(
  { scale, last, measured: before }: { scale: number; last: number; measured: number },
  now: number,
  wanted: number,
): number {
  const slope = (now - before) / (scale - last);
  const usual = now / scale;
  if (!(slope > usual / 3 && slope < 3 * usual)) return (scale * wanted) / now;
  return scale + (wanted - now) / slope;
}

function guess(stretch: ShotStretch, walk: Walk, least: number): number {
  if (stretch.steps !== undefined) return stretch.steps;
  const { stepLength, stepTime } = walk.pace;
  const steps = stretch.distance === undefined ? stretch.duration! / stepTime : stretch.distance / stepLength;
  return Math.max(least, Math.round(steps));
}

function refuseScale(stretch: ShotStretch, k: number, short: boolean, bound: number): never {
  const { min, max } = STRETCHING;
  const [name, unit] =
    stretch.distance === undefined ? (['duration', 's'] as const) : (['distance', 'm'] as const);
  const reached = `about ${bound.toFixed(2)} ${unit} or ${short ? 'more' : 'less'} here`;
  throw errorOf('planShot', {
    field: `stretches[${k}].${name}`,
    rule: `must leave its steps between ${min} and ${max} of their usual length, ${reached}`,
    got: String(stretch[name]),
    kind: 'range',
  });
}

/** The walk with longer or shorter steps at the same speed, or in the same time where that is whole frames. */
function scaleSteps(walk: Walk, scale: number, whole: boolean): Walk {
  const { speed, strideLength, strideTime } = walk.pace;
  const length = strideLength * scale;
  if (!whole) return planWalk({ ...walk.spec, pace: { speed, strideLength: length } });
  const { fps, framesPerStep } = walk.spec.pace as PaceSpec;
  const pace = fps === undefined ? { strideRate: 1 / strideTime } : { fps, framesPerStep };
  return planWalk({ ...walk.spec, pace: { ...pace, strideLength: length } });
}

/** The layout of a course, on whole frames or varied where that was asked for. */
export function layShot(course: Course, { wholeFrames, variation }: StretchedSpec): Layout {
  const layout = layNodes(course);
  if (wholeFrames) return frameSteps(layout, wholeFrames.fps);
  return variation ? varySteps(course, layout, variation) : layout;
}

/** Too short to be seen is nothing. */
function still(time: number): number {
  return time < 1e-6 ? 0 : time;
}

/** A course over walks, of which equal ones become one cycle. */
function makeCourse(
  spec: StretchedSpec,
  walks: readonly Walk[],
  counts: readonly number[],
  patience: number,
): Course {
  const cycles: Walk[] = [];
  const stretches = walks.map((walk, k) => {
    const last = cycles[cycles.length - 1];
    if (!last || !alike(last, walk)) cycles.push(walk);
    const { turn, slope, stairs } = spec.stretches[k];
    return { cycle: cycles.length - 1, steps: counts[k], turn, slope, stairs };
  });
  return {
    cycles,
    stretches,
    from: spec.from ?? 'standing',
    to: spec.to ?? 'standing',
    firstFoot: spec.firstFoot ?? 'right',
    before: still(spec.still?.before ?? 0),
    fps: spec.wholeFrames?.fps,
    patience,
  };
}

function alike(a: Walk, b: Walk): boolean {
  if (a === b) return true;
  return (
    a.total.vertical.cos[1] === b.total.vertical.cos[1] && JSON.stringify(a.spec) === JSON.stringify(b.spec)
  );
}

/** The distance or the duration of each stretch of a course, whichever it was given by. */
function measureStretches(spec: StretchedSpec, course: Course): number[] {
  const layout = layShot(course, spec);
  const { nodes } = layout;
  // Only a duration that ends standing needs to know how long the settling takes.
  const settles = spec.stretches[spec.stretches.length - 1].duration !== undefined;
  const { duration } = settles
    ? placeSteps(course, layout, spec.still?.after ?? 0)
    : { duration: nodes[nodes.length - 1].time };
  let first = 0;
  return spec.stretches.map((stretch, k) => {
    const last = first + course.stretches[k].steps;
    let sum = 0;
    for (let i = first + 1; i <= last; i++) sum += nodes[i].length;
    const end = last === nodes.length - 1 ? duration : nodes[last].time;
    const time = end - nodes[first].time;
    first = last;
    return stretch.distance === undefined ? time : sum;
  });
}

function fitNotes(walks: readonly Walk[], fitted: readonly Walk[]): Note[] {
  return walks.flatMap((walk, k): Note[] => {
    const change = fitted[k].pace.stepLength / walk.pace.stepLength;
    if (Math.abs(change - 1) <= WORTH_SAYING) return [];
    const percent = (100 * (change - 1)).toFixed(1);
    return [
      {
        code: 'steps-fitted',
        text: `The steps of stretch ${k} are changed by ${percent} % in length and time, to fit its extent.`,
        values: { stretch: k, change: change - 1, stepLength: fitted[k].pace.stepLength },
      },
    ];
  });
}
