import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Curve, checkCurve, evaluate, evaluateSeries, type Series } from '../../src/curves/index.js';
import { heelOf } from '../../src/gait/feet/index.js';
import { planWalk, rootAt, type WalkSpec } from '../../src/gait/index.js';
import { type KeyedMotion, type KeyMotionOptions, keyMotion } from '../../src/gait/key-motion.js';
import { poseSeries } from '../../src/gait/pose/index.js';
import { assertClose } from '../support/assert-close.js';

const keyed = (spec: WalkSpec, options: Partial<KeyMotionOptions> = {}): KeyedMotion =>
  keyMotion(planWalk(spec), { fps: 24, of: 'root', ...options });

/** The curves of everything that turns, beside the exact series. */
function turnsOf(motion: KeyedMotion): [string, Curve, Series][] {
  const exact = poseSeries(motion.walk);
  const turns: [string, Curve, Series][] = [];
  for (const part of ['pelvis', 'chest', 'head'] as const) {
    for (const axis of ['heading', 'roll', 'pitch'] as const) {
      turns.push([`${part} ${axis}`, motion[part][axis], exact[part][axis]]);
    }
  }
  for (const side of ['left', 'right'] as const) {
    for (const axis of ['pitch', 'elbow'] as const) {
      turns.push([`${side} arm ${axis}`, motion.arms[side][axis], exact.arms[side][axis]]);
    }
  }
  return turns;
}
const curvesOf = (motion: KeyedMotion): Curve[] => [
  ...Object.values(motion.root),
  ...turnsOf(motion).map(([, curve]) => curve),
  ...Object.values(motion.feet).flatMap(({ height, forward, side, pitch, toeBend }) => [
    height,
    forward,
    side,
    pitch,
    toeBend,
  ]),
];

const SPECS: WalkSpec[] = [
  { pace: 'slow' },
  { pace: 'ordinary' },
  { pace: 'brisk' },
  { pace: 'ordinary', firstFoot: 'left', poseTiming: 1 },
  { pace: 'slow', heft: 1, carry: { mass: 20, where: 'front' } },
  { pace: { framesPerStep: 8, fps: 24 } },
  { pace: 'ordinary', body: { legLength: 2 } },
  { pace: 'ordinary', uneven: { left: { stepTime: 1.08, stepLength: 0.9 } } },
];

