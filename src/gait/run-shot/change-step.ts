import { integratePowers, powersAt } from '../run/parted-path.js';

/** Place, velocity and force over weight along one axis at one time, in m, m/s and BW. */
export interface AxisState {
  readonly place: number;
  readonly velocity: number;
  readonly force: number;
}

/** What the force of one axis begins and ends with, and what is added between; powers of the elapsed fraction. */
interface Shapes {
  /** From 1 to 0, and from 0 to 1, flat at both ends. */
  readonly fade: readonly number[];
  readonly rise: readonly number[];
  /** Two pulses, an early one and a late one, 0 at both ends. */
  readonly early: readonly number[];
  readonly late: readonly number[];
}

/** Into a run the old load is gone soon and the push comes late. Degrees are such that the way has at most 8 powers. */
export const INTO_RUN: Shapes = {
  fade: [1, 0, -3, 2],
  rise: [0, 0, 3, -2],
  early: [0, 1, -2, 1],
  late: [0, 0, 1, -1],
};

/** Out of a run the body is caught early and the walk's load comes late. */
export const OUT_OF_RUN: Shapes = {
  fade: [1, 0, -3, 2],
  rise: [0, 0, 0, 0, 5, -4],
  early: [0, 1, -3, 3, -1],
  late: [0, 0, 0, 1, -1],
};

const sum = (terms: readonly (readonly [number, readonly number[]])[]): number[] => {
  const out = new Array<number>(Math.max(...terms.map(([, powers]) => powers.length))).fill(0);
  for (const [by, powers] of terms) {
    powers.forEach((c, k) => {
      out[k] += by * c;
    });
  }
  return out;
};

/** First and second integral from 0 to 1. */
const areas = (powers: readonly number[]): readonly [number, number] => {
  const first = integratePowers(powers);
  return [powersAt(first, 1), powersAt(integratePowers(first), 1)];
};

/** The force of one axis over a contact, in BW, and the place it leads to, in m; powers of the elapsed fraction. */
export interface AxisStep {
  readonly force: readonly number[];
  readonly place: readonly number[];
}

/**
 * The force that takes one axis from a state to another in a time: it begins and ends with the states' own forces, and
 * two pulses between make up what place and velocity need. Under gravity `weight` is 1, else 0.
 */
export function stepBetween(
  from: AxisState,
  to: AxisState,
  span: number,
  { gravity, weight, shapes }: { readonly gravity: number; readonly weight: 0 | 1; readonly shapes: Shapes },
): AxisStep {
  const given = sum([
    [from.force, shapes.fade],
    [to.force, shapes.rise],
  ]);
  const [e1, e2] = areas(shapes.early);
  const [l1, l2] = areas(shapes.late);
  const [g1, g2] = areas(given);
  const first = (to.velocity - from.velocity) / (gravity * span) + weight - g1;
  const second = (to.place - from.place - from.velocity * span) / (gravity * span * span) + weight / 2 - g2;
  const det = e1 * l2 - l1 * e2;
  const early = (first * l2 - l1 * second) / det;
  const late = (e1 * second - first * e2) / det;
  const force = sum([
    [1, given],
    [early, shapes.early],
    [late, shapes.late],
  ]);
  const fall = force.map((c, k) => (k === 0 ? c - weight : c));
  const way = integratePowers(integratePowers(fall)).map((c) => c * gravity * span * span);
  way[0] = from.place;
  way[1] = from.velocity * span;
  return { force, place: way };
}

/** Places over a step at which its load is looked at. */
const LOOKS = 64;

/** Least load of a step in BW, and the largest horizontal over vertical force while there is load to speak of. */
export function judgeStep(
  height: AxisStep,
  forward: AxisStep,
): { readonly least: number; readonly most: number; readonly grip: number } {
  let least = Number.POSITIVE_INFINITY;
  let most = 0;
  let grip = 0;
  for (let i = 0; i <= LOOKS; i++) {
    const u = i / LOOKS;
    const load = powersAt(height.force, u);
    least = Math.min(least, load);
    most = Math.max(most, load);
    if (load > 0.2) grip = Math.max(grip, Math.abs(powersAt(forward.force, u)) / load);
  }
  return { least, most, grip };
}
