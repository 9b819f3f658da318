import { describe, expect, it } from 'vitest';
import {
  checkShotSpec,
  keyRoot,
  planShot,
  readMotion,
  rootAt,
  type Shot,
  type ShotSpec,
  sampleReactions,
  shotPathAt,
} from '../../../src/gait/index.js';
import { assertClose } from '../../support/assert-close.js';
import { integralOf, seamsOf } from './seams.js';

const EXACT = { abs: 1e-9 };
const STANDARD = 9.80665;

/** Mean speed in m/s along the line from one time to another. */
function meanSpeed(shot: Shot, from: number, to: number): number {
  return (shotPathAt(shot, to).along.value - shotPathAt(shot, from).along.value) / (to - from);
}

/** Both feet's forces at a time: left vertical, forward, side, right vertical, forward, side. */
function forcesAt(shot: Shot): (t: number) => Float64Array {
  const { sampleForces } = readMotion(shot);
  const out = new Float64Array(6);
  return (t) => {
    sampleForces(t, out);
    return out;
  };
}

describe('starting', () => {
  const shot = planShot({ stretches: [{ pace: 'ordinary', steps: 12 }], firstFoot: 'right' });
  const [, , first, second, third] = shot.steps;

  it('comes to at least 90 % of its pace in the third step (Jian et al. 1993: about three steps)', () => {
    expect(meanSpeed(shot, 0, first.land)).toBeLessThan(0.5 * 1.28);
    expect(meanSpeed(shot, first.land, second.land)).toBeLessThan(0.9 * 1.28);
    expect(meanSpeed(shot, second.land, third.land)).toBeGreaterThan(0.9 * 1.28);
    expect(meanSpeed(shot, shot.steps[4].land, shot.steps[5].land)).toBeGreaterThan(0.99 * 1.28);
  });

  it('first loads the foot that will step, then unloads it before it leaves the floor', () => {
    const forces = forcesAt(shot);
    const lift = shot.steps[0].lift;
    const right = Array.from({ length: 101 }, (_, i) => forces((lift * i) / 100)[3]);
    assertClose(right[0], 0.5, EXACT);
    expect(Math.max(...right)).toBeGreaterThan(0.6);
    expect(right.indexOf(Math.max(...right))).toBeLessThan(60);
    expect(right[100]).toBe(0);
  });

  it('steps shorter at first than at its pace', () => {
    const lengths = shot.steps.slice(2, 6).map(({ length }) => length);
    expect([...lengths].sort((a, b) => a - b)).toEqual(lengths);
  });
});

describe('stopping', () => {
  const shot = planShot({ stretches: [{ pace: 'ordinary', steps: 12 }] });
  const [last, close] = shot.steps.slice(-2);

  it('stands within two steps of its pace', () => {
    const steadyUntil = shot.stretches[0].steady!.end;
    expect(shot.steps.filter(({ land }) => land > steadyUntil)).toEqual([last, close]);
    // As the closing foot lands an eighth of the speed is left; within a step's time it is gone.
    expect(shotPathAt(shot, close.land).along.velocity).toBeLessThan(0.15 * 1.28);
    const { stepTime } = shot.cycles[0].pace;
    expect(shotPathAt(shot, close.land + stepTime).along.velocity).toBe(0);
  });

  it('takes a shorter last step, closes beside it and settles down onto both feet alike', () => {
    expect(last.length).toBeLessThan(0.8 * shot.steps[6].length);
    assertClose(close.plant.forward, last.plant.forward, EXACT);
    const forces = forcesAt(shot)(shot.duration);
    assertClose(forces[0], 0.5, EXACT);
    assertClose(forces[3], 0.5, EXACT);
  });

  it('brakes by as much as starting propelled: together the momentum of the walk', () => {
    const forces = forcesAt(shot);
    const total = (t: number): number => {
      const out = forces(t);
      return out[1] + out[4];
    };
    const seams = seamsOf(shot);
    const impulse = (from: number, to: number): number =>
      seams
        .slice(1)
        .filter((t) => t > from && t <= to)
        .reduce((sum, t) => sum + integralOf(total, seams[seams.indexOf(t) - 1], t), 0);
    const { start, end } = shot.stretches[0].steady!;
    const speedAt = (t: number): number => shotPathAt(shot, t).along.velocity;
    assertClose(impulse(0, start), speedAt(start) / STANDARD, EXACT, 'propelled');
    assertClose(impulse(end, shot.duration), -speedAt(end) / STANDARD, EXACT, 'braked');
  });
});

