import { describe, expect, it } from 'vitest';
import { evaluateJet } from '../../src/curves/evaluate.js';
import type { Series } from '../../src/curves/series.js';
import { planWalk } from '../../src/gait/plan-walk.js';
import { rootMotion } from '../../src/gait/root.js';
import { followBounce } from '../../src/secondary/bounce.js';
import { sampleTrack, trackValue } from '../../src/secondary/follower-track.js';
import { assertClose } from '../support/assert-close.js';
import { accelerationOf, bob, CROOKED, sizeOf, velocityOf } from './drivers.js';
import { solveOde } from './solve-ode.js';

// The bar for linear loops, as a part of the answer's size.
const LINEAR = 1e-8;
// Rounding of a handful of operations.
const EXACT = { rel: 1e-12, abs: 1e-15 };

const SEAMS = [1, 2, 4, 8, 12, 15].flatMap((k) => [1 - 10 ** -k, 1 + 10 ** -k]);
const ZETAS = [1e-3, 0.05, 0.2155, 0.7, ...SEAMS, 1, 1.5, 2, 2.5, 5];

const stateOf = (track: Series, t: number): number[] => {
  const out = new Float64Array(3);
  sampleTrack(track, t, out);
  return [out[0], out[1]];
};

describe('the loop of a bouncing part', () => {
  it.each(['parent', 'air'] as const)(
    'is what an independent solver returns to, damped by the %s',
    (dampedBy) => {
      for (const zeta of ZETAS) {
        const hz = 2.3;
        const { tracks } = followBounce(
          { height: CROOKED },
          { frequencyHz: hz, dampingRatio: zeta, dampedBy },
        );
        const track = tracks.height as Series;
        const omega = 2 * Math.PI * hz;
        const f = (t: number, [z, v]: number[]) => {
          const air = dampedBy === 'air' ? velocityOf(CROOKED, t) : 0;
          return [v, -2 * zeta * omega * (v + air) - omega * omega * z - accelerationOf(CROOKED, t)];
        };
        const size = sizeOf(track);
        // Started on the loop it stays there, and comes back after a period.
        const period = CROOKED.period;
        for (const part of [0.3, 0.7, 1]) {
          const [z, v] = solveOde(f, 0, stateOf(track, 0), part * period);
          const [want, speed] = stateOf(track, part * period);
          assertClose(want, z, { abs: LINEAR * size }, `z, zeta ${zeta}`);
          assertClose(speed, v, { abs: LINEAR * size * omega }, `v, zeta ${zeta}`);
        }
        // Started at rest it runs in, where the slowest mode is gone within 60 periods.
        const slowest = zeta < 1 ? zeta * omega : omega / (zeta + Math.sqrt((zeta - 1) * (zeta + 1)));
        const periods = Math.ceil(Math.log(1e10) / (slowest * period));
        if (periods > 60) continue;
        const [z] = solveOde(f, 0, [0, 0], periods * period);
        assertClose(stateOf(track, 0)[0], z, { abs: LINEAR * size }, `run in, zeta ${zeta}`);
      }
    },
  );

  it('closes in value and slope', () => {
    const walk = planWalk({ pace: 'brisk' });
    const { tracks, duration } = followBounce(walk, {
      frequencyHz: { height: 4, forward: 3, side: 2 },
      dampingRatio: 0.1,
    });
    for (const track of Object.values(tracks)) {
      const [z, v] = stateOf(track as Series, 0);
      const [z1, v1] = stateOf(track as Series, duration);
      assertClose(z1, z, { abs: 1e-15 });
      assertClose(v1, v, { abs: 1e-13 });
    }
  });

  it('lags a quarter cycle behind minus the base acceleration at resonance', () => {
    // Source: any text on vibrations; relative displacement of a base-excited oscillator at ω = ω₀.
    for (const zeta of [0.01, 0.2155, 1, 3]) {
      const hz = 2;
      const track = followBounce({ height: bob(hz) }, { frequencyHz: hz, dampingRatio: zeta }).tracks
        .height as Series;
      // Minus the acceleration is w² · 1 cm · cos; a quarter cycle later it is all sine.
      expect(Math.abs(track.cos[0])).toBeLessThan(1e-15);
      assertClose(track.sin[0], 0.01 / (2 * zeta), EXACT);
    }
  });

  it('hangs down under gravity by g/ω², kept apart or put in', () => {
    const part = { frequencyHz: 2.5, dampingRatio: 0.3 };
    const apart = followBounce({ height: CROOKED }, part);
    const within = followBounce({ height: CROOKED }, part, { rest: 'unloaded' });
    assertClose(apart.sag, -9.80665 / (2 * Math.PI * 2.5) ** 2, EXACT);
    assertClose(
      trackValue(within.tracks.height, 0.4) - trackValue(apart.tracks.height, 0.4),
      apart.sag,
      EXACT,
    );
  });

  it('adds the carrier in the world', () => {
    const walk = planWalk({ pace: 'ordinary' });
    const part = { frequencyHz: { height: 3, forward: 3 }, dampingRatio: 0.3 };
    const near = followBounce(walk, part);
    const far = followBounce(walk, part, { space: 'world' });
    const root = rootMotion(walk, { of: 'root' });
    for (const channel of ['height', 'forward'] as const) {
      const there = trackValue(far.tracks[channel], 3.1) - trackValue(near.tracks[channel], 3.1);
      assertClose(there, trackValue(root[channel], 3.1), { abs: 1e-14, rel: 1e-14 });
    }
  });

  it('trails behind in still air by the travel', () => {
    const walk = planWalk({ pace: 'ordinary' });
    const part = { frequencyHz: { forward: 2 }, dampingRatio: 0.3, dampedBy: 'air' } as const;
    const { forward } = followBounce(walk, part).tracks;
    const omega = 4 * Math.PI;
    assertClose((forward as Series).mean, (-2 * 0.3 * walk.pace.speed) / omega, EXACT);
  });

  it.each([
    ['air', 1.9],
    ['parent', 0.9],
  ] as const)('lags the parent by the frames of the trade when damped by the %s', (dampedBy, frames) => {
    // Source: common practice (2 Hz drive, 2.5 Hz natural, ζ 0.35, 24 fps), arithmetic of the phase.
    const part = { frequencyHz: 2.5, dampingRatio: 0.35, dampedBy };
    const world = followBounce({ height: bob(2) }, part, { space: 'world' }).tracks.height as Series;
    const lag = Math.atan2(world.sin[0], world.cos[0]) / (2 * Math.PI * 2);
    // The figure is given to a tenth of a frame.
    assertClose(lag * 24, frames, { abs: 0.05 });
  });

  it('refuses an undamped part that is driven at its own frequency, and answers beside it', () => {
    const third = 3 / CROOKED.period;
    expect(() => followBounce({ height: CROOKED }, { frequencyHz: third, dampingRatio: 0 })).toThrow(
      /^followBounce: part\.dampingRatio must be > 0 where harmonic 3 of the drive, 2\.727273 Hz, meets the part's own frequency, got 0$/,
    );
    const beside = followBounce({ height: CROOKED }, { frequencyHz: third * 1.01, dampingRatio: 0 });
    expect(Number.isFinite(trackValue(beside.tracks.height, 0.3))).toBe(true);
    // Where the drive has nothing at that frequency there is nothing to refuse.
    const even = { ...CROOKED, cos: [0, 0.01], sin: [0, 0] };
    expect(followBounce({ height: even }, { frequencyHz: 1 / 1.1, dampingRatio: 0 }).cycles).toBe(1);
  });
});

