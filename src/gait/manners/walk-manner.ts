import { numberProblem, type Problem, recordProblem, show } from '../../internal/check.js';
import { LEAN_LIMITS } from '../lean.js';
import { PACE_SPEEDS } from '../pace.js';

/**
 * A way of walking, as plain numbers; each one left out is neutral. What shapes the step is relative to what
 * body and pace give, so that a manner fits every body.
 */
export interface WalkManner {
  /** Speed over √(gravity × leg length), in (0, 1], for where no pace is given. Neutral 0.431, the ordinary pace. */
  readonly dimensionlessSpeed?: number;
  /** Factor on the step's length at a given speed, in [0.25, 2]. Neutral 1. */
  readonly stepLength?: number;
  /** Factor on the step's width, in [0, 4]. Neutral 1. */
  readonly stepWidth?: number;
  /** Added to the fraction of the stride that a foot is on the ground, in [−0.1, 0.2]. Neutral 0. */
  readonly stanceShift?: number;
  /** As in `WalkSpec`, in [0, 1]. Neutral 0. */
  readonly heft?: number;
  /** Factor on the load's swing about 1 BW, in [0, 10]. Neutral 1. */
  readonly swing?: number;
  /** Added to `linger`, in [0, 1]. Neutral 0. */
  readonly linger?: number;
  /** Added to `recovery`, in [0, 1]. Neutral 0. */
  readonly recovery?: number;
  /** As in `WalkSpec`, in [0, 1]. Neutral 0. */
  readonly poseTiming?: number;
  /** As in `WalkSpec`, in [0, 1]. Neutral 0. */
  readonly crouch?: number;
  /** As in `WalkSpec`, in rad, in [−0.6, 0.6]. Neutral 0. */
  readonly lean?: number;
}

/** The value of every dial at which it changes nothing. */
export const NEUTRAL: Required<WalkManner> = {
  dimensionlessSpeed: PACE_SPEEDS.ordinary,
  stepLength: 1,
  stepWidth: 1,
  stanceShift: 0,
  heft: 0,
  swing: 1,
  linger: 0,
  recovery: 0,
  poseTiming: 0,
  crouch: 0,
  lean: 0,
};

/** The dials in the order of the type. */
export const DIALS = Object.keys(NEUTRAL) as (keyof WalkManner)[];

const fraction = { min: 0, max: 1 } as const;

const BOUNDS: Readonly<Record<keyof WalkManner, Parameters<typeof numberProblem>[2]>> = {
  dimensionlessSpeed: { above: 0, max: 1 },
  stepLength: { min: 0.25, max: 2 },
  stepWidth: { min: 0, max: 4 },
  stanceShift: { min: -0.1, max: 0.2 },
  heft: fraction,
  swing: { min: 0, max: 10 },
  linger: fraction,
  recovery: fraction,
  poseTiming: fraction,
  crouch: fraction,
  lean: LEAN_LIMITS,
};

/** The manners that have a name. */
export type MannerName = 'sneak' | 'tired' | 'proud' | 'bouncy' | 'hurried';

/**
 * Manners to begin with. Common practice, no source: every number below is the trade's sense of the word put on
 * our dials. At an adult's leg and 24 frames a second a tired step takes 20 frames, a sneaking one 18, a proud one 14, a
 * bouncy one 13, a hurried one 10.
 */
export const MANNERS: Readonly<Record<MannerName, WalkManner>> = {
  /** Bent knees and a flat load: long on the floor, nothing that bobs or thuds. */
  sneak: { dimensionlessSpeed: 0.25, stanceShift: 0.04, swing: 0.3, crouch: 0.6, lean: 0.18 },
  /** Short steps that sink at once and come up slowly, trunk hanging. */
  tired: {
    dimensionlessSpeed: 0.2,
    stepLength: 0.97,
    stanceShift: 0.02,
    linger: 0.5,
    recovery: 0.7,
    crouch: 0.12,
    lean: 0.22,
  },
  /** Long steps on long legs, chest up. */
  proud: { dimensionlessSpeed: 0.42, stepLength: 1.06, stepWidth: 0.9, swing: 1.2, lean: -0.1 },
  /** Half as much bob again, high after passing. */
  bouncy: { dimensionlessSpeed: 0.42, stepLength: 0.97, stanceShift: -0.02, swing: 1.5, poseTiming: 0.5 },
  /** Quick steps, shorter than the speed asks for, head first. */
  hurried: { dimensionlessSpeed: 0.6, stepLength: 0.92, swing: 0.85, lean: 0.12 },
};

/** What is wrong with a manner or its name. */
export function mannerProblems(field: string, manner: unknown): Problem[] {
  if (typeof manner === 'string') {
    if (Object.hasOwn(MANNERS, manner)) return [];
    const names = Object.keys(MANNERS).map((name) => JSON.stringify(name));
    const rule = `must be ${names.join(', ')} or an object of numbers`;
    return [{ field, rule, got: show(manner), kind: 'range' }];
  }
  const shape = recordProblem(field, manner, DIALS);
  if (shape) return [shape];
  const given = manner as Record<string, unknown>;
  return DIALS.filter((dial) => given[dial] !== undefined)
    .map((dial) => numberProblem(`${field}.${dial}`, given[dial], BOUNDS[dial]))
    .filter((problem) => problem !== undefined);
}

/** A manner from its name or itself. */
export function mannerFrom(manner: MannerName | WalkManner): WalkManner {
  return typeof manner === 'string' ? MANNERS[manner] : manner;
}
