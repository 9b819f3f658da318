import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type FootPose, footAt, walkEvents } from '../../../src/gait/feet/index.js';
import { planWalk, type Side, type Walk, type WalkSpec } from '../../../src/gait/index.js';
import { assertClose } from '../../support/assert-close.js';
import { walkSpecs } from '../../support/walk-specs.js';

const SIDES = ['left', 'right'] as const;
const CHANNELS = ['height', 'forward', 'side', 'pitch', 'toeBend'] as const;

/** Rounding of positions in m, after a few strides. */
const rounding = (walk: Walk) => ({ abs: 1e-12 * (1 + 10 * walk.pace.strideLength + walk.body.stature) });

/** A foot at a fraction of its swing. */
const inSwing = (walk: Walk, side: Side, u: number): FootPose => {
  const { lift, contact } = walkEvents(walk)[side];
  return footAt(walk, side, lift.time + u * (contact.time + walk.pace.strideTime - lift.time));
};
/** Grid of swing without its ends. */
const SWING = Array.from({ length: 199 }, (_, i) => (i + 1) / 200);

const anyWalk = walkSpecs.map(planWalk);
const RUNS = { numRuns: 200 };

describe('footAt', () => {
  it('stands where the walk says: the heel lands on the stance’s place and on the floor', () => {
    fc.assert(
      fc.property(anyWalk, (walk) => {
        for (const side of SIDES) {
          const { contact, forward, side: across } = walk.stance[side];
          const { heel } = footAt(walk, side, contact * walk.pace.strideTime);
          assertClose(heel.forward, forward, rounding(walk));
          assertClose(heel.side, across, rounding(walk));
          assertClose(heel.height, 0, rounding(walk));
        }
      }),
      RUNS,
    );
  });

  it('holds the heel still from landing to flat and the ball from flat to lift, in any stride', () => {
    fc.assert(
      fc.property(anyWalk, fc.integer({ min: -3, max: 3 }), (walk, stride) => {
        const { strideTime, strideLength } = walk.pace;
        for (const side of SIDES) {
          const { contact, flat, lift } = walkEvents(walk)[side];
          const ground = walk.stance[side].forward + stride * strideLength;
          for (const u of [0.001, 0.3, 0.6, 0.999]) {
            const striking = contact.time + u * (flat.time - contact.time) + stride * strideTime;
            const { heel } = footAt(walk, side, striking);
            assertClose(heel.forward, ground, rounding(walk), 'heel forward');
            assertClose(heel.height, 0, rounding(walk), 'heel height');
            const standing = flat.time + u * (lift.time - flat.time) + stride * strideTime;
            const ball = footAt(walk, side, standing);
            assertClose(ball.forward.velocity, 0, { abs: 0 });
            assertClose(ball.height.value, 0, { abs: 0 });
            assertClose(
              ball.forward.value - ground,
              footAt(walk, side, flat.time).forward.value - walk.stance[side].forward,
              rounding(walk),
            );
          }
        }
      }),
      RUNS,
    );
  });

  it('keeps everything at or above the floor, and the toes flat on it while the heel peels', () => {
    fc.assert(
      fc.property(anyWalk, (walk) => {
        const below = 1e-9 * walk.body.legLength;
        for (const side of SIDES) {
          for (const u of SWING) {
            const { heel, toe, height } = inSwing(walk, side, u);
            for (const z of [heel.height, toe.height, height.value]) expect(z).toBeGreaterThanOrEqual(-below);
          }
          const { heelOff, lift } = walkEvents(walk)[side];
          const { toe } = footAt(walk, side, (heelOff.time + lift.time) / 2);
          assertClose(toe.height, 0, rounding(walk));
        }
      }),
      RUNS,
    );
  });

  it('brings the toe nearest to the floor at 51 % of swing, 1.9 cm above it', () => {
    // Moosabhoy & Gard 2006: 1.9 ± 0.5 cm at 51 % of swing; adult leg of 0.90 m, scaled with the leg.
    const specs: WalkSpec[] = [
      { pace: 'slow' },
      { pace: 'ordinary' },
      { pace: 'brisk' },
      { pace: 'ordinary', heft: 1 },
      { pace: 'ordinary', body: { legLength: 2.7 } },
    ];
    for (const spec of specs) {
      const walk = planWalk(spec);
      for (const side of SIDES) {
        const inner = SWING.filter((u) => u > 0.25 && u < 0.9);
        const heights = inner.map((u) => inSwing(walk, side, u).toe.height);
        const least = Math.min(...heights);
        assertClose(least, (0.019 * walk.body.legLength) / 0.9, { rel: 1e-3 });
        assertClose(inner[heights.indexOf(least)], 0.51, { abs: 0.01 });
      }
    }
  });

  it('states derivatives that central differences of its values confirm', () => {
    fc.assert(
      fc.property(
        anyWalk,
        fc.constantFrom<Side>('left', 'right'),
        fc.double({ min: 0.01, max: 0.99, noNaN: true }),
        (walk, side, u) => {
          const { lift, contact } = walkEvents(walk)[side];
          const swing = contact.time + walk.pace.strideTime - lift.time;
          const t = lift.time + u * swing;
          const h = 1e-4 * Math.min(u, 1 - u) * swing;
          const [a, b, c] = [t - h, t, t + h].map((at) => footAt(walk, side, at));
          for (const channel of CHANNELS) {
            // Quintics over the swing: third derivatives up to some hundred sizes per swing cubed.
            const size = 1e-12 + walk.pace.strideLength + walk.body.stature;
            const slope = (c[channel].value - a[channel].value) / (2 * h);
            const bend = (c[channel].velocity - a[channel].velocity) / (2 * h);
            const noise = (1e-14 * size * (1 + 1 / walk.pace.strideLength)) / h;
            assertClose(b[channel].velocity, slope, { abs: (1e-4 * size) / swing + noise }, channel);
            assertClose(
              b[channel].acceleration,
              bend,
              { abs: (1e-3 * size) / swing ** 2 + noise / swing },
              channel,
            );
          }
        },
      ),
      RUNS,
    );
  });

  it('runs on without a jump in place or speed at landing, flat, heel-off and lift, and in acceleration within swing', () => {
    fc.assert(
      fc.property(anyWalk, (walk) => {
        const { strideTime, strideLength } = walk.pace;
        const size = strideLength + walk.body.stature;
        for (const side of SIDES) {
          const { contact, flat, heelOff, lift } = walkEvents(walk)[side];
          const swing = contact.time + strideTime - lift.time;
          const gap = 1e-9 * strideTime;
          const shortest = Math.min(flat.time - contact.time, lift.time - heelOff.time, swing);
          const compare = (t: number, span: number, derivatives: number): void => {
            const [a, b] = [footAt(walk, side, t - gap), footAt(walk, side, t + gap)];
            for (const channel of CHANNELS) {
              const unit = channel === 'pitch' || channel === 'toeBend' ? 1 : size;
              // What the next derivative, some hundreds of units per span, makes of the gap.
              const bound = (order: number) => ({
                abs: (unit * 10 ** (order + 2) * gap) / span ** (order + 1),
              });
              assertClose(a[channel].value, b[channel].value, bound(0), channel);
              assertClose(a[channel].velocity, b[channel].velocity, bound(1), channel);
              if (derivatives < 2) continue;
              assertClose(a[channel].acceleration, b[channel].acceleration, bound(2), channel);
            }
          };
          for (const event of [contact, flat, heelOff, lift]) compare(event.time, shortest, 1);
          for (const u of [0.2, 0.35, 0.51]) compare(lift.time + u * swing, swing, 2);
        }
      }),
      RUNS,
    );
  });

  it('slides back at walking speed on the spot, and is otherwise the same', () => {
    const walk = planWalk({ pace: 'ordinary' });
    for (let i = 0; i < 50; i++) {
      const t = i * 0.07;
      const world = footAt(walk, 'left', t);
      const spot = footAt(walk, 'left', t, { space: 'onTheSpot' });
      assertClose(spot.forward.value, world.forward.value - walk.pace.speed * t, { abs: 1e-12 });
      if (world.standing && !world.forward.velocity) expect(spot.forward.velocity).toBe(-walk.pace.speed);
      expect(spot.height).toEqual(world.height);
    }
  });

  it('swings a foot round the standing one where they would pass through each other', () => {
    const narrow = planWalk({ pace: 'ordinary', stepWidth: 0 });
    const apart = inSwing(narrow, 'left', 0.5).side.value - narrow.stance.right.side;
    // The feet of a 1.70 m adult are 0.055 statures broad (Drillis & Contini 1966, memory).
    assertClose(apart, 0.055 * narrow.body.stature, { abs: 1e-12 });
    const wide = planWalk({ pace: 'ordinary' });
    expect(inSwing(wide, 'left', 0.5).side.value).toBe(wide.stance.left.side);
  });

  it('turns the front up at landing and down at lift, both less in short steps', () => {
    const at = (spec: WalkSpec) => {
      const walk = planWalk(spec);
      const { contact, lift } = walkEvents(walk).right;
      return [contact, lift].map(({ time }) => footAt(walk, 'right', time).pitch.value);
    };
    const [landing, lifting] = at({ pace: 'ordinary' });
    // About 20 degrees at landing and 55 at lift; memory.
    assertClose(landing, -0.35, { abs: 0.05 });
    assertClose(lifting, 0.94, { abs: 0.1 });
    const [softer, lower] = at({ pace: 'slow' });
    expect(softer).toBeGreaterThan(landing);
    expect(lower).toBeLessThan(lifting);
  });

  it('refuses bad input by name', () => {
    const walk = planWalk({ pace: 'slow' });
    expect(() => footAt(walk, 'middle' as never, 0)).toThrow(
      'footAt: side must be one of "left", "right", got "middle"',
    );
    expect(() => footAt(walk, 'left', Number.NaN)).toThrow('footAt: t must be a finite number in s, got NaN');
    expect(() => footAt(walk, 'left', 0, { where: 1 } as never)).toThrow(
      /options must have no fields but space/,
    );
  });
});
