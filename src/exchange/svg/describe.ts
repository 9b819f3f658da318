import type { MotionDocument } from '../document.js';
import { framesPerSecond } from '../frame-rate.js';
import { readable } from './format-number.js';

/** One line about a motion: speed, step, stance, frames. */
export function describeMotion(document: MotionDocument): string {
  const { pace, scene, feet, span, chart } = document;
  const fps = framesPerSecond(scene.frameRate);
  const rate = `${readable(fps, Number.isInteger(fps) ? 0 : 3)} frames/s`;
  if (!pace) {
    const landings = chart.filter(({ pose }) => pose === 'contact').length;
    return `${readable(span.duration, 2)} s, ${readable(span.duration * fps, 1)} frames at ${rate} · ${landings} steps`;
  }
  const { land, lift } = feet.right.contacts[0];
  return [
    `${readable(pace.speed, 2)} m/s`,
    `step ${readable(pace.stepLength, 2)} m in ${readable(pace.stepTime, 2)} s`,
    `${readable(pace.stepTime * fps, Number.isInteger(pace.stepTime * fps) ? 0 : 1)} frames a step at ${rate}`,
    `stance ${readable((100 * (lift - land)) / pace.strideTime, 0)} % of the stride`,
  ].join(' · ');
}

/** Lowest and highest value of a list. */
export function rangeOf(values: readonly number[]): readonly [number, number] {
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const value of values) {
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  return [low, high];
}
