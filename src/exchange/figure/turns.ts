/** A point or direction: forward, height, side (to the left), in m. */
export type Triple = readonly [number, number, number];

/** A rotation as a unit quaternion x, y, z, w about glTF's axes: x to the left, y up, z forward. */
export type Turn = readonly [number, number, number, number];

/** No turn at all. */
export const UNTURNED: Turn = [0, 0, 0, 1];

/**
 * The turn of a part in rad: first its pitch (front down), then its roll (left side up), then its heading
 * (to the left), each about the axes of travel.
 */
export function turnOf(heading: number, roll: number, pitch: number): Turn {
  return multiply(about(1, heading), multiply(about(2, roll), about(0, pitch)));
}

function about(axis: 0 | 1 | 2, angle: number): Turn {
  const turn: [number, number, number, number] = [0, 0, 0, Math.cos(angle / 2)];
  turn[axis] = Math.sin(angle / 2);
  return turn;
}

/** The first turn after the second. */
export function multiply([ax, ay, az, aw]: Turn, [bx, by, bz, bw]: Turn): Turn {
  return [
    aw * bx + ax * bw + ay * bz - az * by,
    aw * by - ax * bz + ay * bw + az * bx,
    aw * bz + ax * by - ay * bx + az * bw,
    aw * bw - ax * bx - ay * by - az * bz,
  ];
}

/** The turn back. */
export function inverse([x, y, z, w]: Turn): Turn {
  return [-x, -y, -z, w];
}

/** The second turn seen from within the first: first⁻¹ × second. */
export function turnWithin(outer: Turn, inner: Turn): Turn {
  return multiply(inverse(outer), inner);
}

/** A direction turned. */
export function turned([x, y, z, w]: Turn, [forward, height, side]: Triple): Triple {
  // v + 2 q × (q × v + w v), in x = side, y = height, z = forward.
  const [cx, cy, cz] = [
    y * forward - z * height + w * side,
    z * side - x * forward + w * height,
    x * height - y * side + w * forward,
  ];
  return [forward + 2 * (x * cy - y * cx), height + 2 * (z * cx - x * cz), side + 2 * (y * cz - z * cy)];
}

/** The sum of two triples. */
export function plus(a: Triple, b: Triple): Triple {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
}

/** The difference of two triples. */
export function minus(a: Triple, b: Triple): Triple {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

/** The distance of two points in m. */
export function distance(a: Triple, b: Triple): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

/**
 * The turn that lays a limb, hanging down the y axis with its front along z, along the line from one joint
 * to the next, its left side kept as near to x as that allows.
 */
export function turnLimb(from: Triple, to: Triple): Turn {
  const [upX, upY, upZ] = unit([from[2] - to[2], from[1] - to[1], from[0] - to[0]]);
  const [leftX, leftY, leftZ] = unit([1 - upX * upX, -upX * upY, -upX * upZ]);
  const front = [leftY * upZ - leftZ * upY, leftZ * upX - leftX * upZ, leftX * upY - leftY * upX];
  return fromColumns([leftX, leftY, leftZ], [upX, upY, upZ], front);
}

function unit(v: readonly number[]): [number, number, number] {
  const length = Math.hypot(v[0], v[1], v[2]) || 1;
  return [v[0] / length, v[1] / length, v[2] / length];
}

/** From an orthonormal basis; limbs never turn by more than half a turn, so w stays positive. */
function fromColumns(x: readonly number[], y: readonly number[], z: readonly number[]): Turn {
  const w = Math.sqrt(Math.max(1e-12, 1 + x[0] + y[1] + z[2])) / 2;
  return [(y[2] - z[1]) / (4 * w), (z[0] - x[2]) / (4 * w), (x[1] - y[0]) / (4 * w), w];
}
