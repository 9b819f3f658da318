import { describe, expect, it } from 'vitest';
import type { Series } from '../../src/curves/series.js';
import { planWalk } from '../../src/gait/plan-walk.js';
import { sampleTrack, trackValue } from '../../src/secondary/follower-track.js';
import { followStrand } from '../../src/secondary/strand.js';
import { assertClose } from '../support/assert-close.js';
import { accelerationOf, bob, CROOKED, velocityOf } from './drivers.js';
import { solveOde } from './solve-ode.js';

// The bars: linear and non-linear loops against an independent solver, of the answer's size.
const LINEAR = 1e-8;
const FULL = 1e-5;
const G = 9.80665;

const SIDEWAYS: Series = { period: 1.1, mean: 0, drift: 0, cos: [0.012, 0, 0.002], sin: [0.006, 0.003, 0] };

const state = (tracks: readonly (Series | unknown)[], t: number): number[] => {
  const out = new Float64Array(3);
  const values: number[] = [];
  const speeds: number[] = [];
  for (const track of tracks) {
    sampleTrack(track as Series, t, out);
    values.push(out[0]);
    speeds.push(out[1]);
  }
  return [...values, ...speeds];
};

const lowestHz = (part: object): number => {
  // The slowest swing, read off what is refused: anything slower than the slack chain.
  try {
    followStrand({ height: CROOKED }, { dampingRatio: 0.1, ...part, frequencyHz: 1e-3 } as never);
  } catch (error) {
    return Number(/>= ([\d.]+) Hz/.exec(String(error))?.[1]);
  }
  return Number.NaN;
};

/** One hinged rod of length l on a moving hinge, full: written from Lagrange's equations, apart from the library. */
const rod = (l: number, zeta: number, air: boolean, full: boolean) => {
  const omega = Math.sqrt((3 * G) / (2 * l));
  return (t: number, [x, v]: number[]): number[] => {
    const drag = 2 * zeta * omega;
    const down = accelerationOf(CROOKED, t) + (air ? drag * velocityOf(CROOKED, t) : 0);
    const across = accelerationOf(SIDEWAYS, t) + (air ? drag * velocityOf(SIDEWAYS, t) : 0);
    const [s, c] = full ? [Math.sin(x), Math.cos(x)] : [x, 1];
    return [v, -drag * v - (1.5 / l) * ((G + down) * s + across * c)];
  };
};

describe('the frequency of a hanging strand', () => {
  it.each([
    [0.15, 1.58],
    [0.2, 1.37],
    [0.3, 1.11],
    [0.4, 0.97],
  ])('of one link of %d m is that of a hanging rod, %d Hz', (length, hz) => {
    // Source: √(3g/2l)/2π, physics; the table rounds to two places.
    assertClose(lowestHz({ length, links: 1 }), hz, { abs: 0.006 });
  });

  it('of many links tends to that of a hanging chain', () => {
    // Source: first zero of J₀, 2.404826 / 2 · √(g/L) (D. Bernoulli 1733; Watson, Bessel functions §1.2).
    const chain = (2.404825557695773 / 2) * Math.sqrt(G / 0.4);
    const hz = lowestHz({ length: 0.4, links: 32 });
    assertClose(hz * 2 * Math.PI, chain, { rel: 1e-4 });
  });
});

describe('a strand of one link', () => {
  it.each([
    ['small', 'parent'],
    ['small', 'air'],
    ['full', 'parent'],
    ['full', 'air'],
  ] as const)('in its %s answer damped by %s is what an independent solver returns to', (model, dampedBy) => {
    for (const zeta of [0.05, 0.2155, 1 - 1e-6, 1, 1 + 1e-6, 2, 5]) {
      const part = { length: 0.2, links: 1, dampingRatio: zeta, dampedBy };
      const { links } = followStrand({ height: CROOKED, side: SIDEWAYS }, part, { model, space: 'world' });
      const f = rod(0.2, zeta, dampedBy === 'air', model === 'full');
      const tracks = [links[0].roll];
      const size = Math.max(
        ...Array.from({ length: 50 }, (_, i) => Math.abs(trackValue(links[0].roll, i * 0.022))),
      );
      const bar = model === 'full' ? FULL : LINEAR;
      for (const part of [0.4, 1]) {
        const there = solveOde(f, 0, state(tracks, 0), part * 1.1);
        const want = state(tracks, part * 1.1);
        assertClose(want[0], there[0], { abs: bar * size }, `zeta ${zeta}`);
        assertClose(want[1], there[1], { abs: bar * size * 8.6 }, `zeta ${zeta}, speed`);
      }
      if (zeta < 0.2 || zeta > 2) continue;
      const [x] = solveOde(f, 0, [0, 0], 22);
      assertClose(state(tracks, 0)[0], x, { abs: bar * size }, `run in, zeta ${zeta}`);
    }
  });
});

