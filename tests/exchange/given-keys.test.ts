import { describe, expect, it } from 'vitest';
import { evaluate } from '../../src/curves/evaluate.js';
import { followerCurves } from '../../src/exchange/document-followers.js';
import { checkDocument } from '../../src/exchange/read-document.js';
import { type DocumentOptions, toDocument } from '../../src/exchange/to-document.js';
import { planShot, planWalk } from '../../src/gait/index.js';
import { keyMotion } from '../../src/gait/key-motion.js';
import { keyRoot } from '../../src/gait/key-root.js';
import { snapToFrames } from '../../src/gait/snap-to-frames.js';
import { followBounce } from '../../src/secondary/index.js';
import { assertClose } from '../support/assert-close.js';
import { STAGE } from './example-document.js';

/** A stride of 0.935 s: not on whole frames of the scene, which bring it to 22 of them. */
const walk = planWalk({ pace: { framesPerStep: 11.22, fps: 24 } });
const shot = planShot({ stretches: [{ steps: 3 }] });
const BELLY = { frequencyHz: 2.8, dampingRatio: 0.35 };
const belly = (of: typeof walk) => followerCurves('belly', followBounce(of, BELLY), { fps: 24 });
const whole = snapToFrames(walk, { fps: 24 });
const keyed = keyMotion(walk, { fps: 24, of: 'root' });

const make = (more: unknown, motion: typeof walk | typeof shot = walk) =>
  toDocument(motion, { name: 'Lamplighter', scene: STAGE, ...(more as Partial<DocumentOptions>) });

describe('what is handed in for a document', () => {
  it.each([
    ['an empty root', { root: {} }, 'toDocument: root.height must be an object, got undefined'],
    ['no root', { root: null }, 'toDocument: root must be an object, got null'],
    [
      'the root of a slower walk',
      { root: keyRoot(planWalk({ pace: 'slow' }), { fps: 24, of: 'root' }) },
      /root\.height\.period must be 0\.9166\d* s, the cycle on whole frames: key snapToFrames\(walk, \{ fps \}\)/,
    ],
    [
      'the root of a walk with other strides',
      {
        root: keyRoot(planWalk({ pace: { framesPerStep: 11, fps: 24, strideLength: 1 } }), {
          fps: 24,
          of: 'root',
        }),
      },
      /root\.forward\.gain must be \d\.\d+ m, the way of a cycle/,
    ],
    [
      'a root on other frames',
      { root: keyRoot(walk, { fps: 30, of: 'root' }) },
      'toDocument: root.fps must be 24 Hz, as in the scene, got 30',
    ],
    ['no turns', { turns: {} }, 'toDocument: turns.pelvis must be an object, got undefined'],
    [
      'turns without arms',
      { turns: { ...keyed, arms: undefined } },
      'toDocument: turns.arms must be an object, got undefined',
    ],
    [
      'a follower that is no list',
      { followers: belly(whole)[0] },
      'toDocument: followers must be an array, got an object',
    ],
    [
      'a follower that is none',
      { followers: [{ name: 'belly' }] },
      'toDocument: followers[0].unit must be there',
    ],
    [
      'followers of the walk off its frames',
      { followers: belly(walk) },
      /followers\[0\]\.curve\.period must be a whole number of times 0\.9166\d* s, the cycle on whole frames: follow snapToFrames\(walk, \{ fps \}\) or the walk that keyMotion returns, got 0\.935/,
    ],
    [
      'two followers of one name',
      { followers: [...belly(whole), ...belly(whole)] },
      'toDocument: followers[1].name must not be that of followers[0], got "belly"',
    ],
    [
      'keys on the spot',
      { keyed: keyMotion(walk, { fps: 24, of: 'root', space: 'onTheSpot' }) },
      'toDocument: keyed.space must be one of "travelling", got "onTheSpot"',
    ],
    ['keys that are none', { keyed: 3 }, 'toDocument: keyed must be an object, got 3'],
    [
      'a root twice',
      { keyed, root: keyRoot(walk, { fps: 24, of: 'root' }) },
      'toDocument: root must be left out beside keyed',
    ],
    [
      'the keys of a shot',
      { keyed: keyMotion(shot, { fps: 24, of: 'root' }) },
      'toDocument: keyed.feet.left.height.period must be 0.916',
    ],
  ])('is refused where it is %s', (_, more, message) => {
    expect(() => make(more)).toThrow(message);
  });

  it.each([
    [
      'the root of a walk',
      { root: keyRoot(walk, { fps: 24, of: 'root' }) },
      'toDocument: root.height.period must be left out, as the shot does not repeat: key the shot itself',
    ],
    [
      'the root of a longer shot',
      { root: keyRoot(planShot({ stretches: [{ steps: 5 }] }), { fps: 24, of: 'root' }) },
      /root\.height\.keys\[\d+\]\.time must be \d\.\d+ s, the end of the shot/,
    ],
    [
      'the root of a shorter shot',
      { root: keyRoot(planShot({ stretches: [{ steps: 2 }] }), { fps: 24, of: 'root' }) },
      /root\.forward\.keys\[\d+\]\.time must be \d\.\d+ s, the end of the shot/,
    ],
    [
      'a follower of a walk',
      { followers: belly(whole) },
      'followers[0].curve.period must be left out, as the shot does not repeat: follow the shot itself',
    ],
  ])('is refused for a shot where it is %s', (_, more, message) => {
    expect(() => make(more, shot)).toThrow(message);
  });

  it('may be a follower that takes two cycles to come round', () => {
    const [one] = belly(whole);
    const { period = 0, keys } = one.curve;
    const again = keys.map((key) => ({ ...key, time: key.time + period }));
    const curve = { ...one.curve, period: 2 * period, keys: [...keys, ...again] };
    expect(checkDocument(make({ followers: [{ ...one, curve }] }))).toEqual([]);
  });
});

