import { describe, expect, it } from 'vitest';
import { planWalk } from '../../src/gait/plan-walk.js';
import { followCloth } from '../../src/secondary/cloth.js';
import { trackValue } from '../../src/secondary/follower-track.js';
import { followStrand } from '../../src/secondary/strand.js';
import { assertClose } from '../support/assert-close.js';

const walk = planWalk({ pace: 'brisk' });
const SKIRT = {
  length: 0.5,
  links: 4,
  dampingRatio: 0.3,
  strands: 8,
  ring: true,
  flare: 0.3,
  frequencyHz: 1.4,
  radius: 0.16,
  tipMass: 0.2,
};

const thigh = (sign: number, reach: number) => ({
  radius: 0.09,
  top: { height: 0, forward: 0, side: sign * 0.09 },
  bottom: {
    height: -0.45,
    forward: { period: walk.pace.strideTime, mean: 0, drift: 0, cos: [sign * reach], sin: [0] },
    side: sign * 0.09,
  },
});

describe('a skirt', () => {
  it('closes, and is the same at half the step to the second order', () => {
    const coarse = followCloth(walk, SKIRT, { steps: 120 });
    const fine = followCloth(walk, SKIRT, { steps: 240 });
    const finest = followCloth(walk, SKIRT, { steps: 480 });
    expect(fine.residual).toBeLessThan(1e-8);
    const gap = (a: typeof fine, b: typeof fine) =>
      Math.max(
        ...a.strands.flatMap((strand, s) =>
          strand.map(({ pitch }, i) => Math.abs(trackValue(pitch, 0) - trackValue(b.strands[s][i].pitch, 0))),
        ),
      );
    expect(gap(fine, finest)).toBeLessThan(0.4 * gap(coarse, fine));
    expect(gap(fine, finest)).toBeLessThan(1e-4);
  });

  it('is mirrored left and right half a stride apart', () => {
    const { strands } = followCloth(walk, SKIRT);
    const half = walk.pace.strideTime / 2;
    for (let s = 1; s < 4; s++) {
      const [left, right] = [strands[s][2], strands[8 - s][2]];
      assertClose(trackValue(left.pitch, 0), trackValue(right.pitch, half), { abs: 1e-5 });
      assertClose(trackValue(left.roll, 0), -trackValue(right.roll, half), { abs: 1e-5 });
    }
  });

  it('stays out of the legs, and swings with them', () => {
    const free = followCloth(walk, SKIRT);
    const legs = [thigh(1, 0.36), thigh(-1, 0.36)];
    const worn = followCloth(walk, SKIRT, { obstacles: legs });
    expect(worn.residual).toBeLessThan(1e-4);
    const depth = (cloth: typeof free): number => {
      let most = 0;
      for (let k = 0; k < 60; k++) {
        const t = (k / 60) * walk.pace.strideTime;
        cloth.strands.forEach((strand, s) => {
          const turn = (2 * Math.PI * s) / 8;
          let [x, y, z] = [0.16 * Math.cos(turn), 0.16 * Math.sin(turn), 0];
          let [f, a] = [0.3 * Math.cos(turn), 0.3 * Math.sin(turn)];
          for (const { pitch, roll } of strand) {
            f -= trackValue(pitch, t);
            a += trackValue(roll, t);
            x += 0.125 * Math.sin(f);
            y += 0.125 * Math.sin(a);
            z -= 0.125 * Math.sqrt(Math.max(0, 1 - Math.sin(f) ** 2 - Math.sin(a) ** 2));
            for (const bar of legs) {
              const bx = trackValue(bar.bottom.forward, t);
              const u = Math.min(1, Math.max(0, (x * bx - z * 0.45) / (bx * bx + 0.45 ** 2)));
              const far = Math.hypot(x - u * bx, y - bar.top.side, z + u * 0.45);
              most = Math.max(most, bar.radius - far);
            }
          }
        });
      }
      return most;
    };
    expect(depth(free)).toBeGreaterThan(0.02);
    // A link's end may still be pushed in a little by the next bar or by its own neighbours within a step.
    expect(depth(worn)).toBeLessThan(0.01);
  });
});

describe('a panel', () => {
  it('without coupling is its strands, each by itself', () => {
    const side = { period: 1.1, mean: 0, drift: 0, cos: [0.01], sin: [0.004] };
    const height = { period: 1.1, mean: 0, drift: 0, cos: [0, 0.012], sin: [0, 0.006] };
    const hung = { length: 0.4, links: 4, dampingRatio: 0.4 };
    const cloth = followCloth({ side, height }, { ...hung, strands: 3, rippleHz: 0 }, { steps: 1920 });
    const one = followStrand({ side, height }, hung, { model: 'small' });
    for (let i = 0; i < 4; i++) {
      assertClose(trackValue(cloth.strands[1][i].roll, 0.3), trackValue(one.links[i].roll, 0.3), {
        abs: 2e-6,
      });
    }
  });

  it('refuses what is no cloth', () => {
    expect(() => followCloth(walk, { ...SKIRT, strands: 1 })).toThrow(
      /part\.strands must be a whole number in \[2, 64\]/,
    );
    expect(() => followCloth(walk, SKIRT, { obstacles: [{ radius: 0 } as never] })).toThrow(
      /obstacles\[0\]\.radius/,
    );
  });
});
