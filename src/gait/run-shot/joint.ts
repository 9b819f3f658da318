import type { Shot } from '../shot/shot.js';
import { createShotSampler } from '../shot/shot-sampler.js';
import type { AxisState } from './change-step.js';

/** A walked part where it meets a run: its state along its own line, and what its root has beyond its centre of mass. */
export interface Joint {
  readonly along: AxisState;
  readonly beside: AxisState;
  readonly height: AxisState;
  /** Height of the root beyond the centre's oscillation, in m, and its rate. */
  readonly root: { readonly value: number; readonly rate: number };
}

/** The state of a shot at one of its ends, in m, m/s and BW. */
export function jointOf(shot: Shot, t: number): Joint {
  const { state, read } = createShotSampler(shot);
  read(t);
  const { base, added, rootAdded } = state;
  const axis = (i: number, weight: 0 | 1): AxisState => ({
    place: base[i] + added[i],
    velocity: base[i + 1] + added[i + 1],
    force: (base[i + 2] + added[i + 2]) / shot.gravity + weight,
  });
  return {
    along: axis(0, 0),
    beside: axis(3, 0),
    height: axis(6, 1),
    root: { value: rootAdded[0] - added[6], rate: rootAdded[1] - added[7] },
  };
}
