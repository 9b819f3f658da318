/** The bars for keying whole walks, on planned walks at 24 fps with keys on whole frames. */
import { describe, expect, it } from 'vitest';
import { fitCurve } from '../../src/curves/index.js';
import { planWalk } from '../../src/gait/plan-walk.js';
import { pathOf } from '../../src/gait/root.js';
import { snapToFrames } from '../../src/gait/snap-to-frames.js';

const STANDARD_GRAVITY = 9.80665;
const load = { weight: 0.01 / STANDARD_GRAVITY };
const frames = { fps: 24 };

const walks = [
  ...(['slow', 'ordinary', 'brisk'] as const).map((pace) => planWalk({ pace })),
  ...[12, 13, 14, 16].flatMap((framesPerStep) =>
    [0, 1].map((poseTiming) => planWalk({ pace: { framesPerStep, fps: 24 }, poseTiming })),
  ),
].map((walk) => snapToFrames(walk, frames));

describe('a walk keyed on whole frames', () => {
  it.each([
    { keys: 2, height: 0.3, bodyWeights: 0.055, forward: 0.1 },
    { keys: 3, height: 0.11, bodyWeights: 0.027, forward: 0.04 },
    { keys: 4, height: 0.05, bodyWeights: 0.012, forward: 0.02 },
  ])(
    'with $keys keys a step stays within $height mm and $bodyWeights BW',
    ({ keys, height, bodyWeights, forward }) => {
      for (const walk of walks) {
        const path = pathOf(walk, 'centreOfMass');
        const up = fitCurve(path.height, { keyCount: 2 * keys, frames, load }).error;
        expect(1e3 * up.value.max).toBeLessThanOrEqual(height);
        expect(up.load!.rms / STANDARD_GRAVITY).toBeLessThanOrEqual(bodyWeights);
        if (keys === 4) expect(up.jump!.max / STANDARD_GRAVITY).toBeLessThanOrEqual(0.1);
        const along = fitCurve(path.forward, { keyCount: 2 * keys, frames, load }).error;
        expect(1e3 * along.value.max).toBeLessThanOrEqual(forward);
      }
    },
  );

  it('with the four pose frames forced stays within 0.35 mm', () => {
    for (const walk of walks) {
      const step = Math.round(walk.pace.strideTime * 24) / 2;
      const poses = [0, 0.25, 0.5, 0.75].map((share) => Math.round(share * step) / 24);
      const keysAt = [...poses, ...poses.map((t) => t + step / 24)];
      const { error } = fitCurve(pathOf(walk, 'centreOfMass').height, { keyCount: 8, frames, load, keysAt });
      expect(1e3 * error.value.max).toBeLessThanOrEqual(0.35);
    }
  });
});
