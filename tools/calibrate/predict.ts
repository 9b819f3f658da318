import { STANDARD_GRAVITY } from '../../src/gait/body.js';
import { planWalk, readMotion, type Walk } from '../../src/gait/index.js';
import type { StanceCurves, Trial } from './adults.js';

/** Leg length in m of the body that dimensionless speeds are planned on; the results do not depend on it. */
export const LEG = 0.9;
const UNIT = Math.sqrt(STANDARD_GRAVITY * LEG);

/** The walk of a trial, told only its speed, step time, mass and stature. */
export function planTrial({ speed, stepTime, mass, stature }: Trial): Walk {
  return planWalk({ pace: { speed, strideLength: 2 * speed * stepTime }, body: { mass, stature } });
}

/** A walk of a dimensionless speed and, where given, a step length over leg length. */
export function planAt(speed: number, stepLength?: number): Walk {
  const strideLength = stepLength === undefined ? undefined : 2 * stepLength * LEG;
  const body = { legLength: LEG };
  return planWalk({
    pace: strideLength ? { speed: speed * UNIT, strideLength } : { speed: speed * UNIT },
    body,
  });
}

/** A walk of a speed in m/s. */
export function planSpeed(speed: number): Walk {
  return planAt(speed / UNIT);
}

/** The right foot's forces at the given phases of the stride, side positive towards the other foot. */
export function footAt(walk: Walk, phases: readonly number[]): StanceCurves {
  const reader = readMotion(walk);
  const out = new Float64Array(6);
  const [vertical, forward, side]: number[][] = [[], [], []];
  for (const phase of phases) {
    reader.sampleForces(phase * reader.duration, out);
    vertical.push(out[3]);
    forward.push(out[4]);
    side.push(out[5]);
  }
  return { vertical, forward, side };
}

/** The right foot's forces at even fractions of its stance, ends included. */
export function footOverStance(walk: Walk, steps: number): StanceCurves {
  const { fraction } = walk.stance.right;
  return footAt(
    walk,
    Array.from({ length: steps + 1 }, (_, i) => (i / steps) * fraction),
  );
}
