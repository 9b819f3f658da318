import type { Series } from '../curves/series.js';
import { sampleOnGrid } from './fourier.js';
import { forwardArm, sideArm } from './pivot.js';
import { sampleShares, wrapPhase } from './share.js';
import type { Side, Stance, Walk } from './walk.js';

const SIDES: readonly Side[] = ['left', 'right'];

/** Numbers that one harmonic holds: cosine and sine term of the five series that forces follow from. */
const PER_HARMONIC = 10;

/** Writes both feet's forces at a time in s. */
export type ForceSampler = (t: number, out: Float64Array) => void;

/**
 * A prepared reader of both feet's forces in BW: left vertical, forward, side, then right vertical, forward,
 * side, into `out[0..5]`; allocates nothing.
 */
export function createForceSampler(walk: Walk): ForceSampler {
  const { strideTime } = walk.pace;
  const terms = packTerms(walk);
  const split = createForceSplit(walk);
  const values = new Float64Array(5);
  return (t, out) => {
    const phase = wrapPhase(t / strideTime);
    const theta = 2 * Math.PI * phase;
    const c1 = Math.cos(theta);
    const s1 = Math.sin(theta);
    let c = 1;
    let s = 0;
    let load = terms[0];
    let forward = terms[2];
    let side = terms[4];
    let ahead = terms[6];
    let aside = terms[8];
    for (let i = PER_HARMONIC; i < terms.length; i += PER_HARMONIC) {
      const next = c * c1 - s * s1;
      s = s * c1 + c * s1;
      c = next;
      load += terms[i] * c + terms[i + 1] * s;
      forward += terms[i + 2] * c + terms[i + 3] * s;
      side += terms[i + 4] * c + terms[i + 5] * s;
      ahead += terms[i + 6] * c + terms[i + 7] * s;
      aside += terms[i + 8] * c + terms[i + 9] * s;
    }
    values[0] = load;
    values[1] = forward;
    values[2] = side;
    values[3] = ahead;
    values[4] = aside;
    split(phase, values, out);
  };
}

/**
 * Calls `use` with both feet's forces, in a sampler's order, at each of some even phases over the stride, in
 * no promised order. Of a walk with equal halves the second is the first again, with the feet changed over.
 */
export function sampleForcesEvenly(
  walk: Walk,
  samples: number,
  use: (i: number, forces: Float64Array) => void,
): void {
  const all = new Float64Array(5 * samples);
  const [load, forward, side, ahead, aside] = seriesOf(walk).map((series, j) => {
    const column = all.subarray(j * samples, (j + 1) * samples);
    sampleOnGrid(series, column);
    return column;
  });
  const split = createForceSplit(walk);
  const values = new Float64Array(5);
  const forces = new Float64Array(6);
  const later = new Float64Array(6);
  const half = samples % 2 === 0 && hasEqualHalves(walk) ? samples / 2 : 0;
  for (let i = 0; i < (half || samples); i++) {
    values[0] = load[i];
    values[1] = forward[i];
    values[2] = side[i];
    values[3] = ahead[i];
    values[4] = aside[i];
    split(i / samples, values, forces);
    use(i, forces);
    if (half === 0) continue;
    later[0] = forces[3];
    later[1] = forces[4];
    later[2] = -forces[5];
    later[3] = forces[0];
    later[4] = forces[1];
    later[5] = -forces[2];
    use(i + half, later);
  }
}

/**
 * Splits the load, the totals forward and sideways and the centre's place relative to even progress, all at
 * one phase, into both feet's forces: each foot takes its own pivot force and, of what the totals hold beyond
 * that, its share.
 */
function createForceSplit({ stance, pivot, pace }: Walk) {
  const { strideLength } = pace;
  const feet = [stance.left, stance.right];
  const shares = new Float64Array(2);
  return (phase: number, values: Float64Array, out: Float64Array): void => {
    sampleShares(stance, phase, shares);
    let restForward = values[1];
    let restSide = values[2];
    for (let i = 0; i < 2; i++) {
      const carried = values[0] * shares[i];
      out[3 * i] = carried;
      out[3 * i + 1] = 0;
      out[3 * i + 2] = 0;
      if (carried === 0) continue;
      const forwardLead = forwardArm(feet[i], pivot, phase, strideLength) + values[3];
      const sideLead = sideArm(SIDES[i], feet[i], pivot, phase) + values[4];
      const forward = (carried * forwardLead) / pivot.forwardHeight;
      const side = (carried * sideLead) / pivot.sideHeight;
      out[3 * i + 1] = forward;
      out[3 * i + 2] = side;
      restForward -= forward;
      restSide -= side;
    }
    for (let i = 0; i < 2; i++) {
      out[3 * i + 1] += restForward * shares[i];
      out[3 * i + 2] += restSide * shares[i];
    }
  };
}

/** Totals up, forward and sideways, then the centre's path forward and sideways. */
function seriesOf({ total, centre }: Walk): readonly Series[] {
  return [total.vertical, total.forward, total.side, centre.forward, centre.side];
}

/** The series' means, then their terms, harmonic by harmonic, in one typed array: one loop reads them all at one rotation. */
function packTerms(walk: Walk): Float64Array {
  const all = seriesOf(walk);
  let most = 0;
  for (const { cos } of all) most = Math.max(most, cos.length);
  const terms = new Float64Array(PER_HARMONIC * (most + 1));
  for (let j = 0; j < all.length; j++) {
    const { mean, cos, sin } = all[j];
    terms[2 * j] = mean;
    for (let k = 1; k <= cos.length; k++) {
      terms[PER_HARMONIC * k + 2 * j] = cos[k - 1];
      terms[PER_HARMONIC * k + 2 * j + 1] = sin[k - 1];
    }
  }
  return terms;
}

/** Whether half a stride later everything is the same with the sides changed over, to the bit. */
function hasEqualHalves({ stance, pace, total, centre }: Walk): boolean {
  const { left, right } = stance;
  const start = (foot: Stance): number => foot.forward - pace.strideLength * foot.contact;
  return (
    left.fraction === right.fraction &&
    Math.abs(left.contact - right.contact) === 0.5 &&
    left.side === -right.side &&
    start(left) === start(right) &&
    total.side.mean === 0 &&
    centre.side.mean === 0 &&
    hasOnly(0, total.vertical) &&
    hasOnly(0, total.forward) &&
    hasOnly(0, centre.forward) &&
    hasOnly(1, total.side) &&
    hasOnly(1, centre.side)
  );
}

/** Whether a series has terms of only the even (0) or only the odd (1) harmonics. */
function hasOnly(parity: 0 | 1, { cos, sin }: Series): boolean {
  for (let k = parity === 0 ? 0 : 1; k < cos.length; k += 2) {
    if (cos[k] !== 0 || sin[k] !== 0) return false;
  }
  return true;
}
