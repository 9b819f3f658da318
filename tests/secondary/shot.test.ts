import { describe, expect, it } from 'vitest';
import { evaluateJet } from '../../src/curves/evaluate.js';
import { planWalk } from '../../src/gait/plan-walk.js';
import { rootAt } from '../../src/gait/root.js';
import { planShot } from '../../src/gait/shot/plan-shot.js';
import { shotPathAt } from '../../src/gait/shot/shot-path-at.js';
import { createShotSampler } from '../../src/gait/shot/shot-sampler.js';
import { followBounce } from '../../src/secondary/bounce.js';
import { buildChain } from '../../src/secondary/chain.js';
import { chainEnergy } from '../../src/secondary/chain-forces.js';
import { followCloth } from '../../src/secondary/cloth.js';
import { type SampledTrack, trackValue } from '../../src/secondary/follower-track.js';
import { createFollower } from '../../src/secondary/live.js';
import { createDriver } from '../../src/secondary/live-driver.js';
import { followStrand } from '../../src/secondary/strand.js';
import { readStrandPart } from '../../src/secondary/strand-part.js';
import { assertClose } from '../support/assert-close.js';
import { solveOde } from './solve-ode.js';

const shot = planShot({
  stretches: [
    { pace: 'ordinary', steps: 6 },
    { pace: 'brisk', steps: 4 },
  ],
});
const BELLY = { frequencyHz: 4, dampingRatio: 0.2 };
const HAIR = { length: 0.3, links: 5, dampingRatio: 0.2 };

const sampler = createShotSampler(shot);
const jets = new Float64Array(9);
/** Acceleration of the root in m/s², upwards and forwards, from the shot's own exact path. */
const rootAcceleration = (t: number): readonly [number, number] => {
  sampler.read(t);
  sampler.write(jets, 'root');
  return [jets[2], jets[5]];
};

const sampled = (track: unknown) => track as SampledTrack;

