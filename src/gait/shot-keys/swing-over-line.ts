import type { LinePoint } from '../shot/centre-line.js';
import type { ShotStep } from '../shot/shot.js';

/** Value, first and second derivative. */
type Jet = Float64Array;

/**
 * Writes where a ball is in plan and which way its foot points; `travel` and `turn` go from 0 to 1, `swerve` is how far
 * it goes to its left.
 */
export type SwingPlan = (travel: Jet, turn: Jet, swerve: Jet, out: Float64Array, at: SwingPlaces) => void;

/** Where in its output each of the three begins. */
export interface SwingPlaces {
  readonly forward: number;
  readonly side: number;
  readonly heading: number;
}

/**
 * The way of a swinging foot over the floor. Its heel goes evenly along and beside the shot's line and so round the
 * standing foot as the line bends; its heading goes with the line. What a foot turns beyond the line bows its way as
 * an arc of that turn is bowed.
 *
 * @param leaves - how far the ball is in front of where its heel stands, over the floor in m, as the foot leaves
 * @param lands - and as it lands
 */
export function swingOverLine(
  read: (along: number, out: LinePoint) => void,
  from: ShotStep,
  to: ShotStep,
  leaves: number,
  lands: number,
): SwingPlan {
  const point: LinePoint = { forward: 0, side: 0, heading: 0, curvature: 0, bend: 0 };
  const startAt = beyondLine(read, from, point);
  const endAt = beyondLine(read, to, point);
  const along = to.along - from.along;
  const beside = to.beside - from.beside;
  const turns = endAt.heading - startAt.heading;
  const middle = startAt.heading + turns / 2;
  const [ahead, left] = [Math.cos(middle), Math.sin(middle)];
  // An arc is bowed by an eighth of turn times way, and the bow goes by 4·u·(1 − u).
  const bow = turns / 2;
  const off = { forward: endAt.forward - startAt.forward, side: endAt.side - startAt.side };
  const [s, b, bows] = [new Float64Array(3), new Float64Array(3), new Float64Array(3)];
  return (travel, turn, swerve, out, { forward, side, heading }) => {
    const [p, p1, p2] = travel;
    bows[0] = bow * p * (1 - p);
    bows[1] = bow * (1 - 2 * p) * p1;
    bows[2] = bow * ((1 - 2 * p) * p2 - 2 * p1 * p1);
    for (let i = 0; i < 3; i++) {
      s[i] = along * travel[i] + beside * bows[i] - left * swerve[i];
      b[i] = beside * travel[i] - along * bows[i] + ahead * swerve[i];
    }
    s[0] += from.along;
    b[0] += from.beside;
    read(s[0], point);
    const { curvature, bend } = point;
    const [c, n] = [Math.cos(point.heading), Math.sin(point.heading)];
    const [turned, turned2] = [curvature * s[1], curvature * s[2] + bend * s[1] * s[1]];
    // Along and across the line where it is now.
    const [v, w] = [s[1] * (1 - curvature * b[0]), b[1]];
    const v1 = s[2] * (1 - curvature * b[0]) - s[1] * (bend * s[1] * b[0] + curvature * b[1]) - w * turned;
    const w1 = b[2] + v * turned;
    const points = point.heading + startAt.heading + turns * turn[0];
    const rate = turned + turns * turn[1];
    const rate2 = turned2 + turns * turn[2];
    out[heading] = points;
    out[heading + 1] = rate;
    out[heading + 2] = rate2;
    const [hc, hs] = [Math.cos(points), Math.sin(points)];
    const [o, o1, o2] = [leaves + (lands - leaves) * p, (lands - leaves) * p1, (lands - leaves) * p2];
    const [in1, across1] = [o1, o * rate];
    const [in2, across2] = [o2 - o * rate * rate, 2 * o1 * rate + o * rate2];
    out[forward] = point.forward - b[0] * n + startAt.forward + off.forward * p + o * hc;
    out[side] = point.side + b[0] * c + startAt.side + off.side * p + o * hs;
    out[forward + 1] = v * c - w * n + off.forward * p1 + in1 * hc - across1 * hs;
    out[side + 1] = v * n + w * c + off.side * p1 + in1 * hs + across1 * hc;
    out[forward + 2] = v1 * c - w1 * n + off.forward * p2 + in2 * hc - across2 * hs;
    out[side + 2] = v1 * n + w1 * c + off.side * p2 + in2 * hs + across2 * hc;
  };
}

/** What a plant is off from where its places along and beside the line put it. */
function beyondLine(
  read: (along: number, out: LinePoint) => void,
  { along, beside, plant }: ShotStep,
  point: LinePoint,
): { forward: number; side: number; heading: number } {
  read(along, point);
  return {
    forward: plant.forward - (point.forward - beside * Math.sin(point.heading)),
    side: plant.side - (point.side + beside * Math.cos(point.heading)),
    heading: plant.heading - point.heading,
  };
}