describe('standing on one foot', () => {
  /** A foot is this long and wide, in m: 0.152 and 0.055 of a stature of 1.70 m (Drillis & Contini 1966). */
  const FOOT = { length: 0.258, width: 0.093 };

  it('keeps the pressure within the foot that carries all, in starting, stopping and changing pace', () => {
    const shots = [
      planShot({ stretches: [{ pace: 'ordinary', steps: 10 }] }),
      planShot({
        stretches: [
          { pace: 'slow', steps: 5 },
          { pace: 'brisk', steps: 6 },
        ],
      }),
      planShot({ stretches: [{ steps: 4 }, { steps: 6, turn: { by: 1.5 } }, { steps: 4 }] }),
    ];
    for (const shot of shots) {
      const forces = forcesAt(shot);
      const { forwardHeight, sideHeight } = shot.cycles[0].pivot;
      for (let i = 0; i <= 600; i++) {
        const t = (shot.duration * i) / 600;
        const out = forces(t);
        const down = shot.steps.filter(({ land, lift }) => land <= t && lift >= t);
        if (down.length !== 1) continue;
        const { plant, foot, land, lift } = down[0];
        const at = foot === 'left' ? 0 : 3;
        const body = rootAt(shot, t);
        const heading = shotPathAt(shot, t).heading.value;
        const [c, s] = [Math.cos(heading), Math.sin(heading)];
        const [x, y] = [body.forward.value - plant.forward, body.side.value - plant.side];
        const along = x * c + y * s - (forwardHeight * (out[at + 1] * c + out[at + 2] * s)) / out[at];
        const across = y * c - x * s - (sideHeight * (out[at + 2] * c - out[at + 1] * s)) / out[at];
        // The walk's own pushes at landing and push-off aim forward of its pivots, by up to 0.25 m; and what
        // the feet leave out of the total, 0.03 BW, is as good as 4 cm of pressure.
        const early = (t - land) / (lift - land) < 0.3;
        const late = (t - land) / (lift - land) > 0.6;
        if (!(along > (early || late ? -0.25 : -0.12)))
          console.log(shot.steps.length, t, along, down[0], (t - land) / (lift - land));
        expect(along).toBeGreaterThan(early || late ? -0.25 : -0.12);
        expect(along).toBeLessThan(FOOT.length + 0.02);
        expect(Math.abs(across)).toBeLessThan(FOOT.width / 2 + 0.03);
      }
    }
  });
});

describe('changing pace', () => {
  const shot = planShot({
    from: 'walking',
    to: 'walking',
    stretches: [
      { pace: 'slow', steps: 6 },
      { pace: 'brisk', steps: 8 },
    ],
  });

  it('goes from pace to pace step by step, every step quicker and longer than the one before', () => {
    const changing = shot.steps.slice(6, 11);
    for (let i = 1; i < changing.length; i++) {
      const [a, b] = [changing[i - 1], changing[i]];
      expect(b.length).toBeGreaterThanOrEqual(a.length - 1e-12);
      expect(b.length / b.duration).toBeGreaterThanOrEqual(a.length / a.duration - 1e-12);
    }
    assertClose(shot.steps[12].length, shot.cycles[1].pace.stepLength, EXACT);
  });

  it('keeps the phases matched: both walks are at the same foot at every contact', () => {
    for (const { land, foot } of shot.steps.slice(1)) {
      for (const { phase, cycle } of shot.layers) {
        const at = phase.times.indexOf(land);
        if (at < 0 || at === phase.powers.length) continue;
        const { contact } = shot.cycles[cycle].stance[foot];
        const off = phase.powers[at][0] - contact;
        assertClose(off - Math.round(off), 0, EXACT);
      }
    }
  });
});

