import type { Pose } from '../poses.js';
import type { Shot, ShotStep } from '../shot/shot.js';
import type { ShotSampler } from '../shot/shot-sampler.js';
import { createShotSampler } from '../shot/shot-sampler.js';
import type { Side } from '../walk.js';

/** A pose of a shot and when it is. */
export interface ShotPose {
  readonly pose: Pose;
  /** The foot that the step stands on: the one that has landed. */
  readonly foot: Side;
  /** Index of that step in `Shot.steps`. */
  readonly step: number;
  /** In s. */
  readonly time: number;
}

/** Where the low and the high of a step are looked for, in steps from its contact; as in a walk. */
const LOW_WINDOW = [-0.25, 0.6] as const;
const HIGH_WINDOW = [0.25, 1] as const;

/** Least time from a step's low to its high, in steps. */
const LEAST_RISE = 0.1;

/** Times a window at which the height is looked at. */
const LOOKS = 10;

/** Contact, down, passing and up of every step of a shot that another one follows, and the last contact; in order of time. */
export function shotPosesOf(shot: Shot, sampler: ShotSampler = createShotSampler(shot)): ShotPose[] {
  const { steps, duration } = shot;
  const landed = steps.filter(({ kind, land }, i) => land >= 0 && (kind !== 'begin' || i === 1));
  const standing = (shot.spec.from ?? 'standing') === 'standing';
  const poses: ShotPose[] = [];
  for (const [i, step] of landed.entries()) {
    if (step.kind === 'begin' && standing) continue;
    const { foot, index, land } = step;
    const add = (pose: Pose, time: number): void => {
      poses.push({ pose, foot, step: index, time });
    };
    add('contact', land);
    const next = landed[i + 1];
    if (!next) continue;
    const length = next.land - land;
    const at = ([from, to]: readonly [number, number], earliest: number, sign: number): number => {
      const end = Math.min(duration, land + to * length);
      return farthestTime(sampler, Math.min(end, Math.max(earliest, land + from * length)), end, sign);
    };
    const down = at(LOW_WINDOW, 0, -1);
    add('down', down);
    add('passing', passingOf(shot, steps[index - 1], step, length));
    // Where the body sinks for good the low may come late; the high is then looked for after it.
    add('up', at(HIGH_WINDOW, down + LEAST_RISE * length, 1));
  }
  return poses.sort((a, b) => a.time - b.time);
}

/** The middle of single support as measured, of the step as charted, with the cycle's `poseTiming` between. */
function passingOf({ cycles }: Shot, before: ShotStep, step: ShotStep, length: number): number {
  const timing = cycles[step.cycle].spec.poseTiming ?? 0;
  const support = Math.max(0, before.lift - step.land);
  return step.land + (1 - timing) * ((support + length) / 2) + timing * (length / 2);
}

const out = new Float64Array(9);

/** The time within a window at which the centre of mass is highest (sign 1) or lowest (−1). */
function farthestTime(sampler: ShotSampler, from: number, to: number, sign: number): number {
  const step = (to - from) / LOOKS;
  let best = 0;
  let most = Number.NEGATIVE_INFINITY;
  for (let i = 0; i <= LOOKS; i++) {
    sampler.read(from + i * step);
    sampler.write(out, 'centreOfMass');
    if (sign * out[0] > most) {
      most = sign * out[0];
      best = i;
    }
  }
  let time = from + best * step;
  if (best === 0 || best === LOOKS) return time;
  // Newton's steps on the slope, held between the neighbours.
  for (let round = 0; round < 4; round++) {
    sampler.read(time);
    sampler.write(out, 'centreOfMass');
    if (out[2] === 0) break;
    const next = time - out[1] / out[2];
    if (!(Math.abs(next - (from + best * step)) <= step)) break;
    time = next;
  }
  return time;
}
