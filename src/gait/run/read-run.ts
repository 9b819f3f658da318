import type { MotionReader } from '../read-motion.js';
import { samplePath } from './parted-path.js';
import type { Run } from './run.js';

/** A prepared reader of a run; allocates nothing while it reads. */
export function readRun(run: Run): MotionReader {
  const { centre, gravity, pace, body } = run;
  const forces = createRunForces(run);
  const six = new Float64Array(6);
  return {
    start: 0,
    duration: pace.strideTime,
    repeats: true,
    gravity,
    body,
    sampleCentre(t, out) {
      samplePath(centre.height, t, out, 0);
      samplePath(centre.forward, t, out, 3);
      samplePath(centre.side, t, out, 6);
      // What the forces say, without the rounding of a polynomial's second derivative: in flight −g exactly.
      forces(t, six);
      out[2] = gravity * (six[0] + six[3] - 1);
      out[5] = gravity * (six[1] + six[4]);
      out[8] = gravity * (six[2] + six[5]);
    },
    sampleForces: forces,
  };
}

/** Writes left vertical, forward, side, then right ones, in BW, into `out[0..5]`; allocates nothing. */
function createRunForces({ total, spec, pace, stance }: Run): MotionReader['sampleForces'] {
  const first = spec.firstFoot ?? 'right';
  const jet = new Float64Array(3);
  const half = pace.stepTime;
  return (t, out) => {
    out.fill(0, 0, 6);
    const within = t - Math.floor(t / pace.strideTime) * pace.strideTime;
    const later = within >= half;
    const since = later ? within - half : within;
    // At the ends of a contact and in flight there is nothing to share.
    if (!(since > 0 && since < stance.left.fraction * pace.strideTime)) return;
    const at = (first === 'left') === !later ? 0 : 3;
    samplePath(total.vertical, within, jet);
    out[at] = Math.max(0, jet[0]);
    samplePath(total.forward, within, jet);
    out[at + 1] = jet[0];
    samplePath(total.side, within, jet);
    out[at + 2] = jet[0];
  };
}
