import { describe, expect, it } from 'vitest';
import { evaluateJet } from '../../src/curves/evaluate.js';
import type { Series } from '../../src/curves/series.js';
import { planWalk } from '../../src/gait/plan-walk.js';
import { followCloth } from '../../src/secondary/cloth.js';
import { sampleTrack, trackValue } from '../../src/secondary/follower-track.js';
import { followStrand } from '../../src/secondary/strand.js';
import type { StrandPart } from '../../src/secondary/strand-part.js';
import { assertClose } from '../support/assert-close.js';
import { accelerationOf, bob, CROOKED } from './drivers.js';
import { solveOde } from './solve-ode.js';

// The bar for linear loops, as a part of the answer's size.
const LINEAR = 1e-8;

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

/** The strand that a cloth's strands are. */
const strandOf = ({
  length,
  links,
  dampingRatio,
  dampedBy,
}: Pick<StrandPart, 'length' | 'links' | 'dampingRatio' | 'dampedBy'>) => ({
  length,
  links,
  dampingRatio,
  ...(dampedBy ? { dampedBy } : {}),
});

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
  it('is on the loop of an independent solver, coupled, flared and felt', () => {
    // Rods of one link each, from Lagrange's equations; neighbours pull with κ times the difference of bends.
    const [l, hz, zeta, flare, ripple, count] = [0.5, 1.4, 0.2, 0.4, 2.5, 5];
    const part = {
      length: l,
      links: 1,
      dampingRatio: zeta,
      strands: count,
      ring: true,
      flare,
      frequencyHz: hz,
      rippleHz: ripple,
    };
    const side: Series = { period: 1.1, mean: 0, drift: 0, cos: [0.012, 0, 0.002], sin: [0.006, 0.003, 0] };
    const { strands, residual } = followCloth({ height: CROOKED, side }, part);
    expect(residual).toBeLessThan(1e-10);
    const omega = 2 * Math.PI * hz;
    const kappa = (2 * Math.PI * ripple) ** 2 / 4;
    const rest = Array.from({ length: count }, (_, s) => flare * Math.sin((2 * Math.PI * s) / count));
    const f = (t: number, y: number[]): number[] => {
      const down = accelerationOf(CROOKED, t);
      const across = accelerationOf(side, t);
      const x = y.slice(0, count);
      const v = y.slice(count);
      const force = x.map((bend, s) => {
        const [sin, cos] = [Math.sin(rest[s]), Math.cos(rest[s])];
        const felt = (1.5 / l) * (down * (sin + cos * bend) + across * (cos - sin * bend));
        const pull = kappa * (x[(s + 1) % count] + x[(s + count - 1) % count] - 2 * bend);
        return -2 * zeta * omega * v[s] - omega * omega * bend - felt + pull;
      });
      return [...v, ...force];
    };
    const out = new Float64Array(3);
    const stateAt = (t: number): number[] => {
      const jets = strands.map(([{ roll }]) => {
        sampleTrack(roll, t, out);
        return [out[0], out[1]];
      });
      return [...jets.map(([x]) => x), ...jets.map(([, v]) => v)];
    };
    const size = Math.max(...Array.from({ length: 40 }, (_, i) => Math.abs(stateAt(i * 0.0275)[0])));
    for (const part of [0.4, 1]) {
      const want = stateAt(part * 1.1);
      for (const [i, x] of solveOde(f, 0, stateAt(0), part * 1.1).entries()) {
        assertClose(want[i], x, { abs: (i < count ? 1 : 2 * omega) * LINEAR * size }, `number ${i}`);
      }
    }
  });

  it.each(['parent', 'air'] as const)(
    'stepped beside a bar that it never touches comes to its exact loop, damped by the %s',
    (dampedBy) => {
      const worn = { ...SKIRT, dampedBy };
      const exact = followCloth(walk, worn);
      expect(exact.residual).toBeLessThan(1e-10);
      expect('cos' in exact.strands[0][0].pitch).toBe(true);
      const far = { height: 0, forward: 50, side: 0 };
      const gap = (steps: number): number => {
        const stepped = followCloth(walk, worn, {
          steps,
          obstacles: [{ radius: 0.1, top: far, bottom: far }],
        });
        expect(stepped.residual).toBeLessThan(1e-8);
        return Math.max(
          ...stepped.strands.flatMap((strand, s) =>
            strand.map(({ pitch }, i) =>
              Math.abs(trackValue(pitch, 0) - trackValue(exact.strands[s][i].pitch, 0)),
            ),
          ),
        );
      };
      const [coarse, fine] = [gap(240), gap(480)];
      expect(fine).toBeLessThan(0.3 * coarse);
      expect(fine).toBeLessThan(1e-4);
    },
  );

  it('says where a small sway grows by itself', () => {
    // Source: Mathieu's equation, first band about twice the own frequency, as for a ponytail.
    const hung = { length: 0.37, links: 1, dampingRatio: 0.02, strands: 3, rippleHz: 0 };
    const own = Math.sqrt((3 * 9.80665) / (2 * 0.37)) / (2 * Math.PI);
    const depth = 0.2;
    const bobAt = (hz: number) => bob(hz, (depth * 9.80665) / (2 * Math.PI * hz) ** 2);
    const inside = followCloth({ height: bobAt(2 * own) }, hung);
    const one = followStrand({ height: bobAt(2 * own) }, strandOf(hung), { model: 'small' });
    expect(inside.notes.map(({ code }) => code)).toContain('sways-by-itself');
    // Both watch the same multiplier, one by a power of the map and one by its square.
    assertClose(inside.growth ?? 0, one.growth?.roll ?? 1, { rel: 1e-3 });
    const outside = followCloth({ height: bobAt(2.6 * own) }, hung);
    expect(outside.growth).toBeLessThan(1);
    expect(outside.notes).toEqual([]);
  });

  it('comes as keys with stated error', () => {
    const { strands, keyed } = followCloth(walk, { ...SKIRT, strands: 3, links: 2 }, { keys: { fps: 24 } });
    const fit = keyed?.[1][1].pitch;
    expect(fit).toBeDefined();
    if (!fit) return;
    let worst = 0;
    for (let i = 0; i < 2000; i++) {
      const t = (i / 2000) * walk.pace.strideTime;
      worst = Math.max(worst, Math.abs(evaluateJet(fit.curve, t).value - trackValue(strands[1][1].pitch, t)));
    }
    expect(worst).toBeLessThanOrEqual(fit.error.value.max * 1.02);
  });

  it('is mirrored left and right half a stride apart', () => {
    const { strands } = followCloth(walk, SKIRT);
    const half = walk.pace.strideTime / 2;
    for (let s = 1; s < 4; s++) {
      const [left, right] = [strands[s][2], strands[8 - s][2]];
      assertClose(trackValue(left.pitch, 0), trackValue(right.pitch, half), { abs: 1e-9 });
      assertClose(trackValue(left.roll, 0), -trackValue(right.roll, half), { abs: 1e-9 });
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
    const cloth = followCloth({ side, height }, { ...hung, strands: 3, rippleHz: 0 });
    const one = followStrand({ side, height }, hung, { model: 'small' });
    for (let i = 0; i < 4; i++) {
      assertClose(trackValue(cloth.strands[1][i].roll, 0.3), trackValue(one.links[i].roll, 0.3), {
        abs: 1e-12,
      });
    }
  });

  it('hangs in the wind of steady travel by the angle that a slack chain does', () => {
    const flag = { length: 0.4, links: 3, dampingRatio: 0.5, dampedBy: 'air', strands: 2 } as const;
    const forward: Series = { period: 1, mean: 0, drift: 1.5, cos: [1e-6], sin: [0] };
    const { strands } = followCloth({ forward }, flag);
    const { links } = followStrand({ forward }, strandOf(flag), { model: 'full' });
    const lean = (tracks: readonly { pitch: Parameters<typeof trackValue>[0] }[]) =>
      tracks.reduce((sum, { pitch }) => sum + trackValue(pitch, 0), 0);
    // atan(2ζω v / g) for both: no small angle.
    expect(lean(links)).toBeGreaterThan(0.4);
    assertClose(lean(strands[1]), lean(links), { abs: 1e-6 });
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
