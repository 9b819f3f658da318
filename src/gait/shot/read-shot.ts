import type { MotionReader } from '../read-motion.js';
import type { Shot } from './shot.js';
import { prepareShotForces } from './shot-forces.js';
import { createShotSampler } from './shot-sampler.js';

/** The reader of a shot: it does not repeat, and outside its span its nearer end is read. */
export function readShot(shot: Shot): MotionReader {
  const sampler = createShotSampler(shot);
  const flies = prepareFlights(shot);
  const forces = prepareShotForces(shot, sampler);
  return {
    start: 0,
    duration: shot.duration,
    repeats: false,
    gravity: shot.gravity,
    body: shot.body,
    sampleCentre(t, out) {
      sampler.read(t);
      sampler.write(out, 'centreOfMass');
      // Nothing but gravity, without the rounding of a polynomial's second derivative.
      if (!flies?.(t)) return;
      out[2] = -shot.gravity;
      out[5] = 0;
      out[8] = 0;
    },
    sampleForces(t, out) {
      if (flies?.(t)) out.fill(0, 0, 6);
      else forces(t, out);
    },
  };
}

/** Tells whether no foot is down at a time; nothing for a shot in which one always is. */
function prepareFlights({ steps }: Shot): ((t: number) => boolean) | undefined {
  const flights: (readonly [number, number])[] = [];
  for (let i = 1; i < steps.length; i++) {
    const lifted = Math.max(...steps.slice(Math.max(0, i - 2), i).map(({ lift }) => lift));
    if (steps[i].gait === 'run' && lifted < steps[i].land) flights.push([lifted, steps[i].land]);
  }
  if (flights.length === 0) return undefined;
  return (t) => flights.some(([from, to]) => t > from && t < to);
}
