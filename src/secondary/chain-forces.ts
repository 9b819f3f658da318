import type { Chain } from './chain.js';

/** How stiff a joint's stop is, as a multiple of the stiffness that holds the joint at rest. */
const STOP_STIFFNESS = 100;
/** Bend in rad over which the stop comes in. */
const STOP_SOFTNESS = 0.02;

/** Room for the sums of one evaluation. */
export interface ChainScratch {
  readonly cos: Float64Array;
  readonly sin: Float64Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
}

export function createChainScratch(n: number): ChainScratch {
  return {
    cos: new Float64Array(n),
    sin: new Float64Array(n),
    x: new Float64Array(n),
    y: new Float64Array(n),
  };
}

/** Torque of a joint's stop for a bend away from rest, and its slope in `slope` where given. */
function stopTorque(chain: Chain, joint: number, bend: number): number {
  const over = Math.abs(bend) - chain.limit;
  if (!(over > 0)) return 0;
  const k = STOP_STIFFNESS * (chain.joints[joint] + chain.first[joint] * chain.gravity);
  return (Math.sign(bend) * k * over * over) / (over + STOP_SOFTNESS);
}

function stopSlope(chain: Chain, joint: number, bend: number): number {
  const over = Math.abs(bend) - chain.limit;
  if (!(over > 0)) return 0;
  const k = STOP_STIFFNESS * (chain.joints[joint] + chain.first[joint] * chain.gravity);
  return (k * over * (over + 2 * STOP_SOFTNESS)) / (over + STOP_SOFTNESS) ** 2;
}

/**
 * What is left over of the chain's full equations of motion, per link, for angles, speeds and
 * accelerations under a carrier's acceleration `down` (height) and `along` the plane; 0 where they hold.
 */
export function chainResidual(
  chain: Chain,
  angles: Float64Array,
  speeds: Float64Array,
  accelerations: Float64Array,
  down: number,
  along: number,
  out: Float64Array,
  scratch: ChainScratch,
): void {
  const { links: n, second, first, joints, rest, hold, damping, alpha, beta, gravity } = chain;
  const { cos, sin, x, y } = scratch;
  for (let i = 0; i < n; i++) {
    const [c, s] = [Math.cos(angles[i]), Math.sin(angles[i])];
    cos[i] = c;
    sin[i] = s;
    const a = accelerations[i] + alpha * speeds[i];
    const w2 = speeds[i] * speeds[i];
    x[i] = c * a - s * w2;
    y[i] = s * a + c * w2;
  }
  const weight = gravity + down;
  for (let i = 0; i < n; i++) {
    let sx = 0;
    let sy = 0;
    let drag = 0;
    for (let j = 0; j < n; j++) {
      const a = second[i * n + j];
      sx += a * x[j];
      sy += a * y[j];
    }
    if (beta !== 0) for (let j = 0; j < n; j++) drag += damping[i * n + j] * speeds[j];
    out[i] = cos[i] * sx + sin[i] * sy + drag + first[i] * (weight * sin[i] + along * cos[i]) - hold[i];
  }
  let above = 0;
  for (let i = 0; i < n; i++) {
    const off = angles[i] - rest[i];
    const torque = joints[i] * (off - above) + stopTorque(chain, i, off - above);
    out[i] += torque;
    if (i > 0) out[i - 1] -= torque;
    above = off;
  }
}

/** Mass · `byMass` + drag · `byDrag` + stiffness · `byStiffness` about a state, by rows, for implicit steps. */
export function chainTangent(
  chain: Chain,
  angles: Float64Array,
  down: number,
  along: number,
  by: { mass: number; drag: number; stiffness: number },
  out: Float64Array,
  scratch: ChainScratch,
): void {
  const { links: n, second, first, joints, rest, damping, alpha, gravity } = chain;
  const { cos, sin } = scratch;
  for (let i = 0; i < n; i++) {
    cos[i] = Math.cos(angles[i]);
    sin[i] = Math.sin(angles[i]);
  }
  const mass = by.mass + alpha * by.drag;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      out[i * n + j] =
        mass * second[i * n + j] * (cos[i] * cos[j] + sin[i] * sin[j]) + by.drag * damping[i * n + j];
    }
    // A weight that lifts only helps the step if it is left out of the matrix.
    out[i * n + i] += by.stiffness * Math.max(0, first[i] * ((gravity + down) * cos[i] - along * sin[i]));
  }
  let above = 0;
  for (let i = 0; i < n; i++) {
    const off = angles[i] - rest[i];
    const k = by.stiffness * (joints[i] + stopSlope(chain, i, off - above));
    above = off;
    out[i * n + i] += k;
    if (i === 0) continue;
    out[(i - 1) * n + i - 1] += k;
    out[i * n + i - 1] -= k;
    out[(i - 1) * n + i] -= k;
  }
}

/** Swinging and stored energy of a chain under standing weight per mass, in m²/s²; 0 at rest. */
export function chainEnergy(chain: Chain, angles: Float64Array, speeds: Float64Array): number {
  const { links: n, second, first, joints, rest, hold, gravity } = chain;
  let energy = 0;
  let above = 0;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      energy += 0.5 * second[i * n + j] * Math.cos(angles[i] - angles[j]) * speeds[i] * speeds[j];
    }
    const off = angles[i] - rest[i];
    energy += first[i] * gravity * (Math.cos(rest[i]) - Math.cos(angles[i])) - hold[i] * off;
    energy += 0.5 * joints[i] * (off - above) ** 2;
    above = off;
  }
  return energy;
}