describe('a part in a shot', () => {
  it('is where an independent solver puts it, led by the root of the shot itself', () => {
    const { tracks, start } = followBounce(shot, BELLY);
    expect(start).toBe(0);
    const omega = 8 * Math.PI;
    const f = (t: number, [z, v]: number[]) => [
      v,
      -0.4 * omega * v - omega * omega * z - rootAcceleration(t)[0],
    ];
    let state = [sampled(tracks.height).values[0], 0];
    let most = 0;
    for (let t = 0; t + 0.25 <= shot.duration; t += 0.25) {
      state = solveOde(f, t, state, t + 0.25);
      most = Math.max(most, Math.abs(state[0]));
      // The drive is taken as straight within 1/480 s: (ωh)²/8 of a harmonic, 1e-3 at 7 Hz.
      assertClose(trackValue(tracks.height, t + 0.25), state[0], { abs: 1e-5 });
    }
    expect(most).toBeGreaterThan(0.005);
  });

  it('begins without a kick, hung in the weight that it feels', () => {
    for (const from of ['standing', 'walking'] as const) {
      const cut = planShot({ from, stretches: [{ pace: 'ordinary', steps: 6 }] });
      const track = sampled(followBounce(cut, BELLY).tracks.height);
      const first = rootAt(cut, 0, { of: 'root' }).height.acceleration;
      if (from === 'walking') expect(Math.abs(first)).toBeGreaterThan(0.1);
      assertClose(track.values[0], -first / (8 * Math.PI) ** 2, { abs: 1e-12 });
      expect(track.slopes[0]).toBe(0);
      // Hung, it has no acceleration of its own: the speed grows with the square of the time only.
      expect(Math.abs(track.slopes[1])).toBeLessThan(2e-3);
    }
  });

  it('goes on from the state that it is given', () => {
    const initial = { height: { displacement: 0.02, speed: 0.1 } };
    const track = sampled(followBounce(shot, BELLY, { initial }).tracks.height);
    expect([track.values[0], track.slopes[0]]).toEqual([0.02, 0.1]);
  });

  it('loses energy at every moment after the stop, and comes to rest', () => {
    const track = sampled(followBounce(shot, BELLY, { settle: 3 }).tracks.height);
    const omega = 8 * Math.PI;
    const from = Math.ceil(shot.duration * 480) + 1;
    const energy = track.values.map((z, i) => track.slopes[i] ** 2 + (omega * z) ** 2).slice(from);
    expect(energy[0]).toBeGreaterThan(0);
    // Rounding of the sum, at most.
    for (let i = 1; i < energy.length; i++)
      expect(energy[i]).toBeLessThanOrEqual(energy[i - 1] * (1 + 1e-12));
    expect(energy[energy.length - 1]).toBeLessThan(1e-8 * energy[0]);
  });

  it('comes as keys on frames, from the first to past the last, with the error that they have', () => {
    const { tracks, keyed } = followBounce(shot, BELLY, { settle: 0.5, keys: { fps: 24, tolerance: 3e-4 } });
    const fit = keyed?.height;
    expect(fit?.met).toBe(true);
    if (!fit) return;
    expect(fit.curve.period).toBeUndefined();
    for (const { time } of fit.curve.keys) assertClose(time * 24, Math.round(time * 24), { abs: 1e-9 });
    let worst = 0;
    const end = fit.curve.keys[fit.curve.keys.length - 1].time;
    for (let i = 0; i <= 4000; i++) {
      const t = (end * i) / 4000;
      worst = Math.max(worst, Math.abs(evaluateJet(fit.curve, t).value - trackValue(tracks.height, t)));
    }
    expect(worst).toBeLessThanOrEqual(fit.error.value.max * 1.02);
    expect(fit.curve.keys.length).toBeLessThan(end * 24);
  });

  it('is keyed by halves with the error that it has, too', () => {
    const keys = { fps: 24, tolerance: 3e-4, halve: true };
    const { tracks, keyed } = followBounce(shot, BELLY, { settle: 0.5, keys });
    const searched = followBounce(shot, BELLY, { settle: 0.5, keys: { fps: 24, tolerance: 3e-4 } });
    const fit = keyed?.height;
    expect(fit?.met).toBe(true);
    if (!fit) return;
    const { keys: all } = fit.curve;
    for (const { time } of all) assertClose(time * 24, Math.round(time * 24), { abs: 1e-9 });
    let worst = 0;
    for (let i = 0; i <= 4000; i++) {
      const t = (all[all.length - 1].time * i) / 4000;
      worst = Math.max(worst, Math.abs(evaluateJet(fit.curve, t).value - trackValue(tracks.height, t)));
    }
    expect(worst).toBeLessThanOrEqual(fit.error.value.max * 1.05);
    expect(worst).toBeGreaterThan(fit.error.value.max / 2);
    // The search is there to need fewer.
    expect(all.length).toBeGreaterThanOrEqual(searched.keyed?.height?.curve.keys.length ?? 0);
    expect(() => followBounce(shot, BELLY, { keys: { fps: 24, halve: 1 as never } })).toThrow(/keys\.halve/);
  });

  it('is the same stepped live along the same shot', () => {
    const { tracks } = followBounce(shot, BELLY, { every: 1 / 480 });
    const hips = createDriver(shot);
    const live = createFollower(BELLY);
    const track = sampled(tracks.height);
    const drive = new Float64Array(6);
    const out = new Float64Array(1);
    for (let i = 1; i < track.values.length; i++) {
      hips.sample(i * track.every, drive);
      live.step(track.every, drive, out);
      // From standing both begin at rest.
      assertClose(out[0], track.values[i], { abs: 1e-12 });
    }
  });
});

