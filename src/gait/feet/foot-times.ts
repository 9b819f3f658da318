import { wrapPhase } from '../share.js';
import type { Side, Walk } from '../walk.js';
import type { FootTiming } from './foot-path.js';
import { eventFractions } from './walk-events.js';

/** Where keys of a foot may stand over one stride, in order of time since it landed. */
export interface FootTimes {
  /** When the foot lands, in s from phase 0, in [0, stride). */
  readonly land: number;
  readonly timing: FootTiming;
  /** Times since landing in s, from 0 up to and including the next landing. */
  readonly since: readonly number[];
  /** The same times in s from phase 0, each in [0, stride); one less, for the last is the first again. */
  readonly inCycle: readonly number[];
  /** Indices of landing, flat, heel-off, lift and the next landing. */
  readonly marks: readonly number[];
  /** Whether all of them are whole frames. */
  readonly onFrames: boolean;
}

/** How far from a frame still is on it, in frames. */
const ON_FRAME = 1e-6;

/** Fewest frames in the air: with fewer there is no frame to clear the floor in. */
const LEAST_SWING = 2;

/** Parts that strike, flat, peel and swing are cut into where keys may stand anywhere. */
const PARTS = [8, 1, 8, 32] as const;

/**
 * Whole frames where there are enough of them: landing moves to the frame at or before it, so that a foot is
 * still for all of its contact, and flat, heel-off and lift to the frames at or after them. Else the exact times, and even parts between them.
 */
export function footTimes(walk: Walk, side: Side, fps?: number): FootTimes {
  return (fps === undefined ? undefined : framedTimes(walk, side, fps)) ?? exactTimes(walk, side);
}

function framedTimes(walk: Walk, side: Side, fps: number): FootTimes | undefined {
  const { strideTime } = walk.pace;
  const { contact } = walk.stance[side];
  const { flat, heelOff, lift } = eventFractions(walk, side);
  const count = Math.ceil(strideTime * fps - ON_FRAME);
  const first = Math.floor(contact * strideTime * fps + ON_FRAME);
  const land = first / fps;
  const late = contact * strideTime - land;
  const inCycle = Array.from({ length: count }, (_, i) => ((first + i) % count) / fps);
  const since = inCycle.map((t) => (t < land ? t + strideTime - land : t - land));
  const when = (fraction: number): number => late + fraction * strideTime;
  const reached = (fraction: number): number => since.findIndex((t) => t >= when(fraction) - ON_FRAME / fps);
  const liftAt = reached(lift);
  if (liftAt < 2 || count - liftAt < LEAST_SWING) return undefined;
  const flatAt = Math.min(reached(flat), liftAt - 1);
  const peelAt = Math.min(reached(heelOff), liftAt - 1);
  return {
    land,
    timing: { flat: since[flatAt], heelOff: since[peelAt], lift: since[liftAt], next: strideTime },
    since: [...since, strideTime],
    inCycle,
    marks: [0, flatAt, peelAt, liftAt, count],
    onFrames: true,
  };
}

function exactTimes(walk: Walk, side: Side): FootTimes {
  const { strideTime } = walk.pace;
  const { flat, heelOff, lift } = eventFractions(walk, side);
  const edges = [0, flat, heelOff, lift, 1].map((fraction) => fraction * strideTime);
  const since = [0];
  const marks = [0];
  PARTS.forEach((parts, w) => {
    for (let i = 1; i <= parts; i++) {
      since.push(i === parts ? edges[w + 1] : edges[w] + ((edges[w + 1] - edges[w]) * i) / parts);
    }
    marks.push(since.length - 1);
  });
  const land = wrapPhase(walk.stance[side].contact) * strideTime;
  const inCycle = since.slice(0, -1).map((t) => wrapPhase((land + t) / strideTime) * strideTime);
  return {
    land,
    timing: { flat: edges[1], heelOff: edges[2], lift: edges[3], next: strideTime },
    since,
    inCycle,
    marks,
    onFrames: false,
  };
}