describe('turning', () => {
  const speed = 1.2;
  const shot = planShot({
    from: 'walking',
    to: 'walking',
    stretches: [{ pace: { speed }, steps: 20, turn: { radius: 2 } }],
  });
  const { stepTime } = shot.cycles[0].pace;

  it('leans the force of the floor by atan(v² / (r g)) within 1 %, over a stride', () => {
    const reader = readMotion(shot);
    const out = new Float64Array(6);
    let [inwards, up] = [0, 0];
    const samples = 400;
    for (let i = 0; i < samples; i++) {
      const t = 4 * stepTime + (2 * stepTime * i) / samples;
      reader.sampleForces(t, out);
      const heading = shotPathAt(shot, t).heading.value;
      const [forward, side] = [out[1] + out[4], out[2] + out[5]];
      inwards += side * Math.cos(heading) - forward * Math.sin(heading);
      up += out[0] + out[3];
    }
    const lean = Math.atan(inwards / up);
    assertClose(lean, Math.atan(speed ** 2 / (2 * STANDARD)), { rel: 0.01 });
    assertClose(shotPathAt(shot, 4 * stepTime).roll, -lean, { rel: 0.01 });
  });

  it('goes round a circle, the inner foot shorter than the outer one', () => {
    const stride = (foot: 'left' | 'right'): number => {
      const [a, b] = shot.steps.filter((step) => step.foot === foot).slice(4);
      return Math.hypot(b.plant.forward - a.plant.forward, b.plant.side - a.plant.side);
    };
    expect(stride('left')).toBeLessThan(0.97 * stride('right'));
    const turned = shotPathAt(shot, shot.duration).heading.value - shotPathAt(shot, 0).heading.value;
    assertClose(turned, (speed * shot.duration) / 2, EXACT);
  });

  it('turns by exactly what was asked, and points the feet along the way', () => {
    const by = planShot({ stretches: [{ steps: 5 }, { steps: 6, turn: { by: -1.2 } }, { steps: 5 }] });
    assertClose(shotPathAt(by, by.duration).heading.value, -1.2, EXACT);
    assertClose(by.steps.at(-1)!.plant.heading, -1.2, EXACT);
    for (const { plant, land, kind } of by.steps) {
      if (kind !== 'step') continue;
      const body = shotPathAt(by, land).heading.value;
      // The foot lands in front of the body and so has turned no less.
      expect(plant.heading).toBeLessThanOrEqual(body + 1e-12);
    }
  });

  it('slows down before a tight turn and comes back to its pace after it', () => {
    const tight = planShot({
      from: 'walking',
      to: 'walking',
      stretches: [{ steps: 8 }, { steps: 6, turn: { radius: 1 } }, { steps: 8 }],
    });
    const before = tight.steps[tight.stretches[0].lastStep];
    const inside = tight.steps[tight.stretches[1].firstStep + 2];
    const after = tight.steps[tight.stretches[2].lastStep];
    const speedOf = ({ length, duration }: typeof before): number => length / duration;
    expect(speedOf(before)).toBeLessThan(0.95 * 1.28);
    expect(speedOf(inside)).toBeLessThan(speedOf(before));
    assertClose(speedOf(after), 1.28, EXACT);
  });
});

describe('slopes and stairs', () => {
  /** Impulse along a slope in BW s over a stride, braking and propelling apart. */
  function impulses(slope: number): { braking: number; propulsion: number } {
    const shot = planShot({ from: 'walking', to: 'walking', stretches: [{ steps: 12, slope }] });
    const forces = forcesAt(shot);
    const angle = Math.atan(slope);
    const { strideTime } = shot.cycles[0].pace;
    let [braking, propulsion] = [0, 0];
    for (let i = 0; i < 600; i++) {
      const out = forces(2 * strideTime + (strideTime * i) / 600);
      for (const foot of [0, 3]) {
        const along = out[foot + 1] * Math.cos(angle) + out[foot] * Math.sin(angle);
        if (along < 0) braking -= (along * strideTime) / 600;
        else propulsion += (along * strideTime) / 600;
      }
    }
    return { braking, propulsion };
  }

  it('brakes more than it propels downhill and the reverse uphill, along the slope (Dewolf et al. 2017)', () => {
    const [down, level, up] = [impulses(-0.1), impulses(0), impulses(0.1)];
    expect(down.braking).toBeGreaterThan(down.propulsion);
    expect(up.propulsion).toBeGreaterThan(up.braking);
    assertClose(level.braking, level.propulsion, { abs: 1e-6 });
  });

  it('rises by the slope with every step, exactly', () => {
    const shot = planShot({ stretches: [{ steps: 4 }, { steps: 6, slope: 0.12 }, { steps: 4 }] });
    const { firstStep, lastStep } = shot.stretches[1];
    for (let i = firstStep; i <= lastStep; i++) {
      const rise = shot.steps[i].plant.height - shot.steps[i - 1].plant.height;
      assertClose(rise, 0.12 * shot.steps[i].length, EXACT);
    }
    assertClose(shot.steps[firstStep].plant.pitch, -Math.atan(0.12), EXACT);
  });

  it('takes every riser and every tread exactly, up and down, and stands higher by them', () => {
    for (const riser of [0.17, -0.17]) {
      const shot = planShot({
        stretches: [{ steps: 4 }, { steps: 7, stairs: { riser, tread: 0.29 } }, { steps: 4 }],
      });
      const { firstStep, lastStep } = shot.stretches[1];
      for (let i = firstStep; i <= lastStep; i++) {
        assertClose(shot.steps[i].plant.height - shot.steps[i - 1].plant.height, riser, EXACT);
        assertClose(shot.steps[i].plant.forward - shot.steps[i - 1].plant.forward, 0.29, EXACT);
      }
      const climbed = shotPathAt(shot, shot.duration).height.value - shotPathAt(shot, 0).height.value;
      assertClose(climbed, 7 * riser, EXACT);
    }
  });
});