describe('what keyMotion returns', () => {
  it('goes into a document whole, or its root and turns each', () => {
    const options: DocumentOptions = { name: '', scene: STAGE, keyed };
    const document = toDocument(walk, options);
    expect(checkDocument(document)).toEqual([]);
    expect(document.root).toMatchObject({ of: 'root', height: keyed.root.height });
    expect(document.root.error).toEqual(keyed.error.root);
    expect(document.feet.left.forward).toEqual(keyed.feet.left.forward);
    expect(document.turns?.error).toBe(keyed.error.turns);
    const apart: DocumentOptions = { name: '', scene: STAGE, root: keyed.root, turns: keyed };
    const other = toDocument(walk, apart);
    expect(checkDocument(other)).toEqual([]);
    expect(other.root).toMatchObject({ of: 'root', height: keyed.root.height });
    expect(other.turns).toEqual(document.turns);
  });

  it('of a shot that stands still at its ends does too', () => {
    const stands = planShot({ still: { before: 0.5, after: 1.5 }, stretches: [{ steps: 3 }] });
    const own = keyMotion(stands, { fps: 24, of: 'root' });
    expect(checkDocument(make({ keyed: own }, stands))).toEqual([]);
    expect(checkDocument(make({ root: own.root, turns: own }, stands))).toEqual([]);
  });

  it('of a shot does too', () => {
    const own = keyMotion(shot, { fps: 24, of: 'centreOfMass' });
    const document = make({ keyed: own }, shot);
    expect(checkDocument(document)).toEqual([]);
    expect(document.root).toMatchObject({ of: 'centreOfMass', height: own.root.height });
    expect(document.feet.right.height).toEqual(own.feet.right.height);
  });
});

describe('what settles after the end of a shot', () => {
  const settling = (of: typeof shot) =>
    followerCurves('belly', followBounce(of, BELLY, { settle: 2, keys: { fps: 24 } }), { fps: 24 });

  it('is within the span, with the body standing on', () => {
    const before = make({}, shot);
    const followers = settling(shot);
    const document = make({ followers }, shot);
    const keys = followers[0].curve.keys;
    expect(checkDocument(document)).toEqual([]);
    expect(document.span.duration).toBe(keys[keys.length - 1].time);
    expect(document.span.duration - before.span.duration).toBeGreaterThan(1.9);
    const { forces, span, feet, notes } = document;
    expect(forces.time[forces.time.length - 1]).toBe(span.duration);
    // Sums of a few dozen doubles near 1.
    assertClose(forces.total.vertical[forces.time.length - 1], 1, { abs: 1e-12 });
    for (const side of ['left', 'right'] as const)
      expect(feet[side].contacts[feet[side].contacts.length - 1].lift).toBe(span.duration);
    expect(evaluate(document.root.forward, span.duration)).toBe(
      evaluate(before.root.forward, before.span.duration),
    );
    const note = notes.find(({ code }) => code === 'stands-on');
    expect(note?.values.frames).toBe(Math.round((span.duration - before.span.duration) * 24));
    expect(note?.text).toContain('still.after');
  });

  it('is told where the shot walks on', () => {
    const on = planShot({ to: 'walking', stretches: [{ steps: 3 }] });
    const document = make({ followers: settling(on) }, on);
    expect(document.span).toEqual(make({}, on).span);
    expect(document.notes.map(({ code }) => code)).toContain('settling-left-out');
  });
});