describe('a strand in a shot', () => {
  it.each([
    [1 / 60, 4e-5],
    [1 / 480, 1e-5],
  ])('of one link, %d s between moments, is where an independent solver puts it', (every, bar) => {
    const part = { length: 0.2, links: 1, dampingRatio: 0.1 };
    const { links, stepError } = followStrand(shot, part, {
      carrier: 'hips',
      space: 'world',
      every,
    });
    expect(stepError).toBeLessThan(1e-3);
    const omega = Math.sqrt((3 * 9.80665) / 0.4);
    const f = (t: number, [x, v]: number[]) => {
      const [up, along] = rootAcceleration(t);
      return [v, -0.2 * omega * v - 7.5 * ((9.80665 + up) * Math.sin(x) + along * Math.cos(x))];
    };
    let state = [-trackValue(links[0].pitch, 0), 0];
    let most = 0;
    for (let t = 0; t + 0.25 <= shot.duration; t += 0.25) {
      state = solveOde(f, t, state, t + 0.25);
      most = Math.max(most, Math.abs(state[0]));
      // The bar for non-linear answers is 1e-5; the default comes to four times that, of 0.3 rad.
      assertClose(-trackValue(links[0].pitch, t + 0.25), state[0], { abs: bar });
    }
    expect(most).toBeGreaterThan(0.1);
  });

  /** What is left of the step's error, as a part of the error that is stated, once it is carried on. */
  function leftOfStep(carrier: 'hips' | 'head'): number {
    const coarse = followStrand(shot, HAIR, { carrier });
    const { every } = sampled(coarse.links[0].pitch);
    // Sixteen fine moments to a coarse one, so that nothing is read between moments.
    const fine = followStrand(shot, HAIR, { carrier, every: every / 16 });
    let gap = 0;
    coarse.links.forEach(({ pitch }, i) => {
      sampled(pitch).values.forEach((x, k) => {
        const t = k * every;
        if (t <= shot.duration) gap = Math.max(gap, Math.abs(x - trackValue(fine.links[i].pitch, t)));
      });
    });
    expect(coarse.stepError).toBeGreaterThan(1e-6);
    return gap / (coarse.stepError ?? 0);
  }

  it('is carried on to what a vanishing step tends to', () => {
    expect(leftOfStep('hips')).toBeLessThan(0.2);
  });

  // A known miss, kept in sight: at the head 0.214 is left, 4.8e-6 rad.
  it.fails('is carried on as far at the head, which swings less', () => {
    expect(leftOfStep('head')).toBeLessThan(0.2);
  });

  it('comes to the same by small angles, where they are small', () => {
    const full = followStrand(shot, HAIR);
    const small = followStrand(shot, HAIR, { model: 'small' });
    const tip = (f: typeof full, t: number) =>
      f.links.reduce((sum, { pitch }) => sum + trackValue(pitch, t), 0);
    for (let t = 0; t < shot.duration; t += 0.1) assertClose(tip(small, t), tip(full, t), { abs: 5e-3 });
  });

  it('starts hung and still, and only loses energy after the stop', () => {
    const walking = planShot({ from: 'walking', stretches: [{ pace: 'brisk', steps: 6 }] });
    const { links } = followStrand(walking, HAIR, {
      settle: 4,
      space: 'world',
      every: 1 / 480,
      carrier: 'hips',
    });
    for (const { pitch, roll } of links) {
      expect(Math.abs(sampled(pitch).slopes[0])).toBe(0);
      expect(Math.abs(sampled(roll).slopes[0])).toBe(0);
      // 2 ms on nothing has been thrown: a kick would turn it by radians a second.
      expect(Math.abs(sampled(pitch).slopes[1])).toBeLessThan(0.1);
    }
    const chain = buildChain('test', readStrandPart('test', HAIR), 'forward', 9.80665);
    const energyAt = (i: number) =>
      chainEnergy(
        chain,
        Float64Array.from(links, ({ pitch }) => -sampled(pitch).values[i]),
        Float64Array.from(links, ({ pitch }) => -sampled(pitch).slopes[i]),
      );
    const from = Math.ceil(walking.duration * 480) + 1;
    const count = sampled(links[0].pitch).values.length;
    let before = energyAt(from);
    const first = before;
    expect(first).toBeGreaterThan(1e-5);
    for (let i = from + 1; i < count; i++) {
      const now = energyAt(i);
      // Between the two runs that the answer is carried on from, energy is kept to the step's fourth power.
      expect(now).toBeLessThanOrEqual(before + 1e-7 * first);
      before = now;
    }
    expect(before).toBeLessThan(1e-4 * first);
  });

  it('swings out of a turn, by about the lean that the turn asks for', () => {
    const [speed, radius] = [1.28, 3];
    const turning = planShot({ stretches: [{ pace: { speed }, steps: 24, turn: { radius } }] });
    const { links } = followStrand(turning, { ...HAIR, dampingRatio: 1 }, { carrier: 'hips' });
    const tip = (t: number) => links.reduce((sum, { roll }) => sum + trackValue(roll, t), 0);
    const [from, to] = [0.4 * turning.duration, 0.7 * turning.duration];
    const meanOf = (valueAt: (t: number) => number) => {
      let sum = 0;
      for (let i = 0; i < 400; i++) sum += valueAt(from + ((to - from) * i) / 400);
      return sum / 400;
    };
    const mean = meanOf(tip);
    // Nothing of it goes along its own path, wherever that has turned to.
    const along = meanOf((t) => links.reduce((sum, { pitch }) => sum + trackValue(pitch, t), 0));
    expect(Math.abs(along)).toBeLessThan(0.01);
    const there = shotPathAt(turning, turning.duration / 2);
    const rate = there.heading.velocity;
    // Turning left throws it to the right; the speed is the shot's own.
    assertClose(mean, -Math.atan((rate * there.along.velocity) / 9.80665), { rel: 0.15 });
    expect(mean).toBeLessThan(-0.03);
  });
});

