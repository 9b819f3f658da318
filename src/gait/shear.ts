import type { Series } from '../curves/series.js';
import { PROJECTION_SAMPLES, projectHarmonics, sampleOnGrid } from './fourier.js';
import { forwardArm, sideArm } from './pivot.js';
import { sampleShares } from './share.js';
import type { Pivot, Side, Sides, Stance } from './walk.js';

/** Stride harmonics that the total fore-aft and sideways forces keep. */
export const SHEAR_HARMONICS = 16;

/** What the floor's horizontal forces follow from. */
export interface ShearInput {
  readonly load: Series;
  readonly stance: Sides<Stance>;
  readonly pivot: Pivot;
  readonly strideLength: number;
  readonly gravity: number;
  /** Whether both halves of the stride are alike; then the terms that must vanish are exactly 0. */
  readonly symmetric: boolean;
}

/** Totals of both feet in BW, and the path of the centre of mass in m that they cause. */
export interface Shear {
  readonly forward: Series;
  readonly side: Series;
  readonly centreForward: Series;
  readonly centreSide: Series;
}

const SIDES: readonly Side[] = ['left', 'right'];

const loads = new Float64Array(PROJECTION_SAMPLES);
const along = new Float64Array(PROJECTION_SAMPLES);
const across = new Float64Array(PROJECTION_SAMPLES);

/**
 * Horizontal totals and the motion they cause. The force on each foot points from its centre of pressure
 * to the pivot above the centre of mass, so it is the foot's load times (centre − pressure) / height; the
 * centre's mean place takes part with the whole load, and its own oscillation x obeys x'' = g · total, which
 * in each harmonic is linear and solved at once (with load × x taken as x, a centimetre or two; what that
 * leaves out stays with the feet, in `createForceSampler`).
 */
export function planShear(input: ShearInput): Shear {
  const { load, stance, pivot, strideLength, gravity, symmetric } = input;
  const n = PROJECTION_SAMPLES;
  sampleOnGrid(load, loads);
  const shares = new Float64Array(2);
  let alongSum = 0;
  let acrossSum = 0;
  let loadSum = 0;
  const feet = [stance.left, stance.right];
  // Of equal halves the second is the first again, the other foot's and so turned over sideways.
  const count = symmetric ? n / 2 : n;
  for (let i = 0; i < n; i++) {
    if (i >= count) {
      along[i] = along[i - count];
      across[i] = -across[i - count];
    } else {
      along[i] = 0;
      across[i] = 0;
      const phase = i / n;
      sampleShares(stance, phase, shares);
      for (let j = 0; j < 2; j++) {
        const carried = loads[i] * shares[j];
        if (carried === 0) continue;
        along[i] += carried * forwardArm(feet[j], pivot, phase, strideLength);
        across[i] += carried * sideArm(SIDES[j], feet[j], pivot, phase);
      }
    }
    alongSum += along[i];
    acrossSum += across[i];
    loadSum += loads[i];
  }
  // The means that leave no net force: the load-weighted mean of centre − pressure is 0.
  const ahead = -alongSum / loadSum;
  const aside = symmetric ? 0 : -acrossSum / loadSum;
  for (let i = 0; i < n; i++) {
    along[i] += loads[i] * ahead;
    across[i] += loads[i] * aside;
  }
  const forward = solve(along, pivot.forwardHeight, load.period, gravity, symmetric ? 'even' : undefined);
  const side = solve(across, pivot.sideHeight, load.period, gravity, symmetric ? 'odd' : undefined);
  return {
    forward: forward.total,
    side: side.total,
    centreForward: { ...forward.centre, mean: ahead, drift: strideLength },
    centreSide: { ...side.centre, mean: aside },
  };
}

function solve(
  moment: Float64Array,
  height: number,
  period: number,
  gravity: number,
  only: 'odd' | 'even' | undefined,
): { total: Series; centre: Series } {
  const { cos, sin } = projectHarmonics(moment, SHEAR_HARMONICS, only);
  const omega = (2 * Math.PI) / period;
  const stiffness = gravity / height;
  const pick = (terms: number[], factor: (square: number) => number): number[] =>
    terms.map((x, k) => (x / height) * factor(((k + 1) * omega) ** 2));
  const force = (square: number): number => square / (square + stiffness);
  const shift = (square: number): number => -gravity / (square + stiffness);
  return {
    total: { period, mean: 0, drift: 0, cos: pick(cos, force), sin: pick(sin, force) },
    centre: { period, mean: 0, drift: 0, cos: pick(cos, shift), sin: pick(sin, shift) },
  };
}
