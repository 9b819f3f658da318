import { refuseAny, requireChoice, requireNumber, requireRecord, show } from '../internal/check.js';
import { requireWalk } from './motion.js';
import type { Note } from './note.js';
import { planWalk } from './plan-walk.js';
import type { Walk } from './walk.js';

/** How to bring a walk onto whole frames. */
export interface SnapOptions {
  /** Frames per second, > 0. */
  readonly fps: number;
  /** Whether both steps get the same number of frames (default), or only the stride is whole. */
  readonly equalSteps?: boolean;
  /** What stays while the step's time changes: its length (default), so that plants stay, or the speed. */
  readonly keep?: 'length' | 'speed';
}

/** Whether a number of frames is whole, to rounding. */
const WHOLE = 1e-9;

/** Fewest frames a step in which contact, down, passing and up each get a frame. */
const POSES_PER_STEP = 4;

/**
 * The walk, planned again so that its stride is a whole number of frames: the nearest one, or the nearest
 * even one where both steps are to be equal. Notes state the change of pace, uneven steps and steps of
 * fewer than four frames.
 *
 * @param walk - a planned walk
 * @param options - frame rate, and what to keep
 * @returns the same walk where it is on whole frames already, else a new one
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planWalk, snapToFrames } from 'underfoot';
 *
 * const walk = snapToFrames(planWalk({ pace: { speed: 1.28 } }), { fps: 24 });
 * console.log(walk.pace.stepTime * 24); // → 13
 * console.log(walk.pace.speed.toFixed(3)); // → 1.296
 * ```
 */
export function snapToFrames(walk: Walk, options: SnapOptions): Walk {
  const where = 'snapToFrames';
  requireWalk(where, walk);
  requireRecord(where, 'options', options, ['fps', 'equalSteps', 'keep']);
  const { equalSteps = true, keep = 'length' } = options;
  const fps = requireNumber(where, 'fps', options.fps, { above: 0, unit: 'Hz' });
  requireChoice(where, 'keep', keep, ['length', 'speed']);
  if (typeof equalSteps !== 'boolean') {
    refuseAny(where, [
      { field: 'equalSteps', rule: 'must be true or false', got: show(equalSteps), kind: 'type' },
    ]);
  }
  const exact = walk.pace.strideTime * fps;
  const frames = equalSteps ? 2 * Math.max(1, Math.round(exact / 2)) : Math.max(2, Math.round(exact));
  const whole = Math.abs(exact - frames) <= WHOLE * frames;
  const snapped = whole ? walk : planAt(walk, frames, fps, keep);
  const notes = [...frameNotes(frames), ...(whole ? [] : [paceNote(walk, snapped, frames, fps)])];
  return notes.length === 0 ? snapped : { ...snapped, notes: [...snapped.notes, ...notes] };
}

function planAt(walk: Walk, frames: number, fps: number, keep: 'length' | 'speed'): Walk {
  const { strideLength, speed } = walk.pace;
  const pace = {
    framesPerStep: frames / 2,
    fps,
    strideLength: keep === 'length' ? strideLength : (speed * frames) / fps,
  };
  return planWalk({ ...walk.spec, pace });
}

function frameNotes(strideFrames: number): Note[] {
  const notes: Note[] = [];
  if (strideFrames % 2 === 1) {
    const [first, second] = [(strideFrames - 1) / 2, (strideFrames + 1) / 2];
    notes.push({
      code: 'uneven-frames',
      text: `A stride of ${strideFrames} frames has steps of ${first} and ${second} frames on whole frames.`,
      values: { strideFrames, first, second },
    });
  }
  if (strideFrames < 2 * POSES_PER_STEP) {
    notes.push({
      code: 'few-frames',
      text: `A step of ${strideFrames / 2} frames has no frame for each of contact, down, passing and up.`,
      values: { framesPerStep: strideFrames / 2, limit: POSES_PER_STEP },
    });
  }
  return notes;
}

function paceNote(walk: Walk, snapped: Walk, strideFrames: number, fps: number): Note {
  const before = walk.pace.speed;
  const after = snapped.pace.speed;
  const change = after / before - 1;
  return {
    code: 'pace-snapped',
    text:
      `A step of ${(walk.pace.stepTime * fps).toFixed(2)} frames became ${strideFrames / 2}; ` +
      `the speed went from ${before.toFixed(3)} to ${after.toFixed(3)} m/s.`,
    values: { framesPerStep: strideFrames / 2, fps, before, after, change },
  };
}
