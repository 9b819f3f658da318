import type { Manner } from './manner.js';
import { STEP_FACTOR } from './pace.js';
import { STANCE_LIMITS } from './stance.js';
import type { WalkSpec } from './walk.js';

/**
 * What full heft does to each dial. Common practice, no source: what reads as heavy stays on the ground
 * longer, steps shorter, gives deeper and for longer, and rises slowly.
 */
const HEFT = { stance: 0.06, step: 0.12, swing: 0.6, linger: 0.5, recovery: 0.6 } as const;

/**
 * How much a step shortens, as a fraction, for a carried load as heavy as the body. Common practice, no
 * source for the size; steps do get shorter and quicker under load (Seay 2015).
 */
const STEP_UNDER_LOAD = 0.15;

/** Step factor of a spec: its own, or the default shortened by heft and by the carried load. */
export function stepFactorOf(spec: WalkSpec, bodyMass: number): number {
  if (spec.stepFactor !== undefined) return spec.stepFactor;
  const relative = Math.min((spec.carry?.mass ?? 0) / bodyMass, 2);
  return STEP_FACTOR * (1 - HEFT.step * (spec.heft ?? 0)) * (1 - STEP_UNDER_LOAD * relative);
}

/** Stance fraction of a spec where the pace alone would give `fraction`. */
export function stanceOf(spec: WalkSpec, fraction: number): number {
  if (spec.stanceFraction !== undefined) return spec.stanceFraction;
  return spec.heft ? Math.min(fraction + HEFT.stance * spec.heft, STANCE_LIMITS.max) : fraction;
}

/** The dials that shape the load, heft's defaults filled in. */
export function mannerOf(spec: WalkSpec): Manner {
  const heft = spec.heft ?? 0;
  return {
    swing: spec.swing ?? 1 + HEFT.swing * heft,
    linger: spec.linger ?? HEFT.linger * heft,
    recovery: spec.recovery ?? HEFT.recovery * heft,
  };
}
