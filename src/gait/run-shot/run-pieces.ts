import type { PartedPath } from '../run/parted-path.js';
import type { Run } from '../run/run.js';
import type { LinePoint } from '../shot/centre-line.js';
import type { Plant } from '../shot/shot.js';
import type { ChangeStep } from './best-step.js';
import type { AxisState } from './change-step.js';
import { addPiece, type GrowingShot } from './join.js';
import type { Joint } from './joint.js';

/** A run's centre of mass as its n-th foot lands: along from its origin, beside, and above the floor. */
export function stateAt({ centre, pace }: Run, n: number): Omit<Joint, 'root'> {
  const stride = Math.floor(n / 2);
  const axis = (path: PartedPath, gain: number): AxisState => {
    const { powers, span } = path.parts[2 * (n % 2)];
    return { place: powers[0] + stride * gain, velocity: powers[1] / span, force: 0 };
  };
  return {
    along: axis(centre.forward, pace.strideLength),
    beside: axis(centre.side, 0),
    height: axis(centre.height, 0),
  };
}

/** Adds a step between the gaits. */
export function addStep(whole: GrowingShot, end: number, { along, beside, height }: ChangeStep): void {
  addPiece(whole.along, end, along.place);
  addPiece(whole.beside, end, beside.place);
  addPiece(whole.height, end, height.place);
}

/** Adds a flight from a state as a foot lifts. */
export function addFlight(
  whole: GrowingShot,
  end: number,
  flight: number,
  gravity: number,
  { along, beside, height }: Omit<Joint, 'root'>,
): void {
  addPiece(whole.along, end, [along.place, along.velocity * flight]);
  addPiece(whole.beside, end, [beside.place, beside.velocity * flight]);
  addPiece(whole.height, end, [height.place, height.velocity * flight, (-gravity * flight * flight) / 2]);
}

/** Adds one part of a run: a contact (even) or a flight (odd). */
export function addRunPieces(
  whole: GrowingShot,
  { centre }: Run,
  part: number,
  end: number,
  { along, floor }: { readonly along: number; readonly floor: number },
): void {
  const raised = (path: PartedPath, by: number): number[] =>
    path.parts[part].powers.map((c, i) => (i === 0 ? c + by : c));
  addPiece(whole.along, end, raised(centre.forward, along));
  addPiece(whole.beside, end, raised(centre.side, 0));
  addPiece(whole.height, end, raised(centre.height, floor));
}

/** Where a foot stands that is so far along the line and beside it, in the fixed axes. */
export function plantAt(
  line: (along: number, out: LinePoint) => void,
  along: number,
  beside: number,
  height: number,
): Plant {
  const point: LinePoint = { forward: 0, side: 0, heading: 0, curvature: 0, bend: 0 };
  line(along, point);
  return {
    forward: point.forward - beside * Math.sin(point.heading),
    side: point.side + beside * Math.cos(point.heading),
    height,
    heading: point.heading,
    pitch: 0,
  };
}
