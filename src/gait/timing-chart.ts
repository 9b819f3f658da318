import { seriesExtremes } from '../curves/series-extremes.js';
import { requireNumber, requireRecord } from '../internal/check.js';
import { requireMotion } from './motion.js';
import { wrapPhase } from './share.js';
import { snapToFrames } from './snap-to-frames.js';
import type { Side, Walk } from './walk.js';

/** The four poses of a step. */
export type Pose = 'contact' | 'down' | 'passing' | 'up';

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
 * points of the returned centre of mass, passing is the middle of single support.
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
export function timingChart(walk: Walk, options: TimingChartOptions): TimingChart {
  const where = 'timingChart';
  requireMotion(where, walk);
  requireRecord(where, 'options', options, ['fps', 'firstFrame', 'wholeFrames']);
  const { firstFrame = 1, wholeFrames = true } = options;
  const fps = requireNumber(where, 'fps', options.fps, { above: 0, unit: 'Hz' });
  requireNumber(where, 'firstFrame', firstFrame, { whole: true });
  const charted = wholeFrames ? snapToFrames(walk, { fps }) : walk;
  const { strideTime, stepTime } = charted.pace;
  const marks = posesOf(charted).map(({ pose, foot, phase }): PoseMark => {
    const time = phase * strideTime;
    const exactFrame = firstFrame + time * fps;
    return { pose, foot, phase, time, exactFrame, frame: Math.round(exactFrame) };
  });
  return { fps, firstFrame, framesPerStep: stepTime * fps, marks, walk: charted };
}

/** The poses of a stride in order of phase, with the closing contact at phase 1. */
export function posesOf(walk: Walk): { pose: Pose; foot: Side; phase: number }[] {
  const { left, right } = walk.stance;
  const poses: { pose: Pose; foot: Side; phase: number }[] = [];
  const standing = (phase: number): Side =>
    wrapPhase(phase - left.contact) < wrapPhase(phase - right.contact) ? 'left' : 'right';
  for (const foot of ['left', 'right'] as const) {
    const own = walk.stance[foot];
    const other = walk.stance[foot === 'left' ? 'right' : 'left'];
    poses.push({ pose: 'contact', foot, phase: own.contact });
    const alone = wrapPhase(other.contact + other.fraction);
    const single = wrapPhase(other.contact - alone);
    poses.push({ pose: 'passing', foot, phase: wrapPhase(alone + single / 2) });
  }
  for (const { time, kind } of deepestAndHighest(walk)) {
    const phase = wrapPhase(time / walk.pace.strideTime);
    poses.push({ pose: kind === 'low' ? 'down' : 'up', foot: standing(phase), phase });
  }
  poses.sort((a, b) => a.phase - b.phase);
  return [...poses, { ...poses[0], phase: 1 }];
}

/** The lowest and the highest point of the centre of mass in each step. */
function deepestAndHighest(walk: Walk): { time: number; kind: 'low' | 'high' }[] {
  const { left, right } = walk.stance;
  const extremes = seriesExtremes(walk.centre.height);
  const found: { time: number; kind: 'low' | 'high' }[] = [];
  for (const [own, other] of [
    [left, right],
    [right, left],
  ]) {
    const length = wrapPhase(other.contact - own.contact);
    const inStep = extremes.filter(
      ({ time }) => wrapPhase(time / walk.pace.strideTime - own.contact) < length,
    );
    for (const kind of ['low', 'high'] as const) {
      const ofKind = inStep.filter((extreme) => extreme.kind === kind);
      if (ofKind.length === 0) continue;
      const sign = kind === 'low' ? 1 : -1;
      found.push(ofKind.reduce((best, next) => (sign * next.value < sign * best.value ? next : best)));
    }
  }
  return found;
}
