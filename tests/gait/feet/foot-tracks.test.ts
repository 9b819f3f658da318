import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Curve, checkCurve, evaluate, evaluateJet } from '../../../src/curves/index.js';
import {
  type FootTrack,
  type FootTrackOptions,
  type FootTracks,
  footAt,
  footTracks,
  heelOf,
  toeOf,
} from '../../../src/gait/feet/index.js';
import { planWalk, type Walk, type WalkSpec } from '../../../src/gait/index.js';
import { assertClose } from '../../support/assert-close.js';
import { walkSpecs } from '../../support/walk-specs.js';

const SIDES = ['left', 'right'] as const;
const CURVES = ['height', 'forward', 'side', 'pitch', 'toeBend'] as const;

/** Farthest that what is planted may move in the world, in m: the project's own bar. */
const STILL = { abs: 1e-4 };

const placeAt = (track: FootTrack, t: number) => ({
  forward: evaluate(track.forward, t),
  side: evaluate(track.side, t),
  height: evaluate(track.height, t),
  pitch: evaluate(track.pitch, t),
  toeBend: evaluate(track.toeBend, t),
});

/** Measures on the curves alone, by times and plants that the track states, in the third stride. */
function assertPlanted(tracks: FootTracks, slip = STILL): void {
  const { strideTime, strideLength } = tracks.walk.pace;
  for (const side of SIDES) {
    const track = tracks[side];
    const [{ land, flat, lift }] = track.contacts;
    const [plant] = track.plants;
    for (let i = 0; i <= 60; i++) {
      const u = i / 60;
      const striking = land + u * (flat - land) + 2 * strideTime;
      const heel = heelOf(placeAt(track, striking), track.shape);
      assertClose(heel.forward, plant.forward + 2 * strideLength, slip, 'heel forward');
      assertClose(heel.side, plant.side, slip, 'heel side');
      assertClose(heel.height, 0, slip, 'heel height');
      const standing = flat + u * (lift - flat) + 2 * strideTime;
      const ball = placeAt(track, standing);
      const ground = plant.forward + track.shape.heelToBall + 2 * strideLength;
      assertClose(ball.forward, ground, slip, 'ball forward');
      assertClose(ball.height, 0, slip, 'ball height');
      assertClose(ball.side, plant.side, slip, 'ball side');
    }
  }
}

const tracksOf = (spec: WalkSpec, options: FootTrackOptions): FootTracks =>
  footTracks(planWalk(spec), options);

