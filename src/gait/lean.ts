import type { CarrySpec, Lean, WalkSpec } from './walk.js';

/**
 * Where a carried load's centre is, over the height of the trunk's own mass above the hips: behind and
 * to the left. Common practice, no source; about a hand's breadth from the trunk.
 */
const PLACES = {
  back: { behind: 0.7, left: 0 },
  front: { behind: -0.9, left: 0 },
  left: { behind: 0, left: 0.9 },
  right: { behind: 0, left: -0.9 },
  head: { behind: 0, left: 0 },
} as const;

/** The trunk, arms and head as a fraction of the body's mass (Winter 2009, table 4.1: 0.678). */
const TRUNK_MASS = 0.678;

/** No lean to balance a load goes further than this, in rad. Common practice, no source. */
const MOST = 0.6;

/** How far a trunk may be asked to lean, in rad. */
export const LEAN_LIMITS = { min: -MOST, max: MOST, unit: 'rad' } as const;

/** The steady lean of a spec: what its load asks for and what it asks for itself, within 0.6 rad. */
export function leanOf(spec: WalkSpec, bodyMass: number): Lean {
  const under = leanUnder(spec.carry, bodyMass);
  if (!spec.lean) return under;
  return { ...under, pitch: Math.max(-MOST, Math.min(MOST, under.pitch + spec.lean)) };
}

/**
 * The steady lean of the trunk that brings trunk and load together back over the hips: the angle whose
 * tangent is the load's moment over the trunk's and load's weight, bounded at 0.6 rad.
 */
function leanUnder(carry: CarrySpec | undefined, bodyMass: number): Lean {
  if (!carry || carry.mass === 0) return { pitch: 0, roll: 0 };
  const { behind, left } = PLACES[carry.where];
  const part = carry.mass / (TRUNK_MASS * bodyMass + carry.mass);
  const lean = (offset: number): number => Math.max(-MOST, Math.min(MOST, Math.atan(part * offset)));
  // Behind: front down. On the left: left side up, so that the trunk goes over to the right.
  return { pitch: lean(behind), roll: lean(left) };
}
