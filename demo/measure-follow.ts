import { planWalk, readMotion, type WalkSpec } from '../src/gait/index.js';
import {
  type BouncePart,
  followBounce,
  followStrand,
  type StrandPart,
  trackValue,
} from '../src/secondary/index.js';

/** One line over a stride, and how far it goes. */
export interface Swing {
  /** Over phase, 0…1, both ends. */
  readonly values: readonly number[];
  /** Highest less lowest. */
  readonly range: number;
}

/** A walk and what its belly and hair make of it. */
export interface Followed {
  readonly name: string;
  /** In m/s. */
  readonly speed: number;
  /** Load of both feet in BW. */
  readonly load: Swing;
  /** Belly against the hips, up, in cm. */
  readonly belly: Swing;
  /** Tip of the hair against the head, forwards, in cm. */
  readonly hair: Swing;
}

const SAMPLES = 240;

function swingOf(valueAt: (phase: number) => number): Swing {
  const values = Array.from({ length: SAMPLES + 1 }, (_, i) => valueAt(i / SAMPLES));
  return { values, range: Math.max(...values) - Math.min(...values) };
}

/** Load, belly and hair of one walk over a stride. */
export function measureFollow(
  name: string,
  spec: WalkSpec,
  parts: { readonly belly: BouncePart; readonly hair: StrandPart },
): Followed {
  const walk = planWalk(spec);
  const period = walk.pace.strideTime;
  const { sampleForces } = readMotion(walk);
  const forces = new Float64Array(6);
  const { height } = followBounce(walk, parts.belly).tracks;
  const { links, lengths } = followStrand(walk, parts.hair, { space: 'world' });
  const tipAt = (t: number): number =>
    -links.reduce((sum, { pitch }, i) => sum + lengths[i] * Math.sin(trackValue(pitch, t)), 0);
  return {
    name,
    speed: walk.pace.speed,
    load: swingOf((phase) => {
      sampleForces(phase * period, forces);
      return forces[0] + forces[3];
    }),
    belly: swingOf((phase) => 100 * trackValue(height, phase * period)),
    hair: swingOf((phase) => 100 * tipAt(phase * period)),
  };
}