describe('drivers of every form', () => {
  const part = { frequencyHz: 2.2, dampingRatio: 0.25 };
  const exact = followBounce({ height: CROOKED }, part).tracks.height;
  const value = (t: number) => trackValue(CROOKED, t);

  it('give the same answer from samples that repeat', () => {
    const every = CROOKED.period / 24;
    const height = Array.from({ length: 24 }, (_, i) => value(0.2 + i * every));
    const { tracks } = followBounce({ height, every, start: 0.2, repeats: true }, part);
    for (const t of [0, 0.31, 0.9])
      assertClose(trackValue(tracks.height, t), trackValue(exact, t), { abs: 1e-14 });
  });

  it('give nearly the same answer from a curve, and say how far its series lies off it', () => {
    const count = 48;
    const span = CROOKED.period / count / 3;
    const keys = Array.from({ length: count }, (_, i) => {
      const time = (i * CROOKED.period) / count;
      const tangent = { span, slope: velocityOf(CROOKED, time) };
      return { time, value: value(time), in: tangent, out: tangent };
    });
    const curve = { keys, start: 0, period: CROOKED.period, before: 'loops', after: 'loops' } as const;
    const { tracks, driverError } = followBounce({ height: curve }, part);
    expect(driverError).toBeLessThan(1e-7);
    // 48 cubics a stride lie within 1e-7 m of the path.
    for (const t of [0, 0.31, 0.9])
      assertClose(trackValue(tracks.height, t), trackValue(exact, t), { abs: 5e-7 });
  });

  it('ride a carrier by gain and delay', () => {
    const carrier = { gain: { height: 0.5 }, delay: 0.1 };
    const late = followBounce({ height: CROOKED }, part, { carrier }).tracks.height;
    for (const t of [0, 0.31, 0.9]) {
      assertClose(trackValue(late, t), 0.5 * trackValue(exact, t - 0.1), { abs: 1e-14 });
    }
  });

  it('refuse what is no driver', () => {
    const bad = (driver: unknown) => () => followBounce(driver as never, part);
    expect(bad(3)).toThrow(/^followBounce: driver must be an object, got 3$/);
    expect(bad({})).toThrow(/must be a motion, or have height, forward or side/);
    expect(bad({ height: CROOKED, side: bob(3) })).toThrow(/same period/);
    expect(bad({ height: [0, 1, Number.NaN, 0], every: 0.1, repeats: true })).toThrow(/driver\.height\[2\]/);
    expect(bad({ height: [0, 1], every: 0.1, repeats: true })).toThrow(/at least 4 samples/);
    expect(() => followBounce({ height: CROOKED }, { ...part, wobble: 1 } as never)).toThrow(/wobble/);
    expect(() => followBounce({ height: CROOKED }, { ...part, frequencyHz: 0 })).toThrow(
      /^followBounce: part\.frequencyHz must be in \(0, 1000\] Hz, got 0$/,
    );
    expect(() => followBounce({ height: CROOKED }, part, { carrier: 'tail' as never })).toThrow(/carrier/);
  });
});

