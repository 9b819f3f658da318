import { type Series, seriesValue } from '../curves/series.js';
import { PROJECTION_SAMPLES, projectHarmonics } from './fourier.js';
import { forwardArm, sideArm } from './pivot.js';
import { sampleShares, wrapPhase } from './share.js';
import type { Pivot, Side, Sides, Stance, Walk } from './walk.js';

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

/**
 * Horizontal totals and the motion they cause. The force on each foot points from its centre of pressure
 * to the pivot above the centre of mass, so it is the foot's load times (centre − pressure) / height; the
 * centre's mean place takes part with the whole load, and its own oscillation x obeys x'' = g · total, which
 * in each harmonic is linear and solved at once (with load × x taken as x, a centimetre or two; what that
 * leaves out stays with the feet, in `sampleWalkForces`).
 */
export function planShear(input: ShearInput): Shear {
  const { load, stance, pivot, strideLength, gravity, symmetric } = input;
  const n = PROJECTION_SAMPLES;
  const along = new Float64Array(n);
  const across = new Float64Array(n);
  const loads = new Float64Array(n);
  const shares = new Float64Array(2);
  let alongSum = 0;
  let acrossSum = 0;
  let loadSum = 0;
  for (let i = 0; i < n; i++) {
    const phase = i / n;
    const total = seriesValue(load, phase * load.period);
    sampleShares(stance, phase, shares);
    for (const side of SIDES) {
      const carried = total * shares[side === 'left' ? 0 : 1];
      if (carried === 0) continue;
      along[i] += carried * forwardArm(stance[side], pivot, phase, strideLength);
      across[i] += carried * sideArm(side, stance[side], pivot, phase);
    }
    alongSum += along[i];
    acrossSum += across[i];
    loads[i] = total;
    loadSum += total;
  }
  // The means that leave no net force: the load-weighted mean of centre − pressure is 0.
  const ahead = -alongSum / loadSum;
  const aside = -acrossSum / loadSum;
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

const totalScratch = new Float64Array(6);
const shareScratch = new Float64Array(2);

/**
 * Writes both feet's forces at time `t` (s) in BW: left vertical, forward, side, then right vertical,
 * forward, side. Each foot takes its own pivot force and, of what the totals hold beyond that, its share.
 */
export function sampleWalkForces(walk: Walk, t: number, out: Float64Array): void {
  const { stance, pivot, pace, total, centre } = walk;
  const phase = wrapPhase(t / pace.strideTime);
  const at = phase * pace.strideTime;
  sampleShares(stance, phase, shareScratch);
  const load = seriesValue(total.vertical, at);
  const forward = seriesValue(total.forward, at);
  const side = seriesValue(total.side, at);
  // The centre's place relative to even progress.
  const ahead = seriesValue(centre.forward, at) - pace.strideLength * phase;
  const across = seriesValue(centre.side, at);
  let restForward = forward;
  let restSide = side;
  for (let i = 0; i < 2; i++) {
    const side = SIDES[i];
    const carried = load * shareScratch[i];
    totalScratch[3 * i] = carried;
    totalScratch[3 * i + 1] = 0;
    totalScratch[3 * i + 2] = 0;
    if (carried === 0) continue;
    const forwardLead = forwardArm(stance[side], pivot, phase, pace.strideLength) + ahead;
    const sideLead = sideArm(side, stance[side], pivot, phase) + across;
    totalScratch[3 * i + 1] = (carried * forwardLead) / pivot.forwardHeight;
    totalScratch[3 * i + 2] = (carried * sideLead) / pivot.sideHeight;
    restForward -= totalScratch[3 * i + 1];
    restSide -= totalScratch[3 * i + 2];
  }
  for (let i = 0; i < 2; i++) {
    out[3 * i] = totalScratch[3 * i];
    out[3 * i + 1] = totalScratch[3 * i + 1] + restForward * shareScratch[i];
    out[3 * i + 2] = totalScratch[3 * i + 2] + restSide * shareScratch[i];
  }
}
