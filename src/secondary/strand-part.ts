import {
  choiceProblem,
  errorOf,
  isRecord,
  numberProblem,
  recordProblem,
  refuseAny,
  show,
} from '../internal/check.js';
import type { DampedBy } from './bounce-part.js';
import { partProblem } from './part-shape.js';

/** Most links of a strand. */
export const MOST_LINKS = 32;

/** A shape off plumb: one angle for all links, or one for each, in rad from straight down. */
export type RestAngles = number | readonly number[];

/** A chain of links that hangs: hair, plait, tail, ear, sleeve, chain, sash. */
export interface StrandPart {
  /** Length in m, > 0. */
  readonly length: number;
  /** Links, 1…32. Default 6. */
  readonly links?: number;
  /** Mass per length at the tip over that at the root, in [0.01, 100]. Default 1. */
  readonly taper?: number;
  /** Mass at the tip over the mass of the strand, ≥ 0: a bead, a hem, a tassel. Default 0. */
  readonly tipMass?: number;
  /**
   * Frequency of the slowest swing under standing weight in Hz. Default that of the slack chain; anything
   * quicker comes from stiff joints, nothing slower is possible.
   */
  readonly frequencyHz?: number;
  /** Damping ratio of the slowest swing, in [0, 20]. */
  readonly dampingRatio: number;
  /** Default `parent`: each link against the one that it hangs from. `air` brings a head wind with travel. */
  readonly dampedBy?: DampedBy;
  /**
   * Where it hangs when nothing moves, by each link's angle from plumb: pitch positive with the tip
   * behind, roll positive with the tip to the left. Off plumb the joints have to be stiff.
   */
  readonly rest?: { readonly pitch?: RestAngles; readonly roll?: RestAngles };
  /** Largest bend of a joint away from rest in rad, > 0; in the full answer only. Default none. */
  readonly limit?: number;
}

/** A part read at a boundary: every number there. */
export interface StrandSpec {
  readonly length: number;
  readonly links: number;
  readonly taper: number;
  readonly tipMass: number;
  readonly frequencyHz?: number;
  readonly zeta: number;
  readonly air: boolean;
  /** Rest angles in the plane of travel and the plane across, tip forward and tip left positive. */
  readonly rest: { readonly forward: Float64Array; readonly side: Float64Array };
  readonly limit: number;
}

const FIELDS = [
  'length',
  'links',
  'taper',
  'tipMass',
  'frequencyHz',
  'dampingRatio',
  'dampedBy',
  'rest',
  'limit',
  'source',
];

function readRest(
  where: string,
  field: string,
  rest: RestAngles | undefined,
  links: number,
  sign: number,
): Float64Array {
  const bounds = { min: -Math.PI, max: Math.PI, unit: 'rad' };
  if (rest === undefined || typeof rest === 'number') {
    if (rest !== undefined) refuseAny(where, [numberProblem(field, rest, bounds)]);
    return new Float64Array(links).fill(sign * (rest ?? 0));
  }
  if (!Array.isArray(rest) || rest.length !== links) {
    const rule = `must be one angle or ${links}, one for each link`;
    throw errorOf(where, { field, rule, got: show(rest), kind: 'type' });
  }
  refuseAny(
    where,
    rest.map((x, i) => numberProblem(`${field}[${i}]`, x, bounds)),
  );
  return Float64Array.from(rest, (x) => sign * x);
}

/** Checks a strand and completes it. */
export function readStrandPart(where: string, part: StrandPart, more: readonly string[] = []): StrandSpec {
  refuseAny(where, [partProblem(part, [...FIELDS, ...more])]);
  const {
    length,
    links = 6,
    taper = 1,
    tipMass = 0,
    frequencyHz,
    dampingRatio,
    dampedBy = 'parent',
    limit,
  } = part;
  const rest = part.rest ?? {};
  refuseAny(where, [
    numberProblem('part.length', length, { above: 0, max: 1000, unit: 'm' }),
    numberProblem('part.links', links, { min: 1, max: MOST_LINKS, whole: true }),
    numberProblem('part.taper', taper, { min: 0.01, max: 100 }),
    numberProblem('part.tipMass', tipMass, { min: 0, max: 1000 }),
    frequencyHz === undefined
      ? undefined
      : numberProblem('part.frequencyHz', frequencyHz, { above: 0, max: 1000, unit: 'Hz' }),
    numberProblem('part.dampingRatio', dampingRatio, { min: 0, max: 20 }),
    choiceProblem('part.dampedBy', dampedBy, ['parent', 'air']),
    limit === undefined
      ? undefined
      : numberProblem('part.limit', limit, { above: 0, max: Math.PI, unit: 'rad' }),
    isRecord(rest) ? recordProblem('part.rest', rest, ['pitch', 'roll']) : recordProblem('part.rest', rest),
  ]);
  return {
    length,
    links,
    taper,
    tipMass,
    frequencyHz,
    zeta: dampingRatio,
    air: dampedBy === 'air',
    rest: {
      forward: readRest(where, 'part.rest.pitch', rest.pitch, links, -1),
      side: readRest(where, 'part.rest.roll', rest.roll, links, 1),
    },
    limit: limit ?? Number.POSITIVE_INFINITY,
  };
}
