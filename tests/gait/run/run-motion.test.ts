import { describe, expect, it } from 'vitest';
import { createSampler } from '../../../src/curves/index.js';
import {
  footTracks,
  keyMotion,
  keyRoot,
  planRun,
  planWalk,
  reactionsAt,
  readMotion,
  rootAt,
  sampleReactions,
} from '../../../src/gait/index.js';
import { followBounce } from '../../../src/secondary/index.js';
import { assertClose } from '../../support/assert-close.js';

const run = planRun({ pace: { speed: 3.2 } });

describe('a run among motions', () => {
  it('is read through the one door, and repeats', () => {
    const { start, duration, repeats, gravity, body, sampleCentre } = readMotion(run);
    expect([start, duration, repeats, gravity]).toEqual([0, run.pace.strideTime, true, 9.80665]);
    expect(body).toEqual(run.body);
    const [a, b] = [new Float64Array(9), new Float64Array(9)];
    sampleCentre(0.123, a);
    sampleCentre(0.123 + 3 * duration, b);
    assertClose(b[0], a[0], { abs: 1e-12 });
    assertClose(b[3] - a[3], 3 * run.pace.strideLength, { abs: 1e-12 });
  });

  it('has a table of forces over the stride, whose mean is one body weight', () => {
    const { total, left, right, phase, newtonsPerBodyWeight } = sampleReactions(run, { samples: 2400 });
    const mean = total.vertical.reduce((sum, load) => sum + load, 0) / 2400;
    // A kink at each end of a contact: the rectangle rule's error goes with the square of the step.
    assertClose(mean, 1, { abs: 1e-5 });
    assertClose(Math.max(...left.vertical), run.pulse.peak, { rel: 1e-4 });
    expect(left.vertical[1032]).toBe(0);
    expect(right.vertical[1032]).toBe(0);
    expect(phase[1200]).toBe(0.5);
    assertClose(newtonsPerBodyWeight, 70 * 9.80665, { rel: 1e-12 });
    const at = reactionsAt(run, 0.1 * run.pace.strideTime);
    expect(at.right.vertical).toBe(right.vertical[240]);
    expect(at.left.vertical).toBe(0);
  });

  it('has a path of the centre of mass and one of the root, at the height that the legs reach', () => {
    const heights = Array.from({ length: 400 }, (_, i) => {
      return rootAt(run, (i / 400) * run.pace.strideTime, { of: 'root' }).height.value;
    });
    assertClose(heights.reduce((sum, z) => sum + z, 0) / 400, run.root.height, { abs: 1e-4 });
    const { height, forward } = rootAt(run, 0.05);
    const root = rootAt(run, 0.05, { of: 'root' });
    expect(height.value).toBeGreaterThan(root.height.value);
    expect(height.acceleration).toBe(root.height.acceleration);
    expect(forward).toEqual(root.forward);
  });

  it('shakes what hangs on it harder than a walk does', () => {
    const belly = { frequencyHz: 4, dampingRatio: 0.3 };
    const swing = (motion: Parameters<typeof followBounce>[0]): number => {
      const { keyed } = followBounce(motion, belly, { keys: { fps: 60 } });
      const values = keyed!.height!.curve.keys.map(({ value }) => value);
      return Math.max(...values) - Math.min(...values);
    };
    expect(swing(run)).toBeGreaterThan(2 * swing(planWalk({ pace: 'ordinary' })));
  });

  it('is keyed with few keys that loop, on whole frames, within what was asked for', () => {
    for (const of of ['centreOfMass', 'root'] as const) {
      for (const speed of [2.2, 3.2, 5]) {
        for (const fps of [24, 30, 60]) {
          const given = planRun({ pace: { speed } });
          const keyed = keyRoot(given, { fps, of, keyPoses: true });
          expect(keyed.met).toBe(true);
          expect(keyed.frames % 2).toBe(0);
          assertClose(keyed.run.pace.strideLength, given.pace.strideLength, { rel: 1e-12 });
          expect(keyed.height.keys.length).toBeLessThanOrEqual(12);
          const sampler = createSampler([keyed.height, keyed.forward, keyed.side]);
          const out = new Float64Array(3);
          for (let k = 0; k < 97; k++) {
            const t = ((k + 0.5) / 97) * keyed.run.pace.strideTime;
            sampler.sample(t, out);
            const exact = rootAt(keyed.run, t, { of });
            assertClose(out[0], exact.height.value, { abs: 0.0003 });
            assertClose(out[1], exact.forward.value, { abs: 0.0003 });
            assertClose(out[2], exact.side.value, { abs: 0.0003 });
          }
          assertClose(keyed.forward.gain!, keyed.run.pace.strideLength, { rel: 1e-12 });
        }
      }
    }
  });

  it('keeps its frames where it has whole ones, and says so where it does not', () => {
    const whole = planRun({ pace: { framesPerStep: 8, fps: 24 } });
    expect(keyRoot(whole, { fps: 24, of: 'root' }).run).toBe(whole);
    const { notes, frames } = keyRoot(planRun({ pace: { speed: 3 } }), { fps: 24, of: 'root' });
    expect(notes.map(({ code }) => code)).toEqual(['pace-snapped']);
    expect(frames).toBe(18);
    const free = keyRoot(planRun({ pace: { speed: 3 } }), { fps: 24, of: 'root', wholeFrames: false });
    expect(free.notes).toEqual([]);
  });

  it('is refused by name where only a walk or a shot will do', () => {
    expect(() => keyMotion(run as never, { fps: 24, of: 'root' })).toThrow(
      'keyMotion: motion.kind must be "walk"',
    );
    expect(() => footTracks(run as never)).toThrow('footTracks: motion.kind must be "walk"');
  });
});
