import type { Course } from './lay-nodes.js';
import { changeSteps } from './speed-profile.js';

/** How much of each cycle every node is: changes take a few steps, from the boundary on or up to it. */
export function mixAtNodes({ cycles, stretches }: Course, stepStretch: readonly number[]): number[][] {
  const count = stepStretch.length;
  const pure = (cycle: number): number[] => cycles.map((_, k) => (k === cycle ? 1 : 0));
  const mixes = Array.from({ length: count + 1 }, (_, i) =>
    pure(stretches[stepStretch[Math.max(0, i - 1)]].cycle),
  );
  let end = 0;
  // Steps of a stretch that its own beginning has taken for coming to its pace.
  let taken = 0;
  for (let k = 0; k + 1 < stretches.length; k++) {
    end += stretches[k].steps;
    const [a, b] = [stretches[k].cycle, stretches[k + 1].cycle];
    if (a === b) {
      taken = 0;
      continue;
    }
    const speed = (cycle: number): number => cycles[cycle].pace.dimensionlessSpeed;
    const wanted = changeSteps(speed(a), speed(b));
    const free = stretches[k].steps - taken;
    taken = 0;
    if (stretches[k + 1].turn && speed(b) < speed(a) && free > 0) {
      // Into a turn people slow down before it.
      const early = Math.min(wanted, free);
      for (let j = 1; j <= early; j++) {
        mixes[end - early + j] = cycles.map((_, c) => (c === a ? 1 - j / early : c === b ? j / early : 0));
      }
      continue;
    }
    const steps = Math.min(wanted, stretches[k + 1].steps);
    taken = steps;
    for (let j = 1; j < steps; j++) {
      mixes[end + j] = cycles.map((_, c) => (c === a ? 1 - j / steps : c === b ? j / steps : 0));
    }
  }
  return mixes;
}
