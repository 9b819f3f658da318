import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type FootEvents, walkEvents } from '../../../src/gait/feet/index.js';
import { planWalk, reactionsAt, type Side } from '../../../src/gait/index.js';
import { assertClose } from '../../support/assert-close.js';
import { walkSpecs } from '../../support/walk-specs.js';

/** Rounding of a few sums of fractions. */
const ROUNDING = { abs: 1e-12 };

const other = (side: Side): Side => (side === 'left' ? 'right' : 'left');

describe('walkEvents', () => {
  it('puts the events of a 60 % stance where the teaching norm has them', () => {
    const { right } = walkEvents(planWalk({ pace: 'ordinary', stanceFraction: 0.6 }));
    // The teaching norm of clinical gait, % of the stride: contact 0, opposite toe-off 10, foot-flat 10,
    // mid-stance 30, heel-off 40, opposite contact 50, toe-off 60, mid-swing 80.
    const norm: Record<keyof FootEvents, number> = {
      contact: 0,
      oppositeLift: 10,
      flat: 10,
      midStance: 30,
      heelOff: 40,
      oppositeContact: 50,
      lift: 60,
      midSwing: 80,
    };
    for (const [name, percent] of Object.entries(norm)) {
      assertClose(100 * right[name as keyof FootEvents].phase, percent, { abs: 1e-9 }, name);
    }
  });

  it('keeps each foot on the floor exactly from its contact to its lift, by its force', () => {
    fc.assert(
      fc.property(walkSpecs, fc.constantFrom<Side>('left', 'right'), (spec, side) => {
        const walk = planWalk(spec);
        const { contact, lift } = walkEvents(walk)[side];
        const inside = lift.time - contact.time;
        const outside = walk.pace.strideTime - inside;
        // The force is nothing outside and something inside, by 5 % of either span from each end.
        for (const x of [0.05, 0.5, 0.95]) {
          const standing = reactionsAt(walk, contact.time + x * inside)[side].vertical;
          const swinging = reactionsAt(walk, lift.time + x * outside)[side].vertical;
          expect(swinging).toBe(0);
          expect(standing).toBeGreaterThanOrEqual(0);
        }
      }),
      { numRuns: 200 },
    );
  });

  it('agrees between the feet: what one calls opposite is the other’s own', () => {
    fc.assert(
      fc.property(walkSpecs, fc.constantFrom<Side>('left', 'right'), (spec, side) => {
        const events = walkEvents(planWalk(spec));
        const [own, far] = [events[side], events[other(side)]];
        const apart = (a: number, b: number): number => Math.abs(a - b - Math.round(a - b));
        assertClose(apart(own.oppositeContact.phase, far.contact.phase), 0, ROUNDING);
        assertClose(apart(own.oppositeLift.phase, far.lift.phase), 0, ROUNDING);
      }),
      { numRuns: 200 },
    );
  });

  it('orders a foot’s own events, whatever the dials', () => {
    fc.assert(
      fc.property(walkSpecs, (spec) => {
        const walk = planWalk(spec);
        for (const foot of Object.values(walkEvents(walk)) as FootEvents[]) {
          const own = [foot.contact, foot.flat, foot.midStance, foot.heelOff, foot.lift, foot.midSwing];
          for (let i = 1; i < own.length; i++) expect(own[i].time).toBeGreaterThan(own[i - 1].time);
          expect(foot.midSwing.time).toBeLessThan(foot.contact.time + walk.pace.strideTime);
        }
      }),
      { numRuns: 200 },
    );
  });

  it('peels the heel later the heftier the walk', () => {
    const heelOff = (heft: number): number => {
      const { heelOff, lift } = walkEvents(planWalk({ pace: 'ordinary', heft })).left;
      return heelOff.sinceContact / lift.sinceContact;
    };
    expect(heelOff(0.5)).toBeGreaterThan(heelOff(0));
    expect(heelOff(1)).toBeGreaterThan(heelOff(0.5));
  });

  it('refuses what is not a motion', () => {
    expect(() => walkEvents({} as never)).toThrow(/^walkEvents: motion\.kind must be/);
  });
});
