import type { FollowerPart } from '../src/exchange/index.js';
import type { WalkSpec } from '../src/gait/index.js';
import type { BouncePart } from '../src/secondary/index.js';

/** One walk of the demo. */
export interface Role {
  /** Name of the files. */
  readonly file: string;
  readonly name: string;
  readonly spec: WalkSpec;
  /** What bounces on the way. */
  readonly part: { readonly name: string } & BouncePart;
  /** Where it hangs, in m from what it hangs from; before the belly where left out. */
  readonly hangs?: Pick<FollowerPart, 'carrier' | 'at'>;
}

// Invented; tied to still air, since it is the lag behind the hips that is to be seen.
const belly = { name: 'belly', frequencyHz: 2.8, dampingRatio: 0.35, dampedBy: 'air' } as const;

/** The body of the lamplighter. */
export const LAMPLIGHTER = { mass: 72, legLength: 0.9 } as const;

/** A body of the same build, `size` times as tall: mass grows with the cube. */
function grown(size: number) {
  return { mass: LAMPLIGHTER.mass * size ** 3, legLength: LAMPLIGHTER.legLength * size };
}

/** How much slower the parts of a body swing that is `size` times as tall: gravity does not grow with it. */
const slower = (size: number): number => Math.sqrt(size);

/** The harbour: one man at three paces, a porter, a giantess, a child. */
export const CAST: readonly Role[] = [
  {
    file: 'lamplighter-slow',
    name: 'The lamplighter, slow',
    spec: { pace: 'slow', body: LAMPLIGHTER },
    part: belly,
  },
  {
    file: 'lamplighter-ordinary',
    name: 'The lamplighter, ordinary',
    spec: { pace: 'ordinary', body: LAMPLIGHTER },
    part: belly,
  },
  {
    file: 'lamplighter-brisk',
    name: 'The lamplighter, brisk',
    spec: { pace: 'brisk', body: LAMPLIGHTER },
    part: belly,
  },
  {
    file: 'porter',
    name: 'The porter with the sea chest',
    spec: {
      pace: { speed: 0.95 },
      body: { mass: 88, legLength: 0.92 },
      heft: 0.7,
      carry: { mass: 40, where: 'back' },
    },
    part: { name: 'sea chest', frequencyHz: 2.6, dampingRatio: 0.3 },
    hangs: { carrier: 'chest', at: { forward: -0.2, height: -0.2, side: 0 } },
  },
  {
    file: 'giantess',
    name: 'The giantess',
    spec: { pace: 'ordinary', body: grown(2.5), heft: 0.4 },
    part: { ...belly, frequencyHz: 2.8 / slower(2.5) },
  },
  {
    file: 'child',
    name: 'The child on the quay',
    spec: { pace: 'ordinary', body: grown(0.6) },
    part: { name: 'satchel', frequencyHz: 3.6, dampingRatio: 0.3 },
    hangs: { carrier: 'hips', at: { forward: 0, height: 0, side: -0.11 } },
  },
];