describe('footTracks', () => {
  it('keeps planted heels and balls still to 0.1 mm at every pace, frame rate and unevenness', () => {
    const specs: WalkSpec[] = [
      { pace: 'slow' },
      { pace: 'ordinary' },
      { pace: 'brisk' },
      { pace: 'ordinary', firstFoot: 'left' },
      { pace: 'ordinary', stepWidth: 0 },
      { pace: 'slow', heft: 1 },
      { pace: { framesPerStep: 8, fps: 24 } },
      { pace: 'ordinary', body: { legLength: 3 } },
      { pace: 'ordinary', body: { stature: 1.1 } },
      { pace: 'ordinary', uneven: { left: { stepTime: 1.1, stepLength: 0.8, stanceFraction: 0.65 } } },
    ];
    for (const spec of specs) {
      for (const fps of [24, 25, 30, 60, 24000 / 1001, undefined]) {
        const tracks = tracksOf(spec, { fps });
        assertPlanted(tracks);
        for (const side of SIDES) {
          expect(tracks[side].met).toBe(true);
          expect(tracks[side].error.slip).toBeLessThanOrEqual(1e-4);
        }
      }
    }
  });

  it('keeps them still for any walk, where keys may leave the frames too', () => {
    fc.assert(
      fc.property(walkSpecs, fc.constantFrom(24, 30, undefined), (spec, fps) => {
        const tracks = tracksOf(spec, { fps });
        assertPlanted(tracks);
      }),
      { numRuns: 40 },
    );
  });

  it('returns valid curves that loop without a jump in value or slope, and travel a stride', () => {
    fc.assert(
      fc.property(walkSpecs, fc.constantFrom(24, 60, undefined), (spec, fps) => {
        const tracks = tracksOf(spec, { fps });
        const { strideTime, strideLength } = tracks.walk.pace;
        for (const side of SIDES) {
          for (const channel of CURVES) {
            const curve = tracks[side][channel];
            expect(checkCurve(curve)).toEqual([]);
            const gain = channel === 'forward' ? strideLength : 0;
            const jump = evaluate(curve, strideTime * 1.3) - evaluate(curve, strideTime * 0.3);
            assertClose(jump, gain, { abs: 1e-9 * (1 + strideLength) }, channel);
            for (const key of curve.keys) expect(key.in.slope).toBe(key.out.slope);
          }
        }
      }),
      { numRuns: 25 },
    );
  });

  it('puts every key on a whole frame, and lands and lifts on keys', () => {
    for (const fps of [24, 25, 30]) {
      const { left, right, onFrames, walk } = tracksOf({ pace: 'ordinary' }, { fps });
      expect(onFrames).toBe(true);
      assertClose(walk.pace.strideTime * fps, Math.round(walk.pace.strideTime * fps), { abs: 1e-9 });
      for (const track of [left, right]) {
        for (const { time } of track.height.keys) {
          assertClose(time * fps, Math.round(time * fps), { abs: 1e-9 });
        }
        const [{ land, lift }] = track.contacts;
        const times = track.height.keys.map(({ time }) => time);
        const within = (t: number): boolean => times.some((time) => Math.abs(time - t) < 1 / fps);
        expect(within(land % walk.pace.strideTime)).toBe(true);
        expect(within(lift % walk.pace.strideTime)).toBe(true);
      }
    }
  });

  it('takes few keys: at most twelve a foot for the three named paces at 24 frames a second', () => {
    for (const pace of ['slow', 'ordinary', 'brisk'] as const) {
      const { right } = tracksOf({ pace }, { fps: 24 });
      expect(right.height.keys.length).toBeLessThanOrEqual(12);
      expect(right.error.path).toBeLessThanOrEqual(0.005);
    }
  });

  it('follows the exact path where no frames are asked for', () => {
    const walk = planWalk({ pace: 'brisk', uneven: { right: { stepLength: 1.15 } } });
    const tracks = footTracks(walk, { tolerance: 0.0005 });
    for (const side of SIDES) {
      for (let i = 0; i < 300; i++) {
        const t = (i / 100) * walk.pace.strideTime;
        const exact = footAt(walk, side, t);
        const place = placeAt(tracks[side], t);
        // The tolerance asked for, on each axis.
        for (const channel of ['forward', 'side', 'height'] as const) {
          assertClose(place[channel], exact[channel].value, { abs: 0.0005 }, channel);
        }
        assertClose(place.pitch, exact.pitch.value, { abs: 0.0005 / tracks[side].shape.heelToBall });
      }
    }
  });

  it('clears the floor by about 1.9 cm in mid-swing and never goes below it', () => {
    for (const fps of [24, 30, 60]) {
      const { right, walk } = tracksOf({ pace: 'ordinary' }, { fps });
      const [{ lift }] = right.contacts;
      const swing = walk.pace.strideTime - lift;
      const toes: number[] = [];
      for (let i = 1; i < 200; i++) {
        const place = placeAt(right, lift + (i / 200) * swing);
        const low = Math.min(
          toeOf(place, right.shape).height,
          heelOf(place, right.shape).height,
          place.height,
        );
        // What the default tolerance allows.
        expect(low).toBeGreaterThan(-0.005);
        if (i > 60 && i < 150) toes.push(toeOf(place, right.shape).height);
      }
      // Moosabhoy & Gard 2006: 1.9 ± 0.5 cm.
      assertClose(Math.min(...toes), 0.019, { abs: 0.005 });
    }
  });

  it('slides the feet back at exactly walking speed on the spot', () => {
    for (const spec of [{ pace: 'ordinary' }, { pace: 'brisk', firstFoot: 'left' }] as const) {
      const world = tracksOf(spec, { fps: 24 });
      const spot = footTracks(world.walk, { fps: 24, space: 'onTheSpot' });
      const { speed, strideTime } = world.walk.pace;
      for (const side of SIDES) {
        expect(spot[side].forward.gain ?? 0).toBe(0);
        const [{ flat, lift }] = spot[side].contacts;
        for (let i = 0; i <= 40; i++) {
          const t = flat + (i / 40) * (lift - flat) + strideTime;
          const { velocity } = evaluateJet(spot[side].forward, t);
          assertClose(velocity, -speed, { abs: 1e-9 });
          assertClose(evaluate(spot[side].forward, t) + speed * t, evaluate(world[side].forward, t), {
            abs: 1e-9,
          });
        }
        const { land } = spot[side].contacts[0];
        assertClose(spot[side].plants[0].forward, world[side].plants[0].forward - speed * land, {
          abs: 1e-9,
        });
      }
    }
  });

  it('states its plants where the walk stands', () => {
    const walk: Walk = planWalk({ pace: 'ordinary', uneven: { left: { stepLength: 0.9 } } });
    const tracks = footTracks(walk);
    for (const side of SIDES) {
      const { forward, side: across, contact, fraction } = walk.stance[side];
      expect(tracks[side].plants).toEqual([{ forward, side: across, heading: 0 }]);
      const [{ land, lift }] = tracks[side].contacts;
      expect(land).toBe(contact * walk.pace.strideTime);
      expect(lift).toBe((contact + fraction) * walk.pace.strideTime);
    }
  });

  it('lands flatter where a frame or two is all there is to roll off the heel', () => {
    const pitchAtLanding = (framesPerStep: number): number => {
      const { right } = tracksOf({ pace: { framesPerStep, fps: 24, strideLength: 1.4 } }, { fps: 24 });
      return evaluate(right.pitch, 0);
    };
    expect(pitchAtLanding(12)).toBeLessThan(-0.3);
    expect(pitchAtLanding(5)).toBeGreaterThan(-0.1);
  });

  it('says so where the bounds cannot be met on frames, and leaves the frames where there are too few', () => {
    const coarse = tracksOf({ pace: { framesPerStep: 4, fps: 24 } }, { fps: 24 });
    expect(coarse.onFrames).toBe(true);
    expect(coarse.right.met).toBe(false);
    expect(coarse.right.error.path).toBeGreaterThan(0.005);
    expect(coarse.right.error.slip).toBeLessThanOrEqual(1e-4);
    const coarser = tracksOf({ pace: { framesPerStep: 1, fps: 24 } }, { fps: 24 });
    expect(coarser.onFrames).toBe(false);
    expect(coarser.right.met).toBe(true);
  });

  it('swaps the feet with the first foot and mirrors their sides', () => {
    const right = tracksOf({ pace: 'ordinary' }, { fps: 24 });
    const left = tracksOf({ pace: 'ordinary', firstFoot: 'left' }, { fps: 24 });
    const values = (curve: Curve) => curve.keys.map(({ time, value }) => [time, value]);
    expect(values(left.left.height)).toEqual(values(right.right.height));
    expect(values(left.left.forward)).toEqual(values(right.right.forward));
    expect(left.left.side.keys[0].value).toBe(-right.right.side.keys[0].value);
  });

  it('survives JSON, and refuses bad options by name', () => {
    const tracks = tracksOf({ pace: 'ordinary' }, { fps: 24 });
    const text = JSON.stringify(tracks);
    expect(JSON.stringify(JSON.parse(text))).toBe(text);
    expect(text).not.toMatch(/null/);
    expect(() => tracksOf({ pace: 'slow' }, { fps: 0 })).toThrow('footTracks: fps must be > 0 Hz, got 0');
    expect(() => tracksOf({ pace: 'slow' }, { tolerance: -1 })).toThrow(
      /footTracks: tolerance must be > 0 m/,
    );
    expect(() => tracksOf({ pace: 'slow' }, { space: 'moon' } as never)).toThrow(
      /footTracks: space must be one of/,
    );
    expect(() => tracksOf({ pace: 'slow' }, { rate: 24 } as never)).toThrow(
      /options must have no fields but/,
    );
  });
});
