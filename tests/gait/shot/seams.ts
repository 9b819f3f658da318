import type { Shot } from '../../../src/gait/index.js';
import { createShotSampler } from '../../../src/gait/shot/shot-sampler.js';

/** Every time at which something of a shot changes its formula, rising, with its two ends. */
export function seamsOf(shot: Shot): number[] {
  const times = [
    0,
    shot.duration,
    ...[shot.base.along, shot.base.beside, shot.base.height].flatMap((track) => track.times),
    ...(shot.base.turn?.times ?? []),
    ...shot.layers.flatMap(({ phase, weight }) => [...phase.times, ...weight.times]),
    ...crossings(shot),
    ...shot.handOvers.flatMap(({ start, end }) => [start, end]),
    ...shot.steps.flatMap(({ land, lift, roll }) => [land, lift, roll.start, roll.end]),
  ];
  return [...new Set(times)].filter((t) => t >= 0 && t <= shot.duration).sort((a, b) => a - b);
}

/** When the body goes over from one piece of its line to the next, by bisection. */
function crossings(shot: Shot): number[] {
  const sampler = createShotSampler(shot);
  const along = (t: number): number => {
    sampler.read(t);
    return sampler.state.base[0];
  };
  return shot.line.segments
    .flatMap(({ start, length }) => [start, start + length])
    .filter((at) => at > along(0) && at < along(shot.duration))
    .map((at) => {
      let [low, high] = [0, shot.duration];
      for (let i = 0; i < 60; i++) {
        const middle = (low + high) / 2;
        if (along(middle) < at) low = middle;
        else high = middle;
      }
      return high;
    });
}

/** Nodes and weights of the Gauss–Legendre rule of order 10 on [−1, 1] (Abramowitz & Stegun, table 25.4). */
const RULE = [
  [0.1488743389816312, 0.2955242247147529],
  [0.4333953941292472, 0.2692667193099964],
  [0.6794095682990244, 0.219086362515982],
  [0.8650633666889845, 0.1494513491505806],
  [0.9739065285171717, 0.0666713443086881],
];

/** Calls `add` with the times and weights of `parts` rules from one time to another: their weighted sum is the integral. */
export function integrate(
  add: (t: number, weight: number) => void,
  from: number,
  to: number,
  parts: number,
): void {
  const half = (to - from) / (2 * parts);
  for (let p = 0; p < parts; p++) {
    const middle = from + (2 * p + 1) * half;
    for (const [node, weight] of RULE) {
      add(middle - node * half, weight * half);
      add(middle + node * half, weight * half);
    }
  }
}

/** Integral of a function from one time to another, in six rules. */
export function integralOf(f: (t: number) => number, from: number, to: number): number {
  let sum = 0;
  integrate(
    (t, weight) => {
      sum += weight * f(t);
    },
    from,
    to,
    6,
  );
  return sum;
}
