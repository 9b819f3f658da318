import { describe, expect, it } from 'vitest';
import { type ChosenContact, planShot, planWalk, readMotion, shotPathAt } from '../../../src/gait/index.js';
import { assertClose } from '../../support/assert-close.js';

const EXACT = { abs: 1e-9 };

/** The contacts of a walk in m and s, from the one a step before phase 0. */
function contactsOf(steps: number): ChosenContact[] {
  const walk = planWalk({ pace: 'ordinary' });
  const { stepTime, stepLength } = walk.pace;
  return Array.from({ length: steps + 2 }, (_, i) => {
    const foot = i % 2 === 0 ? 'left' : 'right';
    const plant = { forward: (i - 1) * stepLength, side: walk.stance[foot].side };
    return { foot, land: (i - 1) * stepTime, plant };
  });
}

describe('chosen contacts', () => {
  /** Rounds a corner, over a kerb, hurries and hesitates; invented. */
  const contacts: ChosenContact[] = [
    { foot: 'left', land: 0, lift: 0.61, plant: { forward: 0, side: 0.06 } },
    { foot: 'right', land: 0, plant: { forward: 0.02, side: -0.06 } },
    { foot: 'left', land: 1.04, lift: 1.77, plant: { forward: 0.6, side: 0.07 } },
    { foot: 'right', land: 1.6180339887, plant: { forward: 1.2, side: -0.05, height: 0.12 } },
    { foot: 'left', land: 2.13, plant: { forward: 1.83, side: 0.11, height: 0.12, heading: 0.2 } },
    { foot: 'right', land: 2.61, plant: { forward: 2.37, side: 0.18, height: 0.12, heading: 0.5 } },
    { foot: 'left', land: 3.4, plant: { forward: 2.75, side: 0.55, height: 0.12, heading: 0.7 } },
    { foot: 'right', land: 4.2, plant: { forward: 2.84, side: 0.46, height: 0.12, heading: 0.7 } },
  ];

  it('are kept to the bit, times, places and headings', () => {
    const { steps } = planShot({ contacts });
    expect(steps.length).toBe(contacts.length);
    for (const [i, { foot, land, lift, plant }] of contacts.entries()) {
      expect(steps[i].foot).toBe(foot);
      expect(steps[i].land).toBe(land);
      if (lift !== undefined) expect(steps[i].lift).toBe(lift);
      expect(steps[i].plant).toEqual({ height: 0, heading: 0, pitch: 0, ...plant });
    }
  });

  it('carry the body from the first two feet to the last two, and turn it with them', () => {
    const shot = planShot({ contacts });
    const end = shotPathAt(shot, shot.duration);
    const { forwardOffset } = { forwardOffset: shot.cycles[0].pivot.pressureTravel / 2 };
    assertClose(end.along.value, (2.75 + 2.84) / 2 + forwardOffset * Math.cos(0.7), EXACT);
    assertClose(end.beside.value, (0.55 + 0.46) / 2 + forwardOffset * Math.sin(0.7), EXACT);
    assertClose(end.heading.value, 0.7, EXACT);
    assertClose(end.height.value - shotPathAt(shot, 0).height.value, 0.12, EXACT);
    expect(end.along.velocity).toBe(0);
  });

  it('of a steady walk give that walk back', () => {
    const shot = planShot({ from: 'walking', to: 'walking', contacts: contactsOf(6) });
    const walk = planWalk({ pace: 'ordinary' });
    const [mine, own] = [readMotion(shot), readMotion(walk)];
    const [a, b] = [new Float64Array(15), new Float64Array(15)];
    expect(shot.stretches[0].steady).toBeDefined();
    for (let i = 0; i <= 100; i++) {
      const t = (shot.duration * i) / 100;
      mine.sampleCentre(t, a.subarray(0, 9));
      mine.sampleForces(t, a.subarray(9));
      own.sampleCentre(t, b.subarray(0, 9));
      own.sampleForces(t, b.subarray(9));
      for (let j = 0; j < 15; j++) assertClose(a[j], b[j], EXACT, `number ${j} at ${t} s`);
    }
  });

  it('of a planned shot can be chosen again', () => {
    const planned = planShot({ stretches: [{ steps: 8 }] });
    const again = planShot({
      contacts: planned.steps.map(({ foot, land, lift, ends, plant }) => ({
        foot,
        land,
        ...(ends ? {} : { lift }),
        plant,
      })),
    });
    for (const [i, { plant, land, lift, ends }] of planned.steps.entries()) {
      expect(again.steps[i].plant).toEqual(plant);
      expect(again.steps[i].land).toBe(land);
      if (!ends) expect(again.steps[i].lift).toBe(lift);
    }
    expect(again.duration).toBeGreaterThan(planned.steps.at(-1)!.land);
  });

  it('say where the floor would have to grip more than floors do', () => {
    const wild = contacts.map((contact, i) => ({
      ...contact,
      lift: undefined,
      plant: { ...contact.plant, forward: contact.plant.forward * (i > 3 ? 3 : 1) },
    }));
    expect(planShot({ contacts: wild }).notes.map(({ code }) => code)).toContain('needs-grip');
  });

  it('are refused where they cannot be walked, field by field', () => {
    const change = (i: number, to: Partial<ChosenContact>): ChosenContact[] =>
      contacts.map((contact, j) => (i === j ? { ...contact, ...to } : contact));
    const cases: [ChosenContact[], string][] = [
      [contacts.slice(0, 3), 'planShot: contacts must have from 4 to 10000 entries, got 3'],
      [
        change(2, { foot: 'right' }),
        'planShot: contacts[2].foot must be the other foot than before, got "right"',
      ],
      [
        change(5, { land: 2 }),
        'planShot: contacts[5].land must be at least 0.01 s after the landing before, got 2',
      ],
      [
        change(0, { land: -1 }),
        'planShot: contacts[0].land must be 0 s where the shot begins standing, got -1',
      ],
      [
        change(2, { lift: 1.5 }),
        'planShot: contacts[2].lift must be at least 0.01 s after the other foot lands and before this one lands again, got 1.5',
      ],
      [change(7, { lift: 9 }), 'planShot: contacts[7].lift must be left out: the foot stands on, got 9'],
    ];
    for (const [wrong, message] of cases) {
      expect(() => planShot({ contacts: wrong })).toThrow(new RangeError(message));
    }
    expect(() => planShot({ contacts, firstFoot: 'left' })).toThrow(
      'firstFoot must be left out beside contacts',
    );
    expect(() => planShot({})).toThrow('must have exactly one of stretches and contacts, got neither');
    const steep = change(3, { plant: { forward: 1, side: 0, height: 60 } }).slice(0, 4);
    steep[2] = { ...steep[2], lift: undefined };
    expect(() => planShot({ contacts: steep })).toThrow('no foot has to pull');
  });
});
