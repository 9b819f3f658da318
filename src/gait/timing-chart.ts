import { requireNumber, requireRecord } from '../internal/check.js';
import { requireWalkOrShot } from './motion.js';
import { type Pose, posesOf } from './poses.js';
import type { Shot } from './shot/shot.js';
import { chartShot, type ShotTimingChart } from './shot-keys/chart-shot.js';
import { snapToFrames } from './snap-to-frames.js';
import type { Side, Walk } from './walk.js';

export type { Pose } from './poses.js';

/** One pose of the chart. */
export interface PoseMark {
  readonly pose: Pose;
  /** The foot that the step stands on: the one that has landed. */
  readonly foot: Side;
  /** Phase of the stride, from 0 up to and including 1 for the contact that closes it. */
  readonly phase: number;
  /** Time in s from phase 0. */
  readonly time: number;
  /** Where the pose falls, in frames, fractions kept. */
  readonly exactFrame: number;
  /** The nearest whole frame. */
  readonly frame: number;
}

/** Poses of one stride against frames. */
export interface TimingChart {
  readonly fps: number;
  /** The frame that phase 0 falls on. */
  readonly firstFrame: number;
  /** Frames from contact to contact, on average. */
  readonly framesPerStep: number;
  /** In order of time; begins and ends with a contact of the same foot. */
  readonly marks: readonly PoseMark[];
  /** The walk that the chart is of, brought onto whole frames where that was asked. */
  readonly walk: Walk;
}

/** How to count. */
export interface TimingChartOptions {
  /** Frames per second, > 0. */
  readonly fps: number;
  /** The frame that phase 0 falls on; whole. Default 1. */
  readonly firstFrame?: number;
  /** Whether the walk is first brought onto whole frames, as `snapToFrames` does. Default true. */
  readonly wholeFrames?: boolean;
}

/**
 * The frames of contact, down, passing and up over one stride. Down and up are the lowest and highest
 * points of the returned centre of mass; passing is the middle of single support as measured and the middle
 * of the step as charted, with `poseTiming` between them.
 *
 * @param walk - a planned walk
 * @param options - frame rate, first frame, and whether to bring the walk onto whole frames first
 * @returns the marks in order of time, with exact and whole frames
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planWalk, timingChart } from 'underfoot';
 *
 * const walk = planWalk({ pace: { framesPerStep: 12, fps: 24 } });
 * const contacts = timingChart(walk, { fps: 24 }).marks.filter((mark) => mark.pose === 'contact');
 * console.log(contacts.map((mark) => mark.frame).join(' ')); // → 1 13 25
 * ```
 */
export function timingChart(walk: Walk, options: TimingChartOptions): TimingChart;
/**
 * The frames of contact, down, passing and up of every step of a shot, and of the last contact.
 *
 * @param shot - a planned shot
 * @param options - frame rate, and the frame that the shot begins on; a shot is never brought onto whole frames
 * @returns the marks in order of time, with exact and whole frames
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planShot, timingChart } from 'underfoot';
 *
 * const { marks } = timingChart(planShot({ stretches: [{ steps: 4 }] }), { fps: 24 });
 * console.log(marks.filter(({ pose }) => pose === 'contact').length); // → 4
 * ```
 */
export function timingChart(shot: Shot, options: TimingChartOptions): ShotTimingChart;
/**
 * The chart of a walk or of a shot, whichever a motion is; with the options that both take.
 *
 * @param motion - a planned walk or shot
 * @param options - as of both
 * @throws RangeError or TypeError naming field, rule and value
 */
export function timingChart(
  motion: Walk | Shot,
  options: Omit<TimingChartOptions, 'wholeFrames'>,
): TimingChart | ShotTimingChart;
export function timingChart(motion: Walk | Shot, options: TimingChartOptions): TimingChart | ShotTimingChart {
  const where = 'timingChart';
  const given = requireWalkOrShot(where, motion);
  requireRecord(where, 'options', options, [
    'fps',
    'firstFrame',
    ...(given.kind === 'shot' ? [] : ['wholeFrames']),
  ]);
  const { firstFrame = 1, wholeFrames = true } = options;
  const fps = requireNumber(where, 'fps', options.fps, { above: 0, unit: 'Hz' });
  requireNumber(where, 'firstFrame', firstFrame, { whole: true });
  if (given.kind === 'shot') return chartShot(given, fps, firstFrame);
  const charted = wholeFrames ? snapToFrames(given, { fps }) : given;
  const { strideTime, stepTime } = charted.pace;
  const marks = posesOf(charted).map(({ pose, foot, phase }): PoseMark => {
    const time = phase * strideTime;
    const exactFrame = firstFrame + time * fps;
    return { pose, foot, phase, time, exactFrame, frame: Math.round(exactFrame) };
  });
  return { fps, firstFrame, framesPerStep: stepTime * fps, marks, walk: charted };
}
