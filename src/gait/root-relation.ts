import type { Series } from '../curves/series.js';
import { COEFFICIENTS, measuredSpeed } from './coefficients.js';
import { PROJECTION_SAMPLES, sampleOnGrid } from './fourier.js';
import type { Note } from './note.js';
import { aheadOfPressure } from './pivot.js';
import { wrapPhase } from './share.js';
import type { Body, Channels, Pivot, RootRelation, Sides, Stance } from './walk.js';

/** Half the distance between the hip joints over leg length. From memory: about 0.17 m apart at 0.90 m. */
const HALF_HIPS = 0.095;

/** The root never sinks below this many leg lengths, however long the steps. Common practice, no source. */
const LOWEST = 0.4;

/** How far full crouch lowers the root, in leg lengths. Common practice, no source. */
const CROUCH = 0.25;

/** Height of the standing centre of mass over stature. From memory: 0.55 to 0.57 in adults. */
const CENTRE_PER_STATURE = 0.56;

/** What the root's height follows from. */
export interface RootInput {
  readonly body: Body;
  readonly stance: Sides<Stance>;
  readonly pivot: Pivot;
  readonly strideLength: number;
  /** Whether both halves of the stride are alike. */
  readonly symmetric: boolean;
  /** Dimensionless speed. */
  readonly speed: number;
  /** Path of the centre of mass; only the oscillation of its height is read. */
  readonly centre: Channels<Series>;
  /** How far the knees are bent, in [0, 1]; left out is 0. */
  readonly crouch?: number;
}

const heights = new Float64Array(PROJECTION_SAMPLES);
const lead = new Float64Array(PROJECTION_SAMPLES);
const aside = new Float64Array(PROJECTION_SAMPLES);

/**
 * The root as high as the legs reach: the greatest mean height at which no standing leg has to be longer,
 * from hip joint to centre of pressure, than it is. With a note where the steps are too long for that and
 * the root would sink below 0.4 leg lengths.
 */
export function relateRoot(input: RootInput, notes: Note[]): RootRelation {
  const { body, stance, pivot, strideLength, centre, symmetric } = input;
  const { legLength } = body;
  const rise = COEFFICIENTS.rootRise.base + COEFFICIENTS.rootRise.growth * measuredSpeed(input.speed);
  sampleOnGrid(centre.height, heights);
  // Relative to even progress, which is the drift.
  sampleOnGrid(centre.forward, lead);
  sampleOnGrid(centre.side, aside);
  let height = Number.POSITIVE_INFINITY;
  let longest = 0;
  const count = symmetric ? PROJECTION_SAMPLES / 2 : PROJECTION_SAMPLES;
  for (let i = 0; i < count; i++) {
    const phase = i / PROJECTION_SAMPLES;
    const bob = rise * (heights[i] - centre.height.mean);
    for (const side of ['left', 'right'] as const) {
      const foot = stance[side];
      if (wrapPhase(phase - foot.contact) >= foot.fraction) continue;
      const along = aheadOfPressure(foot, pivot, phase, strideLength) + lead[i];
      const hip = (side === 'left' ? HALF_HIPS : -HALF_HIPS) * legLength;
      const across = aside[i] + hip - foot.side;
      const flat = Math.sqrt(along * along + across * across);
      longest = Math.max(longest, flat);
      const reach = Math.sqrt(Math.max(0, legLength * legLength - flat * flat));
      height = Math.min(height, reach - bob);
    }
  }
  if (height < LOWEST * legLength) {
    notes.push({
      code: 'legs-overreach',
      text: `The legs are too short for these steps: a foot is ${longest.toFixed(3)} m from under the hip.`,
      values: { distance: longest, legLength },
    });
    height = LOWEST * legLength;
  }
  if (input.crouch) height = Math.max(LOWEST * legLength, height - CROUCH * input.crouch * legLength);
  return { rise, height };
}

/** Mean height of the walking centre of mass in m: as far above the root as when standing. */
export function centreHeight(body: Body, rootHeight: number): number {
  const above = CENTRE_PER_STATURE * body.stature - body.legLength;
  return rootHeight + above;
}
