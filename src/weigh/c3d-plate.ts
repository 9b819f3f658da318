import type { Triple } from './raw-plate.js';
import { refuse } from './refuse.js';

/** One force platform of a C3D file with its channels, lengths already in m. */
export interface PlateSource {
  readonly name: string;
  readonly type: 1 | 2 | 3 | 4;
  /** Channels in the order of the type. */
  readonly signals: readonly Float64Array[];
  /** Four corners in the room, in the order of the plate's quadrants: +x +y, −x +y, −x −y, +x −y. */
  readonly corners: readonly number[];
  /** From the sensors to the middle of the surface, in the plate's axes; for type 3 half distances of the sensors. */
  readonly origin: readonly number[];
  /** 6 × 6, column by column, for type 4. */
  readonly calibration?: readonly number[];
  /** Newtons in a unit of force. */
  readonly newtons: number;
  /** Metres in a unit of length. */
  readonly metres: number;
  /** Metres in the length of a unit of moment. */
  readonly momentMetres: number;
}

/** Least vertical force in N that a centre of pressure is worked out from. */
const LEAST_LOAD = 1;

/**
 * Force in N and centre of pressure in m in the room's axes.
 *
 * Channels by type (C3D user guide, FORCE_PLATFORM): 1: Fx Fy Fz Px Py Tz; 2 and 4: Fx Fy Fz Mx My Mz about
 * the sensors, 4 after its calibration matrix; 3: Fx12 Fx34 Fy14 Fy23 Fz1 Fz2 Fz3 Fz4 from corner sensors.
 * Moments are carried to the surface by the origin o as M + F × o; then the centre of pressure is
 * x = −My/Fz, y = Mx/Fz.
 */
export function plateForces(
  where: string,
  source: PlateSource,
): { force: Triple<Float64Array>; pressure: Triple<Float64Array> } {
  const { axes, centre } = plateFrame(where, source);
  const count = source.signals[0].length;
  const force: Triple<Float64Array> = [
    new Float64Array(count),
    new Float64Array(count),
    new Float64Array(count),
  ];
  const pressure: Triple<Float64Array> = [
    new Float64Array(count),
    new Float64Array(count),
    new Float64Array(count),
  ];
  const local = new Float64Array(5);
  for (let i = 0; i < count; i++) {
    readLocal(source, i, local);
    for (let axis = 0; axis < 3; axis++) {
      const [x, y, z] = [axes[0][axis], axes[1][axis], axes[2][axis]];
      force[axis][i] = x * local[0] + y * local[1] + z * local[2];
      pressure[axis][i] = centre[axis] + x * local[3] + y * local[4];
    }
  }
  return { force, pressure };
}

/** Writes Fx, Fy, Fz in N and the centre of pressure in m in the plate's axes. */
function readLocal(source: PlateSource, i: number, out: Float64Array): void {
  const { type, signals, origin, newtons, metres, momentMetres } = source;
  const at = (channel: number): number => signals[channel][i];
  if (type === 1) {
    for (let k = 0; k < 3; k++) out[k] = at(k) * newtons;
    out[3] = at(3) * metres;
    out[4] = at(4) * metres;
    return;
  }
  let [mx, my] = [0, 0];
  if (type === 3) {
    const [a, b] = origin;
    const corner = [at(4), at(5), at(6), at(7)].map((x) => x * newtons);
    out[0] = (at(0) + at(1)) * newtons;
    out[1] = (at(2) + at(3)) * newtons;
    out[2] = corner[0] + corner[1] + corner[2] + corner[3];
    mx = b * (corner[0] + corner[1] - corner[2] - corner[3]) + out[1] * origin[2];
    my = a * (corner[1] + corner[2] - corner[0] - corner[3]) - out[0] * origin[2];
  } else {
    const read = (row: number): number => {
      if (!source.calibration) return at(row);
      let sum = 0;
      for (let k = 0; k < 6; k++) sum += source.calibration[6 * k + row] * at(k);
      return sum;
    };
    for (let k = 0; k < 3; k++) out[k] = read(k) * newtons;
    mx = read(3) * newtons * momentMetres + out[1] * origin[2] - out[2] * origin[1];
    my = read(4) * newtons * momentMetres + out[2] * origin[0] - out[0] * origin[2];
  }
  const loaded = Math.abs(out[2]) >= LEAST_LOAD;
  out[3] = loaded ? -my / out[2] : 0;
  out[4] = loaded ? mx / out[2] : 0;
}

/** The plate's axes in the room and the middle of its surface, from its corners. */
function plateFrame(
  where: string,
  source: PlateSource,
): { axes: Triple<Triple<number>>; centre: Triple<number> } {
  const corner = (k: number): number[] => source.corners.slice(3 * k, 3 * k + 3) as number[];
  const [c1, c2, c3, c4] = [corner(0), corner(1), corner(2), corner(3)];
  const along = c1.map((x, i) => x - c2[i] + c4[i] - c3[i]) as unknown as Triple<number>;
  const across = c1.map((x, i) => x - c4[i] + c2[i] - c3[i]) as unknown as Triple<number>;
  const down = cross(along, across);
  const size = Math.hypot(...along) * Math.hypot(...across);
  // A surface that is a line has no axes.
  if (!(size > 0 && Math.hypot(...down) > 1e-3 * size)) {
    refuse(where, `corners of ${source.name}`, 'must span a surface', source.corners.join(' '));
  }
  const x = unit(along);
  const z = unit(down);
  const centre = c1.map((value, i) => (value + c2[i] + c3[i] + c4[i]) / 4) as unknown as Triple<number>;
  return { axes: [x, cross(z, x), z], centre };
}

function cross(a: Triple<number>, b: Triple<number>): Triple<number> {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

function unit(a: Triple<number>): Triple<number> {
  const length = Math.hypot(...a);
  return [a[0] / length, a[1] / length, a[2] / length];
}
