import type { MotionReader } from '../read-motion.js';
import type { Shot } from './shot.js';
import { prepareShotForces } from './shot-forces.js';
import { createShotSampler } from './shot-sampler.js';

/** The reader of a shot: it does not repeat, and outside its span its nearer end is read. */
export function readShot(shot: Shot): MotionReader {
  const sampler = createShotSampler(shot);
  return {
    start: 0,
    duration: shot.duration,
    repeats: false,
    gravity: shot.gravity,
    body: shot.body,
    sampleCentre(t, out) {
      sampler.read(t);
      sampler.write(out, 'centreOfMass');
    },
    sampleForces: prepareShotForces(shot, sampler),
  };
}