describe('a plumb strand on a vertical bob', () => {
  const part = { length: 0.37, links: 1, dampingRatio: 0.02 };
  const own = Math.sqrt((3 * G) / (2 * 0.37)) / (2 * Math.PI);

  it('stays still outside the bands of Hill, and sways inside the first one', () => {
    // Source: Mathieu's equation; the first band lies about drive = 2 × own and is (to first order in the
    // depth) ω₀ √((depth/2)² − (2ζ)²) … wide on either side (Nayfeh & Mook 1979, §5.3). Ponytail: Keller 2010.
    const depth = 0.2;
    const half = Math.sqrt((depth / 2) ** 2 - (2 * 0.02) ** 2);
    const growthAt = (ratio: number): number => {
      const hz = 2 * own * ratio;
      const amplitude = (depth * G) / (2 * Math.PI * hz) ** 2;
      return (
        followStrand({ height: bob(hz, amplitude) }, part, { model: 'small' }).growth?.roll ?? Number.NaN
      );
    };
    // First order in depth: places of the edges good to its square.
    for (const sign of [-1, 1]) {
      expect(growthAt(1 + sign * (half / 2) * 0.85)).toBeGreaterThan(1);
      expect(growthAt(1 + sign * (half / 2) * 1.25)).toBeLessThan(1);
    }
    expect(growthAt(0.8)).toBeLessThan(1);
    expect(growthAt(1.3)).toBeLessThan(1);
  });

  it('grows in the middle of the band at the rate of theory', () => {
    // Source: Nayfeh & Mook 1979, §5.3: exponent ω₀ (depth/4 − ζ).
    const depth = 0.1;
    const hz = 2 * own;
    const amplitude = (depth * G) / (2 * Math.PI * hz) ** 2;
    const { growth } = followStrand(
      { height: bob(hz, amplitude) },
      { ...part, dampingRatio: 0.005 },
      { model: 'small' },
    );
    const rate = Math.log(growth?.roll ?? Number.NaN) * hz;
    // First-order theory, so good to the depth.
    assertClose(rate, 2 * Math.PI * own * (depth / 4 - 0.005), { rel: 0.03 });
  });

  it('is found to repeat after two cycles where it sways, in the full answer', () => {
    const still = followStrand({ height: bob(2, 0.005) }, { ...part, links: 3 });
    expect(still.cycles).toBe(1);
    expect(Math.abs(trackValue(still.links[2].roll, 0.1))).toBeLessThan(1e-12);
    const swaying = followStrand({ height: bob(2, 0.015) }, { ...part, links: 2 });
    expect(swaying.cycles).toBe(2);
    expect(swaying.notes.map(({ code }) => code)).toContain('repeats-after-cycles');
    expect(swaying.residual).toBeLessThan(1e-9);
    const { roll } = swaying.links[0];
    assertClose(trackValue(roll, 0.13 + 1), trackValue(roll, 0.13), { abs: 1e-12 });
    expect(Math.abs(trackValue(roll, 0.13 + 0.5) - trackValue(roll, 0.13))).toBeGreaterThan(0.1);
  });

  it('moves where its rest is off plumb', () => {
    const leaning = { length: 0.3, links: 4, dampingRatio: 0.2, frequencyHz: 1.6, rest: { pitch: 0.5 } };
    const { links } = followStrand({ height: bob(2) }, leaning);
    const values = Array.from({ length: 40 }, (_, i) => trackValue(links[0].pitch, i / 80));
    expect(Math.max(...values) - Math.min(...values)).toBeGreaterThan(0.01);
  });
});

