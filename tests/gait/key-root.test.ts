import { describe, expect, it } from 'vitest';
import type { Curve } from '../../src/curves/curve.js';
import { evaluate, evaluateJet } from '../../src/curves/evaluate.js';
import { seriesValue } from '../../src/curves/series.js';
import { seriesExtremes } from '../../src/curves/series-extremes.js';
import { keyRoot, planWalk, rootAt, rootMotion } from '../../src/gait/index.js';
import { assertClose } from '../support/assert-close.js';

const G = 9.80665;

/** Samples a stride that the tests judge with: off the grid that fitted, and finer. */
const FINE = 2003;

const PACES = ['slow', 'ordinary', 'brisk'] as const;

function spansInside(curve: Curve): boolean {
  const { keys, period } = curve;
  return keys.every((key, i) => {
    const next = i + 1 < keys.length ? keys[i + 1].time : keys[0].time + period!;
    const before = i > 0 ? keys[i - 1].time : keys[keys.length - 1].time - period!;
    // Rounding of a difference of times of a second or so.
    return key.out.span <= next - key.time + 1e-12 && key.in.span <= key.time - before + 1e-12;
  });
}

describe('keyRoot', () => {
  it('holds the ordinary walk at 24 fps with at most 4 keys a step, 0.3 mm and 0.05 BW rms', () => {
    const keyed = keyRoot(planWalk({ pace: 'ordinary' }), { fps: 24, of: 'centreOfMass' });
    expect(keyed.met).toBe(true);
    expect(keyed.height.keys.length).toBeLessThanOrEqual(8);
    // Judged here again, from the returned curve and the exact path only.
    let worst = 0;
    let squares = 0;
    for (let i = 0; i < FINE; i++) {
      const t = (i / FINE) * keyed.walk.pace.strideTime;
      const exact = rootAt(keyed.walk, t).height;
      const jet = evaluateJet(keyed.height, t);
      worst = Math.max(worst, Math.abs(jet.value - exact.value));
      squares += ((jet.acceleration - exact.acceleration) / G) ** 2;
    }
    expect(worst).toBeLessThanOrEqual(3e-4);
    expect(Math.sqrt(squares / FINE)).toBeLessThanOrEqual(0.05);
  });

  it.each(PACES)('states the errors of the %s walk as they are', (pace) => {
    const keyed = keyRoot(planWalk({ pace }), { fps: 24, of: 'root' });
    const path = rootMotion(keyed.walk, { of: 'root' });
    for (const channel of ['height', 'forward', 'side'] as const) {
      let worst = 0;
      for (let i = 0; i < FINE; i++) {
        const t = (i / FINE) * keyed.walk.pace.strideTime;
        worst = Math.max(worst, Math.abs(evaluate(keyed[channel], t) - seriesValue(path[channel], t)));
      }
      const stated = keyed.error[channel].value.max;
      // Two grids see slightly different worst places.
      assertClose(worst, stated, { rel: 0.02, abs: 1e-7 }, channel);
    }
  });

  it.each(PACES)('puts the keys of the %s walk on whole frames, no handle leaving its segment', (pace) => {
    for (const fps of [24, 25, 30, 60]) {
      const keyed = keyRoot(planWalk({ pace }), { fps, of: 'root' });
      expect(Number.isInteger(Math.round(keyed.frames * 1e9) / 1e9)).toBe(true);
      for (const curve of [keyed.height, keyed.forward, keyed.side]) {
        for (const { time } of curve.keys) assertClose(time * fps, Math.round(time * fps), { abs: 1e-9 });
        expect(spansInside(curve)).toBe(true);
        expect(curve.of).toBe('root');
      }
    }
  });

  it.each(PACES)('closes the loop of the %s walk in value and slope, and travels a stride', (pace) => {
    const keyed = keyRoot(planWalk({ pace }), { fps: 24, of: 'centreOfMass' });
    const { strideTime, strideLength } = keyed.walk.pace;
    for (const channel of ['height', 'forward', 'side'] as const) {
      const gain = channel === 'forward' ? strideLength : 0;
      for (const { time } of keyed[channel].keys) {
        const [a, b] = [evaluateJet(keyed[channel], time), evaluateJet(keyed[channel], time + strideTime)];
        assertClose(b.value - a.value, gain, { abs: 1e-9 }, channel);
        assertClose(b.velocity, a.velocity, { abs: 1e-9 }, channel);
      }
    }
  });

  it('reaches the stated accuracies with 2, 3 and 4 keys a step at 12 to 16 frames a step', () => {
    const bounds = { 2: [3e-4, 0.055], 3: [1.1e-4, 0.027], 4: [5e-5, 0.012] } as const;
    for (const framesPerStep of [12, 13, 14, 15, 16]) {
      for (const poseTiming of [0, 1]) {
        const walk = planWalk({ pace: { framesPerStep, fps: 24 }, poseTiming });
        for (const [keysPerStep, [metres, bodyWeights]] of Object.entries(bounds)) {
          const { height } = keyRoot(walk, {
            fps: 24,
            of: 'centreOfMass',
            keysPerStep: Number(keysPerStep),
          }).error;
          const what = `${framesPerStep} frames, timing ${poseTiming}, ${keysPerStep} keys`;
          expect(height.value.max, what).toBeLessThanOrEqual(metres);
          expect(height.load.rms, what).toBeLessThanOrEqual(bodyWeights);
        }
      }
    }
  });

  it('keeps keys on frames and lets only the period be fractional where whole frames are not asked for', () => {
    const walk = planWalk({ pace: 'ordinary' });
    const keyed = keyRoot(walk, { fps: 24, of: 'root', wholeFrames: false });
    assertClose(keyed.frames, walk.pace.strideTime * 24, { rel: 1e-12 });
    expect(keyed.walk).toBe(walk);
    for (const { time } of keyed.height.keys) assertClose(time * 24, Math.round(time * 24), { abs: 1e-9 });
  });

  it('keys contact, down, passing and up on request', () => {
    const walk = planWalk({ pace: { framesPerStep: 12, fps: 24 }, poseTiming: 1 });
    const { height } = keyRoot(walk, { fps: 24, of: 'root', keyPoses: true });
    const frames = height.keys.map(({ time }) => Math.round(time * 24));
    for (const frame of [0, 3, 6, 9, 12, 15, 18, 21]) expect(frames).toContain(frame);
  });

  it('keys the frame nearest each high and low on request', () => {
    const keyed = keyRoot(planWalk({ pace: 'ordinary' }), { fps: 24, of: 'root', keyExtremes: true });
    const frames = keyed.height.keys.map(({ time }) => Math.round(time * 24));
    const extremes = seriesExtremes(rootMotion(keyed.walk, { of: 'root' }).height);
    expect(extremes.length).toBe(4);
    for (const { time } of extremes) expect(frames).toContain(Math.round(time * 24) % 26);
  });

  it('says so where a tolerance cannot be met, and by how much', () => {
    const keyed = keyRoot(planWalk({ pace: { framesPerStep: 5, fps: 24 } }), {
      fps: 24,
      of: 'centreOfMass',
      tolerance: 1e-12,
    });
    expect(keyed.met).toBe(false);
    expect(keyed.error.height.value.max).toBeGreaterThan(1e-12);
  });

  it('refuses what it cannot do', () => {
    const walk = planWalk({ pace: 'slow' });
    expect(() => keyRoot(walk, { fps: 0, of: 'root' })).toThrow('keyRoot: fps must be > 0 Hz, got 0');
    expect(() => keyRoot(walk, { fps: 24 } as never)).toThrow(
      'keyRoot: of must be one of "centreOfMass", "root", got undefined',
    );
    expect(() => keyRoot(walk, { fps: 24, of: 'root', tolerance: 0 })).toThrow(
      'keyRoot: tolerance must be > 0 m, got 0',
    );
    expect(() => keyRoot(walk, { fps: 24, of: 'root', keysPerStep: 1 })).toThrow(
      'keyRoot: keysPerStep must be a whole number in [2, 64], got 1',
    );
  });
});