describe('extents', () => {
  it('goes exactly as far and takes exactly as long as asked, and says what that did to the steps', () => {
    const shot = planShot({ stretches: [{ distance: 5 }, { duration: 4, pace: 'brisk' }] });
    const { firstStep, lastStep, start, end } = shot.stretches[1];
    const first = shot.steps.slice(0, firstStep).reduce((sum, { length }) => sum + length, 0);
    assertClose(first, 5, EXACT);
    assertClose(end - start, 4, EXACT);
    expect(lastStep).toBe(shot.steps.length - 1);
    expect(shot.notes.map(({ code }) => code)).toContain('steps-fitted');
  });
});

describe('reading', () => {
  const shot = planShot({ stretches: [{ steps: 6 }], still: { before: 0.5, after: 0.5 } });

  it('tabulates the reactions of the whole shot from its first moment to its last', () => {
    const table = sampleReactions(shot, { samples: 101 });
    expect(table.time[0]).toBe(0);
    assertClose(table.time[100], shot.duration, EXACT);
    assertClose(table.total.vertical[0], 1, EXACT);
    expect(table.phase[0]).toBe(table.phase[5]);
    expect(Math.max(...table.phase)).toBeLessThan(1);
  });

  it('holds its ends outside its span', () => {
    const reader = readMotion(shot);
    const [a, b] = [new Float64Array(9), new Float64Array(9)];
    reader.sampleCentre(-3, a);
    reader.sampleCentre(0, b);
    expect([...a]).toEqual([...b]);
    expect(reader.repeats).toBe(false);
  });
});

describe('refusing', () => {
  it('names function, field, rule and value', () => {
    const cases: [ShotSpec, string][] = [
      [{ stretches: [] }, 'planShot: stretches must have from 1 to 200 entries, got 0'],
      [
        { stretches: [{ steps: 1 }] },
        'planShot: stretches[0].steps must be >= 2 where the shot ends standing: one step, and one that closes, got 1',
      ],
      [
        { stretches: [{ pace: 'slow' }] },
        'planShot: stretches[0] must have exactly one of distance, duration and steps, got 0',
      ],
      [
        { stretches: [{ steps: 3, turn: { radius: 0.01 } }] },
        'planShot: stretches[0].turn.radius must be at least 0.05 m to either side, got 0.01',
      ],
      [
        { stretches: [{ distance: 3, stairs: { riser: 0.2, tread: 0.3 } }] },
        'planShot: stretches[0].steps must be given on stairs, got undefined',
      ],
      [
        { stretches: [{ distance: 0.1 }] },
        'planShot: stretches[0].distance must leave its steps between 0.4 and 2.5 of their usual length, about 0.21 m or more here, got 0.1',
      ],
    ];
    for (const [spec, message] of cases) {
      expect(() => planShot(spec)).toThrow(new RangeError(message));
    }
    expect(() => planShot({ stretches: [{ steps: 3, body: {} }] } as never)).toThrow(TypeError);
  });

  it('lists all problems at once', () => {
    const problems = checkShotSpec({
      from: 'air',
      still: { before: -1 },
      stretches: [{ steps: 0, slope: 2 }],
    });
    expect(problems.map(({ field }) => field)).toEqual([
      'from',
      'still.before',
      'stretches[0].steps',
      'stretches[0].slope',
    ]);
  });

  it('tells a shot from a walk where only one of them will do', () => {
    const shot = planShot({ stretches: [{ steps: 4 }] });
    const walk = shot.cycles[0];
    expect(() => shotPathAt(walk as never, 0)).toThrow('shotPathAt: motion.kind must be "shot"');
    expect(() => keyRoot({ ...shot, kind: 'jump' } as never, { fps: 24, of: 'root' })).toThrow(
      'must be "walk", "shot" or "run"',
    );
  });
});