describe('a shot', () => {
  const every = 1 / 240;
  const height = Array.from({ length: 241 }, (_, i) => 0.02 * Math.sin(Math.min(1, i / 240) * 9) ** 2);
  const part = { frequencyHz: 3, dampingRatio: 0.2 };

  it('is stepped as an independent solver steps it', () => {
    const { tracks, repeats, duration } = followBounce({ height, every, repeats: false }, part);
    expect(repeats).toBe(false);
    assertClose(duration, 1, { abs: 1e-12 });
    const omega = 6 * Math.PI;
    // The spline's own accelerations, linear between samples, are what both are driven by.
    const third = Array.from({ length: 241 }, (_, i) => i * every);
    let state = [0, 0];
    const accelerations = naturalSpline(height, every);
    for (const [i, from] of third.slice(0, 240).entries()) {
      const f = (t: number, [z, v]: number[]) => {
        const u = (t - from) / every;
        const a = accelerations[i] * (1 - u) + accelerations[i + 1] * u;
        return [v, -0.4 * omega * v - omega * omega * z - a];
      };
      state = solveOde(f, from, state, from + every);
    }
    assertClose(trackValue(tracks.height, 1), state[0], { abs: 1e-12 });
  });

  it('settles after its end', () => {
    const { tracks, duration } = followBounce({ height, every, repeats: false }, part, { settle: 3 });
    assertClose(duration, 4, { abs: 1e-9 });
    expect(Math.abs(trackValue(tracks.height, 4))).toBeLessThan(
      1e-4 * Math.abs(trackValue(tracks.height, 1)),
    );
  });

  it('goes on from the state it is given', () => {
    const initial = { height: { displacement: 0.01, speed: -0.2 } };
    const { tracks } = followBounce({ height, every, repeats: false }, part, { initial });
    const out = new Float64Array(3);
    sampleTrack(tracks.height as never, 0, out);
    assertClose(out[0], 0.01, EXACT);
    assertClose(out[1], -0.2, EXACT);
  });
});

describe('keys', () => {
  it('lie on frames and say how far they are off', () => {
    const walk = planWalk({ pace: { framesPerStep: 12, fps: 24 } });
    const { tracks, keyed } = followBounce(
      walk,
      { frequencyHz: 3, dampingRatio: 0.2 },
      { keys: { fps: 24, tolerance: 2e-4 } },
    );
    const fit = keyed?.height;
    expect(fit?.met).toBe(true);
    if (!fit) return;
    expect(fit.curve.keys.length).toBeLessThanOrEqual(12);
    for (const { time } of fit.curve.keys) assertClose(time * 24, Math.round(time * 24), { abs: 1e-9 });
    let worst = 0;
    for (let i = 0; i < 3000; i++) {
      const t = (i / 3000) * 1;
      worst = Math.max(worst, Math.abs(evaluateJet(fit.curve, t).value - trackValue(tracks.height, t)));
    }
    expect(worst).toBeLessThanOrEqual(fit.error.value.max * 1.02);
  });
});

/** Second derivatives of the natural cubic spline, by relaxing its equations: written apart from the library's. */
function naturalSpline(y: readonly number[], h: number): number[] {
  const m = y.map(() => 0);
  for (let sweep = 0; sweep < 400; sweep++) {
    for (let i = 1; i + 1 < y.length; i++) {
      m[i] = (6 * ((y[i + 1] - 2 * y[i] + y[i - 1]) / (h * h)) - m[i - 1] - m[i + 1]) / 4;
    }
  }
  return m;
}
