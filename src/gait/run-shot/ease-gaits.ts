import { otherFoot } from '../shot/cycle-steps.js';
import { type TrackNode, trackThrough } from '../shot/tracks.js';
import type { Side, Walk } from '../walk.js';
import type { RunCourse } from './add-run.js';
import { easeRoot, type GrowingShot, justBefore } from './join.js';
import type { Joint } from './joint.js';

/** Times of a run within the whole. */
export interface RunTimes {
  readonly cycle: number;
  readonly start: number;
  readonly lands: number;
  readonly end: number;
  readonly ends: number;
}

/** Lets the turns of the body go over from walk to run and back, each step at its own phase. */
export function easeTurns({ whole, walked, run, steps, next }: RunCourse, times: RunTimes): void {
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

/** Lets what the root has beyond the centre of mass fade into the run, and come again out of it. */
export function easeRootThrough(
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
