import { beforeAll, describe, expect, it } from 'vitest';
import { evaluate } from '../../src/curves/evaluate.js';
import type { DocumentFollower } from '../../src/exchange/document.js';
import { followerCurves } from '../../src/exchange/document-followers.js';
import { planWalk } from '../../src/gait/plan-walk.js';
import { snapToFrames } from '../../src/gait/snap-to-frames.js';
import type { Walk } from '../../src/gait/walk.js';
import { BOUNCES, followBounce, followCloth, followStrand, trackValue } from '../../src/secondary/index.js';
import { assertClose } from '../support/assert-close.js';

/** A stated error is the largest on a grid; between its points it may be up to 2 % more (docs/method/curves.md). */
const within = (error: number): { abs: number } => ({ abs: 1.02 * error + 1e-9 });

const APRON = { length: 0.4, links: 2, dampingRatio: 0.3, strands: 3, trail: 0.2, frequencyHz: 1.5 } as const;
const PLAIT = { length: 0.3, links: 3, dampingRatio: 0.3, rest: { pitch: [0.6, 0.4, 0.2] }, frequencyHz: 2 };
const KEYS = { fps: 24 } as const;

let walk: Walk;
beforeAll(() => {
  walk = snapToFrames(planWalk({ pace: 'ordinary' }), KEYS);
});

const anglesOf = (curves: readonly DocumentFollower[]): string[] =>
  curves.map(({ channel, unit }) => `${unit} ${channel}`);

describe('the curves of a follower', () => {
  it('are a channel each for what bounces, within the error that they tell', () => {
    const pack = followBounce(walk, BOUNCES.loosePack.part);
    const curves = followerCurves('pack', pack, { ...KEYS, tolerance: 0.0005, carrier: 'chest' });
    expect(anglesOf(curves)).toEqual(['m height', 'm forward', 'm side']);
    expect(curves.map(({ name }) => name)).toEqual(['pack height', 'pack forward', 'pack side']);
    for (const { curve, channel, error = 0, part } of curves) {
      expect(error).toBeLessThanOrEqual(0.0005);
      expect(part).toEqual({ name: 'pack', kind: 'bounce', carrier: 'chest' });
      for (let i = 0; i < 97; i++) {
        const time = (i * pack.duration) / 97;
        assertClose(evaluate(curve, time), trackValue(pack.tracks[channel], time), within(error));
      }
    }
    const [belly] = followerCurves('belly', followBounce(walk, { frequencyHz: 3, dampingRatio: 0.2 }), KEYS);
    expect(belly.name).toBe('belly');
  });

  it('are a pitch and a roll for each link of a strand, with its length and how it rests', () => {
    const plait = followStrand(walk, PLAIT);
    const curves = followerCurves('plait', plait, { ...KEYS, part: PLAIT });
    expect(anglesOf(curves)).toEqual([
      'rad side',
      'rad forward',
      'rad side',
      'rad forward',
      'rad side',
      'rad forward',
    ]);
    expect(curves.map(({ part }) => part?.link)).toEqual([0, 0, 1, 1, 2, 2]);
    expect(curves.filter((_, i) => i % 2 === 0).map(({ part }) => part?.rest)).toEqual([0.6, 0.4, 0.2]);
    assertClose(curves.reduce((sum, { part }) => sum + (part?.length ?? 0), 0) / 2, 0.3, { abs: 1e-12 });
    const { curve, error = 0 } = curves[4];
    for (let i = 0; i < 60; i++) {
      const time = (i * plait.duration) / 60;
      assertClose(evaluate(curve, time), trackValue(plait.links[2].pitch, time), within(error));
    }
  });

  it('say of a cloth where each strand hangs, and how', () => {
    const at = { forward: 0.1, height: 0.02, side: 0 };
    const curves = followerCurves('apron', followCloth(walk, APRON), { ...KEYS, part: APRON, at });
    expect(curves).toHaveLength(12);
    expect(new Set(curves.map(({ part }) => part?.strand))).toEqual(new Set([0, 1, 2]));
    // A panel from right to left, 0.15 m to either side where nothing else is said, trailing.
    expect(curves.filter((_, i) => i % 4 === 0).map(({ part }) => part?.at?.side)).toEqual([-0.15, 0, 0.15]);
    expect(curves[0].part).toMatchObject({ ring: false, rest: 0.2, length: 0.2, carrier: 'hips' });
    expect(curves[0].part?.at).toEqual({ forward: 0.1, height: 0.02, side: -0.15 });
  });

  it.each([
    [[3, {}, KEYS], 'name must be a string, got 3'],
    [['x', null, KEYS], 'follower must be an object, got null'],
    [['x', { kind: 'sail' }, KEYS], 'follower.kind must be one of "bounce", "strand", "cloth", got "sail"'],
    [['x', { kind: 'bounce' }, {}], 'fps must be > 0 1/s, got undefined'],
    [['x', { kind: 'bounce' }, { ...KEYS, colour: 1 }], 'options must have no fields but'],
    [
      ['x', { kind: 'bounce' }, { ...KEYS, carrier: 'hat' }],
      'carrier must be one of "hips", "chest", "head"',
    ],
    [['x', { kind: 'bounce' }, { ...KEYS, at: { height: 0 } }], 'at.forward must be a finite number in m'],
  ])('refuse %j', (given, message) => {
    expect(() => followerCurves(...(given as unknown as Parameters<typeof followerCurves>))).toThrow(
      `followerCurves: ${message}`,
    );
  });

  it('refuse a cloth without its part, and a part that is another one', () => {
    const apron = followCloth(walk, APRON);
    expect(() => followerCurves('apron', apron, KEYS)).toThrow('followerCurves: part must be an object');
    expect(() => followerCurves('apron', apron, { ...KEYS, part: { ...APRON, strands: 4 } })).toThrow(
      'part.strands must be that of the follower, with 3 strands, got 4',
    );
    const plait = followStrand(walk, PLAIT);
    const other = { ...PLAIT, links: 2, rest: { pitch: 0.1 } };
    expect(() => followerCurves('plait', plait, { ...KEYS, part: other })).toThrow(
      'part.links must be that of the follower, with 3 links, got 2',
    );
  });
});