describe('the head in a shot', () => {
  it('turns, starts and stops with the body, whatever part of its swing it takes along', () => {
    const [speed, radius] = [1.4, 2];
    const turning = planShot({
      from: 'walking',
      to: 'walking',
      stretches: [{ pace: { speed }, steps: 24, turn: { radius } }],
    });
    const part = { length: 0.3, links: 1, dampingRatio: 0.3 };
    const { links } = followStrand(turning, part, { carrier: 'head', space: 'world' });
    const { strideTime } = turning.cycles[0].pace;
    const [from, count] = [0.4 * turning.duration, 2000];
    let mean = 0;
    for (let i = 0; i < count; i++) {
      mean += trackValue(links[0].roll, from + (6 * strideTime * i) / count) / count;
    }
    // Statics: what hangs in a turn leans by atan(v²/(r g)).
    assertClose(mean, -Math.atan(speed ** 2 / radius / 9.80665), { rel: 0.02 });
  });

  it('gains all of its speed where it takes none of the swing along', () => {
    const starting = planShot({ to: 'walking', stretches: [{ pace: 'ordinary', steps: 12 }] });
    const swingless = createDriver(starting, { carrier: { gain: 0 } });
    const drive = new Float64Array(6);
    const end = starting.duration;
    const steps = 20000;
    let [speed, last] = [0, 0];
    for (let i = 0; i < steps; i++) {
      swingless.sample(((i + 0.5) * end) / steps, drive);
      speed += (drive[1] * end) / steps;
      last = drive[1];
    }
    assertClose(speed, starting.cycles[0].pace.speed, { abs: 1e-4 });
    // In the steady stretch nothing is left but the swing, which it does not take.
    assertClose(last, 0, { abs: 1e-9 });
  });
});

describe('a cloth in a shot', () => {
  it('hangs still where nothing moves and settles after the stop', () => {
    const part = {
      length: 0.5,
      links: 3,
      dampingRatio: 0.3,
      strands: 4,
      ring: true,
      flare: 0.2,
      frequencyHz: 1.4,
    };
    const still = planShot({ still: { before: 0.5 }, stretches: [{ steps: 4 }] });
    const { strands, duration } = followCloth(still, part, { settle: 6 });
    const most = (t: number) =>
      Math.max(
        ...strands
          .flat()
          .map(({ pitch, roll }) => Math.max(Math.abs(trackValue(pitch, t)), Math.abs(trackValue(roll, t)))),
      );
    // Its weight shifts over one foot before the first step.
    expect(most(0)).toBeLessThan(1e-9);
    expect(most(still.duration / 2)).toBeGreaterThan(0.01);
    expect(most(duration)).toBeLessThan(1e-4);
  });
});

describe('a cut in samples', () => {
  const every = 1 / 60;
  const walk = planWalk({ pace: 'brisk' });
  const height = Array.from(
    { length: 120 },
    (_, i) => trackValue(walk.centre.height, i * every) + (i >= 60 ? 4 : 0),
  );
  const reach = (cuts?: number[]) => {
    const track = sampled(
      followBounce({ height, every, repeats: false, ...(cuts ? { cuts } : {}) }, BELLY).tracks.height,
    );
    return Math.max(...track.values.map(Math.abs));
  };

  it('gives no kick where it is named, and throws the part where it is not', () => {
    expect(reach()).toBeGreaterThan(1);
    expect(reach([60])).toBeLessThan(0.05);
  });

  it('is refused where it leaves no speed, or where the driver repeats', () => {
    expect(() => reach([1])).toThrow(/driver\.cuts\[0\] must be a whole number in \[2, 118\], got 1/);
    expect(() => reach([60, 61])).toThrow(/driver\.cuts\[1\]/);
    expect(() => followBounce({ height, every, repeats: true, cuts: [4] }, BELLY)).toThrow(
      /driver\.cuts must be left out/,
    );
  });
});
