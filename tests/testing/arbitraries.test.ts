import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkCurve } from '../../src/curves/index.js';
import { checkDocument, readDocument, toDocument } from '../../src/exchange/index.js';
import { checkWalkSpec, planWalk } from '../../src/gait/index.js';
import {
  type BouncePart,
  type FollowerTrack,
  followBounce,
  followCloth,
  followStrand,
  trackValue,
} from '../../src/secondary/index.js';
import {
  bounceParts,
  clothParts,
  curves,
  documents,
  scenes,
  strandParts,
  walkSpecs,
} from '../../src/testing/index.js';

describe('generated', () => {
  it.each([{}, { steep: true, jumps: true }, { wholeTimes: true }, { repeats: true }, { maxKeys: 2 }])(
    'curves are valid: %j',
    (choice) => {
      fc.assert(
        fc.property(curves(choice), (curve) => {
          expect(checkCurve(curve)).toEqual([]);
        }),
        { numRuns: 500 },
      );
    },
  );

  it('curves are of the sort that was asked for', () => {
    const choice = {
      repeats: true,
      kinds: ['line'],
      outside: ['travels'],
      maxKeys: 3,
      wholeTimes: true,
    } as const;
    fc.assert(
      fc.property(curves(choice), ({ keys, period, before, after }) => {
        expect([before, after]).toEqual(['travels', 'travels']);
        expect(keys.length).toBeLessThanOrEqual(3);
        expect(keys.every(({ next, time }) => next === 'line' && Number.isInteger(time))).toBe(true);
        expect(Number.isInteger(period)).toBe(true);
      }),
      { numRuns: 300 },
    );
  });

  it('curves meet what they are aimed at', () => {
    const sample = fc.sample(curves({ steep: true, jumps: true }), { numRuns: 400, seed: 1 });
    const some = (test: (curve: (typeof sample)[number]) => boolean) => sample.filter(test).length;
    expect(some(({ period }) => period !== undefined)).toBeGreaterThan(100);
    expect(some(({ start, keys }) => keys[0].time > start)).toBeGreaterThan(20);
    expect(some(({ keys }) => keys.some(({ arrives }) => arrives !== undefined))).toBeGreaterThan(50);
    expect(some(({ keys }) => keys.some(({ out }) => out.span === 0))).toBeGreaterThan(50);
    expect(some(({ keys }) => keys.some(({ next }) => next === 'hold'))).toBeGreaterThan(50);
  });

  it('walk specs can be planned', () => {
    fc.assert(
      fc.property(walkSpecs, (spec) => {
        expect(checkWalkSpec(spec)).toEqual([]);
      }),
      { numRuns: 300 },
    );
  });

  const walk = planWalk({ pace: 'ordinary' });
  const finite = (tracks: readonly FollowerTrack[]): boolean =>
    tracks.every((track) => [0, 0.31, 0.77].every((t) => Number.isFinite(trackValue(track, t))));

  it('parts that bounce are all taken, and their answer is finite', () => {
    fc.assert(
      fc.property(bounceParts, (part) => {
        const { tracks, residual } = followBounce(walk, part);
        expect(residual).toBe(0);
        return finite(Object.values(tracks));
      }),
      { numRuns: 200 },
    );
  });

  it('strands and cloths are all taken, and their answer is finite', () => {
    fc.assert(
      fc.property(strandParts, (part) => {
        const { links } = followStrand(walk, part, { model: 'small' });
        expect(links).toHaveLength(part.links ?? 0);
        return finite(links.flatMap(({ pitch, roll }) => [pitch, roll]));
      }),
      { numRuns: 60 },
    );
    fc.assert(
      fc.property(clothParts, (part) => {
        const { strands } = followCloth(walk, part, { steps: 64 });
        expect(strands).toHaveLength(part.strands);
        return finite(strands.flat().flatMap(({ pitch, roll }) => [pitch, roll]));
      }),
      { numRuns: 25 },
    );
  });

  it('parts meet what they are aimed at', () => {
    const bounces = fc.sample(bounceParts, { numRuns: 300, seed: 1 });
    const some = (test: (part: BouncePart) => boolean): number => bounces.filter(test).length;
    expect(some(({ frequencyHz }) => typeof frequencyHz === 'object')).toBeGreaterThan(50);
    expect(some(({ dampedBy }) => dampedBy === 'air')).toBeGreaterThan(30);
    expect(
      some(({ dampingRatio }) => typeof dampingRatio === 'number' && Math.abs(dampingRatio - 1) < 1e-6),
    ).toBeGreaterThan(20);
    const cloths = fc.sample(clothParts, { numRuns: 100, seed: 1 });
    expect(new Set(cloths.map(({ ring }) => ring)).size).toBe(2);
  });

  it('scenes are all taken, and there are many', () => {
    const document = planWalk({ pace: 'ordinary' });
    const sample = fc.sample(scenes, { numRuns: 30, seed: 1 });
    for (const scene of sample) toDocument(document, { name: '', scene, samplesPerFrame: 1 });
    expect(new Set(sample.map(({ up, forward }) => up + forward)).size).toBe(8);
  });

  it('documents are valid and survive JSON', () => {
    fc.assert(
      fc.property(documents, (document) => {
        expect(checkDocument(document)).toEqual([]);
        expect(readDocument(JSON.stringify(document))).toEqual(JSON.parse(JSON.stringify(document)));
      }),
      { numRuns: 8 },
    );
  });
});