describe('keyMotion', () => {
  it('meets every tolerance at the paces and with the dials that it is made for', () => {
    for (const spec of SPECS) {
      for (const fps of [24, 30]) {
        const motion = keyed(spec, { fps });
        expect(motion.met, `${JSON.stringify(spec)} at ${fps}`).toBe(true);
        expect(motion.error.turns).toBeLessThanOrEqual(0.005);
        expect(motion.error.slip).toBeLessThanOrEqual(1e-4);
      }
    }
  });

  it('follows the exact series within the error that it states, measured on its curves', () => {
    for (const spec of SPECS) {
      const motion = keyed(spec);
      let worst = 0;
      for (const [, curve, series] of turnsOf(motion)) {
        for (let i = 0; i < 200; i++) {
          const t = ((i + 0.37) / 200) * series.period;
          worst = Math.max(worst, Math.abs(evaluate(curve, t) - evaluateSeries(series, t).value));
        }
      }
      // The error is measured on a grid of its own; between its points it may be a little larger.
      expect(worst).toBeLessThanOrEqual(1.02 * motion.error.turns);
      for (let i = 0; i < 200; i++) {
        const t = (i / 100) * motion.walk.pace.strideTime;
        const root = rootAt(motion.walk, t, { of: 'root' });
        for (const channel of ['height', 'forward', 'side'] as const) {
          const bound = { abs: 1.02 * motion.error.root[channel].value.max + 1e-9 };
          assertClose(evaluate(motion.root[channel], t), root[channel].value, bound, channel);
        }
      }
    }
  });

  it('keys whole frames, contacts among them, and no two poses of a turn on neighbouring frames', () => {
    for (const spec of SPECS) {
      const motion = keyed(spec);
      expect(Math.abs(motion.frames - Math.round(motion.frames))).toBeLessThan(1e-9);
      for (const curve of curvesOf(motion)) {
        expect(checkCurve(curve)).toEqual([]);
        for (const { time } of curve.keys) assertClose(time * 24, Math.round(time * 24), { abs: 1e-6 });
      }
      for (const side of ['left', 'right'] as const) {
        const contact = Math.round(motion.walk.stance[side].contact * motion.frames);
        for (const curve of [motion.pelvis.heading, motion.root.height, motion.arms.left.pitch]) {
          const frames = curve.keys.map(({ time }) => Math.round(time * 24));
          if (curve.keys.length > 1) expect(frames).toContain(contact);
        }
      }
    }
    const frames = keyed({ pace: 'slow' }).pelvis.heading.keys.map(({ time }) => Math.round(time * 24));
    for (let i = 1; i < frames.length; i++) expect(frames[i] - frames[i - 1]).toBeGreaterThan(1);
  });

  it('loops every curve; only what travels gains a stride', () => {
    const motion = keyed({ pace: 'ordinary' });
    const { strideTime, strideLength } = motion.walk.pace;
    for (const curve of curvesOf(motion)) {
      const gain = evaluate(curve, 1.4 * strideTime) - evaluate(curve, 0.4 * strideTime);
      assertClose(gain, curve.gain ?? 0, { abs: 1e-9 });
      if (curve.gain) assertClose(curve.gain, strideLength, { rel: 1e-12 });
    }
    expect(motion.root.forward.gain).toBeDefined();
  });

  it('takes travelling away exactly on the spot: root and feet keep their distance', () => {
    for (const spec of [{ pace: 'ordinary' }, { pace: 'brisk', firstFoot: 'left' }] as const) {
      const world = keyed(spec);
      const spot = keyed(spec, { space: 'onTheSpot' });
      const { speed } = world.walk.pace;
      for (let i = 0; i < 100; i++) {
        const t = i * 0.031;
        const pairs = [
          [spot.root.forward, world.root.forward],
          [spot.feet.left.forward, world.feet.left.forward],
          [spot.feet.right.forward, world.feet.right.forward],
        ];
        for (const [still, moving] of pairs) {
          assertClose(evaluate(still, t), evaluate(moving, t) - speed * t, { abs: 1e-9 });
          expect(still.gain ?? 0).toBe(0);
        }
      }
      const { flat, lift } = spot.feet.left.contacts[0];
      const [a, b] = [flat, lift].map((t) => evaluate(spot.feet.left.forward, t));
      assertClose(b - a, -speed * (lift - flat), { abs: 1e-9 });
    }
  });

  it('keeps both heels within reach of the legs throughout the stride', () => {
    for (const spec of SPECS) {
      const motion = keyed(spec);
      const { legLength } = motion.walk.body;
      for (const side of ['left', 'right'] as const) {
        const track = motion.feet[side];
        for (let i = 0; i < 60; i++) {
          const t = (i / 60) * motion.walk.pace.strideTime;
          const heel = heelOf(
            {
              forward: evaluate(track.forward, t),
              side: evaluate(track.side, t),
              height: evaluate(track.height, t),
              pitch: evaluate(track.pitch, t),
              toeBend: evaluate(track.toeBend, t),
            },
            track.shape,
          );
          const reach = Math.hypot(
            evaluate(motion.root.forward, t) - heel.forward,
            evaluate(motion.root.height, t) - heel.height,
          );
          // The pelvis's turn brings the hip a little nearer, and the root stands for both hips: 3 % of slack.
          expect(reach).toBeLessThan(1.03 * legLength);
        }
      }
    }
  });

  it('says so where a tolerance cannot be met, and lets the period be a fraction where asked', () => {
    expect(keyed({ pace: { framesPerStep: 4, fps: 24 } }).met).toBe(false);
    const free = keyed({ pace: 'ordinary' }, { wholeFrames: false });
    expect(free.frames).not.toBe(Math.round(free.frames));
    expect(free.walk.pace.speed).toBe(1.28);
    expect(free.error.slip).toBeLessThanOrEqual(1e-4);
  });

  it('survives JSON for any pace, and refuses bad options by name', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.4, max: 2, noNaN: true }), (speed) => {
        const text = JSON.stringify(keyed({ pace: { speed } }));
        expect(JSON.stringify(JSON.parse(text))).toBe(text);
        expect(text).not.toMatch(/null/);
      }),
      { numRuns: 10 },
    );
    expect(() => keyed({ pace: 'slow' }, { turnTolerance: 0 })).toThrow(
      'keyMotion: turnTolerance must be > 0 rad, got 0',
    );
    expect(() => keyed({ pace: 'slow' }, { fps: -1 })).toThrow('keyMotion: fps must be > 0 Hz, got -1');
    expect(() => keyed({ pace: 'slow' }, { hands: 1 } as never)).toThrow(
      /keyMotion: options must have no fields but/,
    );
  });
});
