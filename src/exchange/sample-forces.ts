import type { FrameRate } from '../curves/time/frame-rate.js';
import { readMotion } from '../gait/read-motion.js';
import type { Motion } from '../gait/walk.js';
import type { DocumentForces } from './document.js';
import { framesPerSecond, timeOfFrames } from './frame-rate.js';

/** How far from a whole number a count may be and still mean it, relative. */
const WHOLE = 1e-9;

/**
 * The floor's forces at whole parts of frames from the motion's start: one cycle without its seam twice,
 * or so many seconds of a motion that does not repeat.
 */
export function sampleForces(
  motion: Motion,
  rate: FrameRate,
  perFrame: number,
  duration: number,
): DocumentForces {
  const reader = readMotion(motion);
  const exact = duration * framesPerSecond(rate) * perFrame;
  const near = Math.round(exact);
  const whole = Math.abs(exact - near) <= WHOLE * Math.max(1, exact);
  const steps = whole ? near : Math.ceil(exact);
  const count = reader.repeats ? steps : (whole ? near : Math.floor(exact)) + 1;
  const column = (): number[] => new Array<number>(count);
  const force = () => ({ vertical: column(), forward: column(), side: column() });
  const time = column();
  const [left, right, total] = [force(), force(), force()];
  const row = new Float64Array(6);
  for (let i = 0; i < count; i++) {
    time[i] = reader.start + timeOfFrames(rate, i / perFrame);
    reader.sampleForces(time[i], row);
    left.vertical[i] = row[0];
    left.forward[i] = row[1];
    left.side[i] = row[2];
    right.vertical[i] = row[3];
    right.forward[i] = row[4];
    right.side[i] = row[5];
    total.vertical[i] = row[0] + row[3];
    total.forward[i] = row[1] + row[4];
    total.side[i] = row[2] + row[5];
  }
  return {
    perFrame,
    time,
    left,
    right,
    total,
    newtonsPerBodyWeight: (reader.body.mass + reader.body.carried) * reader.gravity,
  };
}
