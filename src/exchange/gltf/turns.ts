import type { Triple } from '../figure/pose-figure.js';

/** A rotation as a unit quaternion x, y, z, w. */
export type Turn = readonly [number, number, number, number];

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

/** The second turn seen from within the first: first⁻¹ × second. */
export function turnWithin([ax, ay, az, aw]: Turn, [bx, by, bz, bw]: Turn): Turn {
  const [x, y, z] = [-ax, -ay, -az];
  return [
    aw * bx + x * bw + y * bz - z * by,
    aw * by - x * bz + y * bw + z * bx,
    aw * bz + x * by - y * bx + z * bw,
    aw * bw - x * bx - y * by - z * bz,
  ];
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
