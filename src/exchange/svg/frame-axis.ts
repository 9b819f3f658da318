import type { MotionDocument } from '../document.js';
import { framesPerSecond } from '../frame-rate.js';
import { niceTicks, type Ticks, ticksEvery } from './ticks.js';

/** The scene's frames as an across-scale. */
export interface FrameAxis {
  /** First and last frame of the span. */
  readonly range: readonly [number, number];
  readonly ticks: Ticks;
  /** Frame of a time in s. */
  readonly frameOf: (time: number) => number;
  readonly title: string;
}

/** Frames of the document's span, on whole ticks where there is room for every one or few. */
export function frameAxis(document: MotionDocument, count = 14): FrameAxis {
  const { scene, span } = document;
  const fps = framesPerSecond(scene.frameRate);
  const frameOf = (time: number): number => scene.firstFrame + time * fps;
  const range = [frameOf(span.start), frameOf(span.start + span.duration)] as const;
  const step = Math.max(1, Math.round(niceTicks(0, range[1] - range[0], count).step));
  return {
    range,
    ticks: ticksEvery(range[0], range[1], step),
    frameOf,
    title: `Frame at ${fps.toFixed(3).replace(/\.?0+$/, '')} frames/s`,
  };
}
