/**
 * Recorded runs of live followers, and what they came to: read by Node and, bundled, by a browser. Only
 * whole-number arithmetic feeds them, so that nothing but the followers can differ.
 */
import { createFollower } from '../../src/secondary/live.js';

/** One part of each kind, and a strand whose rest is off plumb and whose air drags. */
export const RECORDED_PARTS = {
  BELLY: { frequencyHz: { height: 3, forward: 2.2 }, dampingRatio: 0.25 },
  STOPPED: { frequencyHz: 3, dampingRatio: 0.1, stop: 0.01, rebound: 0.4 },
  HEAVY: { frequencyHz: 2, dampingRatio: 4 },
  CRITICAL: { frequencyHz: 2, dampingRatio: 1 },
  HAIR: { length: 0.3, links: 6, dampingRatio: 0.2 },
  TAIL: {
    length: 0.5,
    links: 8,
    taper: 0.2,
    dampingRatio: 0.3,
    dampedBy: 'air',
    frequencyHz: 1.8,
    rest: { pitch: 0.8 },
  },
  SKIRT: {
    length: 0.5,
    links: 3,
    dampingRatio: 0.3,
    strands: 6,
    ring: true,
    flare: 0.3,
    frequencyHz: 1.4,
  },
} as const;

/** What the runs came to on Node 20, as 64 bits each. */
export const RECORDED: Readonly<Record<keyof typeof RECORDED_PARTS, string>> = {
  BELLY: '21af8067fab1d825',
  STOPPED: '3dbd4caef023c6cc',
  HEAVY: 'a2b77d3603341ccc',
  CRITICAL: 'efaf2a8cf65683fe',
  HAIR: '86eabb5f7be94071',
  TAIL: 'cb804fe938816dfb',
  SKIRT: 'dccb423eb8c480f0',
};

/** 600 steps of three lengths, some paused, followed by 200 by positions with a teleport in between. */
function run(part: (typeof RECORDED_PARTS)[keyof typeof RECORDED_PARTS]): Float64Array {
  const follower = createFollower(part);
  const out = new Float64Array(follower.size);
  const all = new Float64Array(800 * follower.size);
  let seed = 7;
  const next = (): number => {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    return seed / 2 ** 32 - 0.5;
  };
  for (let i = 0; i < 800; i++) {
    const length = i % 97 === 96 ? 0 : (1 + (i % 3)) / 60;
    if (i < 600) {
      follower.step(length, [8 * next(), 4 * next(), 4 * next(), next(), 1 + next(), next()], out);
    } else {
      if (i === 700) follower.teleport();
      follower.move(length, [0.02 * next(), i / 50 + 0.01 * next(), 0.01 * next()], out);
    }
    all.set(out, i * follower.size);
  }
  return all;
}

/** Two 32-bit FNV-1a sums over the bytes, from two starts. */
function digest(bytes: Uint8Array): string {
  let a = 0x811c9dc5;
  let b = 0x01234567;
  for (const byte of bytes) {
    a = Math.imul(a ^ byte, 0x01000193);
    b = Math.imul(b ^ byte, 0x01000193);
  }
  return [a, b].map((x) => (x >>> 0).toString(16).padStart(8, '0')).join('');
}

/** What the recorded runs come to here. */
export function digestRuns(): Record<string, string> {
  return Object.fromEntries(
    Object.entries(RECORDED_PARTS).map(([name, part]) => [name, digest(new Uint8Array(run(part).buffer))]),
  );
}
