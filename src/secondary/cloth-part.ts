import type { Curve } from '../curves/curve.js';
import type { Series } from '../curves/series.js';
import { numberProblem, refuseAny } from '../internal/check.js';
import { ownSinCos } from './own-math.js';
import { readStrandPart, type StrandPart, type StrandSpec } from './strand-part.js';

/** A skirt, cape, coat-tail, apron or flag: strands coupled side to side. Weight at the hem is `tipMass`. */
export interface ClothPart extends Omit<StrandPart, 'rest'> {
  /** Strands, 2…64. */
  readonly strands: number;
  /** Whether they close to a ring (a skirt) or hang side by side (a panel, from right to left). Default false. */
  readonly ring?: boolean;
  /** Radius of the ring, or half the width of the panel, in m, > 0. Default 0.15. */
  readonly radius?: number;
  /** Frequency in Hz of the quickest ripple from side to side, ≥ 0. Default 3. */
  readonly rippleHz?: number;
  /** How far a ring's strands stand off plumb, outwards, in rad, in [0, 1.2]. Default 0. */
  readonly flare?: number;
  /** How far a panel hangs off plumb, the hem behind, in rad, in [−1.2, 1.2]. Default 0. */
  readonly trail?: number;
}

/** A place relative to the carrier in m: numbers, or paths over the driver's time. */
export interface ObstaclePoint {
  readonly height: number | Curve | Series;
  readonly forward: number | Curve | Series;
  readonly side: number | Curve | Series;
}

/** A round bar that cloth cannot enter, such as a thigh: from its top to its bottom. */
export interface Obstacle {
  readonly radius: number;
  readonly top: ObstaclePoint;
  readonly bottom: ObstaclePoint;
}

/** One strand of a cloth: where it is fixed, and its own spec. */
export interface ClothStrand {
  readonly forward: number;
  readonly side: number;
  readonly spec: StrandSpec;
}

/** A cloth read at a boundary. */
export interface ClothShape {
  readonly strands: readonly ClothStrand[];
  readonly ring: boolean;
  /** Squared angular frequency of coupling to a neighbour, 1/s². */
  readonly coupling: number;
}

/** Sine and cosine of our own, so that live cloth comes out the same on every engine. */
const around = new Float64Array(2);

const FIELDS = ['strands', 'ring', 'radius', 'rippleHz', 'flare', 'trail'];

/** Checks a cloth and lays out its strands. */
export function readClothPart(where: string, part: ClothPart): ClothShape {
  const base = readStrandPart(where, part, FIELDS);
  const { strands, ring = false, radius = 0.15, rippleHz = 3, flare = 0, trail = 0 } = part;
  refuseAny(where, [
    numberProblem('part.strands', strands, { min: 2, max: 64, whole: true }),
    numberProblem('part.radius', radius, { above: 0, unit: 'm' }),
    numberProblem('part.rippleHz', rippleHz, { min: 0, max: 100, unit: 'Hz' }),
    numberProblem('part.flare', flare, { min: 0, max: 1.2, unit: 'rad' }),
    numberProblem('part.trail', trail, { min: -1.2, max: 1.2, unit: 'rad' }),
  ]);
  const links = base.links;
  const laid = Array.from({ length: strands }, (_, s): ClothStrand => {
    // A ring runs from the front over the left; a panel from right to left.
    const turn = (2 * Math.PI * s) / strands;
    ownSinCos(turn, around);
    const [f, across] = ring ? [around[1], around[0]] : [0, (2 * s) / (strands - 1) - 1];
    const rest = {
      forward: new Float64Array(links).fill(ring ? flare * f : -trail),
      side: new Float64Array(links).fill(ring ? flare * across : 0),
    };
    return { forward: radius * f, side: radius * across, spec: { ...base, rest } };
  });
  const ripple = 2 * Math.PI * rippleHz;
  return { strands: laid, ring, coupling: (ripple * ripple) / 4 };
}
