import { describe, expect, it } from 'vitest';
import { createFollower, type LiveFollower } from '../../src/secondary/live.js';

/** Runs of random parts; a million with UNDERFOOT_FUZZ=1000000, which takes some minutes. */
const RUNS = Number(process.env.UNDERFOOT_FUZZ ?? 20_000);
/** Steps in a run. */
const STEPS = 12;

let seed = 11;
const next = (): number => {
  seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
  return seed / 2 ** 32;
};
const pick = <T>(values: readonly T[]): T => values[Math.floor(next() * values.length)];
const power = (low: number, high: number): number => 10 ** (low + (high - low) * next());

/** Damping at the seams, where closed forms go wrong: none, critical to the last place, and past it. */
const zeta = (): number =>
  pick([
    0,
    1,
    2,
    5 * next(),
    1 + 10 ** -Math.ceil(16 * next()),
    1 - 10 ** -Math.ceil(16 * next()),
    power(-9, 1),
  ]);

function anyBounce(): LiveFollower {
  return createFollower({
    frequencyHz: pick([power(-3, 3), 1000]),
    dampingRatio: zeta(),
    dampedBy: pick(['parent', 'air'] as const),
    ...(next() < 0.3 ? { stop: power(-6, 0), rebound: next() } : {}),
  });
}

function anyStrand(): LiveFollower {
  return createFollower({
    length: power(-3, 1),
    links: pick([1, 2, 3]),
    taper: power(-2, 2),
    tipMass: pick([0, power(-3, 3)]),
    dampingRatio: zeta(),
    dampedBy: pick(['parent', 'air'] as const),
    ...(next() < 0.5
      ? { frequencyHz: 1000 * (0.1 + 0.9 * next()), rest: { pitch: 3 * (next() - 0.5) } }
      : {}),
    ...(next() < 0.3 ? { limit: power(-3, 0.4) } : {}),
  });
}

const push = (): number =>
  pick([0, -9.80665, 1e9, -1e9, 400 * (next() - 0.5), power(-300, 9), -power(-300, 9)]);

describe('runs of random parts under adverse drives', () => {
  it.each([
    ['bouncing parts', anyBounce, 1],
    ['strands', anyStrand, 0.1],
  ] as const)(
    '%s: leave no number that is not finite',
    (_, make, share) => {
      let bad = 0;
      const drive = new Float64Array(6);
      for (let run = 0; run < Math.ceil(RUNS * share); run++) {
        const follower = make();
        const out = new Float64Array(follower.size);
        const state = new Float64Array(follower.stateSize);
        for (let step = 0; step < STEPS; step++) {
          for (let i = 0; i < 6; i++) drive[i] = push();
          const dt = pick([0, 1e-5, 1, 1 / 60, power(-5, 0)]);
          const how = next();
          if (how < 0.7) follower.step(dt, drive, out);
          else follower.move(dt, drive, out);
          if (how > 0.95) follower.teleport();
          follower.save(state);
          for (const x of out) if (!Number.isFinite(x)) bad++;
          for (const x of state) if (!Number.isFinite(x)) bad++;
        }
      }
      expect(bad).toBe(0);
    },
    900_000,
  );
});