describe('small and full answers', () => {
  const walk = planWalk({ pace: 'ordinary' });

  it('agree for small swings and say by how much they part for large ones', () => {
    const part = { length: 0.3, links: 5, dampingRatio: 0.4 };
    const gentle = followStrand({ height: CROOKED, side: { ...SIDEWAYS, cos: [0.001], sin: [0] } }, part);
    expect(gentle.parting).toBeLessThan(1e-4);
    const rough = followStrand({ height: CROOKED, side: { ...SIDEWAYS, cos: [0.3], sin: [0] } }, part);
    expect(rough.parting).toBeGreaterThan(0.02);
    expect(rough.notes.map(({ code }) => code)).toContain('past-small-angles');
  });

  it('close in value and slope', () => {
    for (const model of ['small', 'full'] as const) {
      const { links, duration } = followStrand(
        walk,
        { length: 0.35, links: 6, dampingRatio: 0.2 },
        { model },
      );
      for (const { pitch, roll } of links) {
        const [a, b] = [state([pitch, roll], 0), state([pitch, roll], duration)];
        for (const [i, x] of a.entries()) assertClose(b[i], x, { abs: 1e-12 });
      }
    }
  });

  it('put the tip behind in the head wind of travel', () => {
    const part = { length: 0.3, links: 3, dampingRatio: 0.3, dampedBy: 'air' } as const;
    // Steady travel at 1.28 m/s, with a swing so small that it does not count.
    const forward = { period: 1, mean: 0, drift: 1.28, cos: [1e-6], sin: [0] };
    const { links } = followStrand({ forward }, part, { space: 'world' });
    const omega = 2 * Math.PI * lowestHz({ length: 0.3, links: 3 });
    // A slack chain leans by atan(2ζω v / g); the frequency is read off a message of six digits.
    const mean = (links[2].pitch as Series).mean;
    assertClose(mean, Math.atan((2 * 0.3 * omega * 1.28) / G), { rel: 1e-5 });
  });

  it('keep joints near their limits', () => {
    const part = { length: 0.3, links: 3, dampingRatio: 0.15, limit: 0.05 };
    const drive = { height: CROOKED, side: { ...SIDEWAYS, cos: [0.05], sin: [0] } };
    const free = followStrand(drive, { ...part, limit: undefined });
    const held = followStrand(drive, part);
    const most = (f: typeof free) =>
      Math.max(
        ...f.links.flatMap(({ roll }) =>
          Array.from({ length: 60 }, (_, i) => Math.abs(trackValue(roll, i / 50))),
        ),
      );
    expect(most(free)).toBeGreaterThan(0.1);
    // The stop is a stiff spring, not a wall.
    expect(most(held)).toBeLessThan(0.08);
  });
});

describe('what is refused', () => {
  const bad = (part: object) => () =>
    followStrand({ height: CROOKED }, { length: 0.3, dampingRatio: 0.2, ...part } as never);
  it('names the nearest frequency that a strand can have', () => {
    expect(bad({ frequencyHz: 0.5 })).toThrow(
      /^followStrand: part\.frequencyHz must be >= 1\.\d+ Hz, the slack chain's own: a longer one is slower, got 0\.5$/,
    );
  });
  it('covers links, rest and unknown fields', () => {
    expect(bad({ links: 33 })).toThrow(/part\.links must be a whole number in \[1, 32\], got 33/);
    expect(bad({ rest: { pitch: 0.3 } })).toThrow(/must be given where the rest is off plumb/);
    expect(bad({ rest: { pitch: [0.1, 0.2] } })).toThrow(/one angle or 6/);
    expect(bad({ colour: 3 })).toThrow(/colour/);
  });
  it('covers an undamped strand at its own frequency', () => {
    const hz = Math.sqrt((3 * G) / 0.4) / (2 * Math.PI);
    const drive = { side: bob(hz), height: { ...bob(hz), cos: [0] } };
    expect(() => followStrand(drive, { length: 0.2, links: 1, dampingRatio: 0 })).toThrow(
      /part\.dampingRatio must be > 0 where harmonic 1 of the drive/,
    );
  });
});

describe('a strand in a shot', () => {
  const every = 1 / 120;
  const forward = Array.from(
    { length: 121 },
    (_, i) => 0.25 * Math.sin(Math.min(1, i / 90) * Math.PI * 0.5) ** 2,
  );
  const driver = { forward, every, repeats: false };

  it('swings behind when it starts and settles when it stops', () => {
    for (const model of ['small', 'full'] as const) {
      const part = { length: 0.2, links: 4, dampingRatio: 0.3 };
      const { links, duration } = followStrand(driver, part, { model, settle: 3 });
      assertClose(duration, 4, { abs: 1e-9 });
      const tip = links.map(({ pitch }) => trackValue(pitch, 0.2)).reduce((a, b) => a + b);
      expect(tip).toBeGreaterThan(0.02);
      const rest = links.map(({ pitch }) => Math.abs(trackValue(pitch, 4))).reduce((a, b) => a + b);
      expect(rest).toBeLessThan(2e-3 * tip + 1e-4);
    }
  });
});
