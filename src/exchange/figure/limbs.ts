import type { Side } from '../../gait/walk.js';
import type { FigureShape } from './figure-shape.js';
import { distance, minus, plus, type Triple, type Turn, turned } from './turns.js';

/** One arm's joints. */
export interface ArmPose {
  readonly shoulder: Triple;
  readonly elbow: Triple;
  readonly hand: Triple;
}

/** How far an arm hangs off the trunk, outwards, over the length of the upper arm. By eye. */
const OFF_TRUNK = 0.1;

/** An arm from its shoulder: pitch from hanging (negative with the hand ahead) and bend of the elbow in rad. */
export function armOf(
  shoulder: Triple,
  side: Side,
  { pitch, elbow }: { readonly pitch: number; readonly elbow: number },
  heading: Turn,
  { upperArm, lowerArm }: FigureShape,
): ArmPose {
  const out = side === 'left' ? OFF_TRUNK : -OFF_TRUNK;
  const limb = (length: number, swing: number, aside: number): Triple =>
    turned(heading, [length * Math.sin(swing), -length * Math.cos(swing), aside]);
  const joint = plus(shoulder, limb(upperArm, -pitch, out * upperArm));
  return { shoulder, elbow: joint, hand: plus(joint, limb(lowerArm, elbow - pitch, 0)) };
}

/** The knee between hip and ankle: ahead of the line between them, in the plane along the way. */
export function kneeOf(hip: Triple, ankle: Triple, thigh: number, shin: number, ahead: Triple): Triple {
  const d = distance(hip, ankle);
  const along = (thigh * thigh - shin * shin + d * d) / (2 * d);
  const out = Math.sqrt(Math.max(0, thigh * thigh - along * along));
  const line = minus(ankle, hip).map((x) => x / d);
  // What of the way ahead is perpendicular to the line.
  const share = line[0] * ahead[0] + line[1] * ahead[1] + line[2] * ahead[2];
  const lean = ahead.map((x, i) => x - share * line[i]);
  const length = Math.hypot(...lean) || 1;
  const at = (i: number): number => hip[i] + along * line[i] + (out * lean[i]) / length;
  return [at(0), at(1), at(2)];
}
