import { BEND, FOOT_NUMBERS, HEIGHT, PITCH } from '../feet/foot-path.js';
import type { FootShape } from '../feet/foot-shape.js';
import type { ShotStep } from '../shot/shot.js';

/** Fractions of a swing at which it is looked at. */
const LOOKS = 60;

/** What a foot may cut a nosing by, in m, and still pass it: rounding of its channels. */
const TOUCH = 1e-4;

/** A swing onto another step of a flight of stairs. */
export interface StairSwing {
  readonly shape: FootShape;
  readonly from: ShotStep;
  readonly to: ShotStep;
  readonly between: readonly ShotStep[];
  /** Writes the foot at fraction `u` and returns how far along its ball is, in m. */
  write(u: number, out: Float64Array): number;
}

/**
 * The least height in m of heel, ball and toe over the steps between two plants; the edge of a step is at the heel of who
 * stands on it from below, and in front of the toes of who goes down from it.
 */
export function leastOverSteps({ shape, from, to, between, write }: StairSwing): number {
  const { heelToBall, ballToToe } = shape;
  const steps = [from, ...between, to];
  const edges = steps.slice(1).map((step, i) => {
    const before = steps[i];
    const down = step.plant.height < before.plant.height;
    return down ? Math.min(before.along + heelToBall + ballToToe, step.along) : step.along;
  });
  const floor = (x: number): number => {
    let height = from.plant.height;
    edges.forEach((edge, i) => {
      if (x - TOUCH >= edge) height = steps[i + 1].plant.height;
    });
    return height;
  };
  const foot = new Float64Array(FOOT_NUMBERS + 3);
  let least = Number.POSITIVE_INFINITY;
  for (let k = 1; k < LOOKS; k++) {
    const ball = write(k / LOOKS, foot);
    const toes = foot[PITCH] - foot[BEND];
    least = Math.min(
      least,
      foot[HEIGHT] + heelToBall * Math.sin(foot[PITCH]) - floor(ball - heelToBall * Math.cos(foot[PITCH])),
      foot[HEIGHT] - floor(ball),
      foot[HEIGHT] - ballToToe * Math.sin(toes) - floor(ball + ballToToe * Math.cos(toes)),
    );
  }
  return least;
}

/** The first of some ways over the steps that touches no edge, or else the one that cuts least. */
export function clearest<T>(ways: readonly T[], leastOf: (way: T) => number): T {
  let [best, least] = [ways[0], Number.NEGATIVE_INFINITY];
  for (const way of ways) {
    const own = leastOf(way);
    if (own > least + TOUCH) [best, least] = [way, own];
    if (own >= -TOUCH) return way;
  }
  return best;
}
