import { describe, expect, it } from 'vitest';
import type { Series } from '../../src/curves/series.js';
import { planWalk } from '../../src/gait/plan-walk.js';
import { followBounce } from '../../src/secondary/bounce.js';
import { trackExtent, trackValue } from '../../src/secondary/follower-track.js';
import { createFollower } from '../../src/secondary/live.js';
import { BOUNCES, bellyOf, STRANDS, type StrandPresetName } from '../../src/secondary/presets.js';
import { followStrand } from '../../src/secondary/strand.js';
import { bob } from './drivers.js';

/** A push forwards: how far the tip is dragged, in m, and frames at 24 fps until a twentieth of that is left. */
function pushed(name: StrandPresetName): { drag: number; settle: number } {
  const forward = Array.from(
    { length: 25 },
    (_, i) => 0.2 * Math.sin(Math.min(1, i / 20) * Math.PI * 0.5) ** 2,
  );
  const { part } = STRANDS[name];
  const { links, lengths } = followStrand({ forward, every: 1 / 60, repeats: false }, part, {
    settle: 8,
    every: 1 / 24,
    model: 'small',
    space: 'world',
  });
  const rest = links.map(({ pitch }) => trackValue(pitch, 0));
  const tip = (t: number) =>
    Math.abs(links.reduce((sum, { pitch }, i) => sum + lengths[i] * (trackValue(pitch, t) - rest[i]), 0));
  const times = Array.from({ length: 200 }, (_, i) => i / 24);
  const drag = Math.max(...times.map(tip));
  return { drag, settle: times.filter((t) => tip(t) > 0.05 * drag).length };
}

describe('presets', () => {
  it('all say where their numbers come from', () => {
    for (const { source } of [...Object.values(STRANDS), ...Object.values(BOUNCES), bellyOf(5)]) {
      expect(source).toMatch(/practice, no source|\d{4}|memory/);
    }
  });

  it.each(Object.keys(STRANDS) as StrandPresetName[])('%s follows a walk and closes', (name) => {
    const { cycles, residual } = followStrand(planWalk({ pace: 'ordinary' }), STRANDS[name].part);
    expect(cycles).toBe(1);
    expect(residual).toBeLessThan(1e-8);
  });

  it.each(Object.keys(BOUNCES) as (keyof typeof BOUNCES)[])('%s follows a walk', (name) => {
    const { tracks } = followBounce(planWalk({ pace: 'ordinary' }), BOUNCES[name].part);
    expect(Number.isFinite(trackValue(tracks.height, 0.2))).toBe(true);
  });

  it.each([
    ['shortHair', 'longHair'],
    ['wetHair', 'longHair'],
    ['longHair', 'plait'],
    ['lightCloth', 'heavyCloth'],
  ] as const)(
    'are ordered as the trade orders them: %s drags less and settles sooner than %s',
    (less, more) => {
      // Source: common practice, no source.
      const [first, second] = [pushed(less), pushed(more)];
      expect(first.drag).toBeLessThan(second.drag);
      expect(first.settle).toBeLessThan(second.settle);
    },
  );

  it('let a loose pack go further than a tight one', () => {
    const reach = (name: 'tightPack' | 'loosePack') => {
      const { tracks } = followBounce(planWalk({ pace: 'ordinary' }), BOUNCES[name].part);
      const [low, high] = trackExtent(tracks.height as Series, 0, 1);
      return high - low;
    };
    expect(reach('tightPack')).toBeLessThan(reach('loosePack'));
  });

  it('let a heavier belly sag deeper, lag more and settle later', () => {
    const masses = [2, 5, 10, 20, 40];
    const answers = masses.map((mass) => {
      const { part } = bellyOf(mass);
      const relative = followBounce({ height: bob(2) }, part);
      const world = followBounce({ height: bob(2) }, part, { space: 'world' }).tracks.height as Series;
      const { height } = part.frequencyHz as { height: number };
      return {
        sag: -relative.sag,
        lag: Math.atan2(world.sin[0], world.cos[0]),
        settle: 1 / ((part.dampingRatio as number) * height),
        reach: trackExtent(relative.tracks.height as Series, 0, 0.5)[1],
      };
    });
    for (let i = 1; i < answers.length; i++) {
      for (const key of ['sag', 'settle', 'reach'] as const)
        expect(answers[i][key]).toBeGreaterThan(answers[i - 1][key]);
      expect(answers[i].lag).toBeGreaterThan(answers[i - 1].lag);
    }
  });

  it('leave hair and belly nearly still in a slow walk and clearly moving in a brisk one', () => {
    const reach = (pace: 'slow' | 'ordinary' | 'brisk') => {
      const walk = planWalk({ pace });
      const belly = followBounce(walk, bellyOf(10).part).tracks.height as Series;
      const [low, high] = trackExtent(belly, 0, belly.period);
      const { links } = followStrand(walk, STRANDS.ponytail.part, { space: 'world' });
      const [back, front] = trackExtent(links[6].pitch, 0, walk.pace.strideTime);
      return { belly: high - low, hair: front - back };
    };
    const [slow, ordinary, brisk] = (['slow', 'ordinary', 'brisk'] as const).map(reach);
    for (const part of ['belly', 'hair'] as const) {
      expect(ordinary[part]).toBeGreaterThan(slow[part]);
      expect(brisk[part]).toBeGreaterThan(2 * slow[part]);
    }
    // Seen from a camera: under 1 cm and over 2 cm (common practice, no source).
    expect(slow.belly).toBeLessThan(0.01);
    expect(brisk.belly).toBeGreaterThan(0.02);
  });

  it('tells whoever gives one whole to give its part', () => {
    const walk = planWalk({ pace: 'ordinary' });
    const rule = 'part must be the part alone: of a preset, its `.part`, got a whole preset';
    expect(() => followStrand(walk, STRANDS.plait as never)).toThrow(`followStrand: ${rule}`);
    expect(() => followBounce(walk, BOUNCES.breast as never)).toThrow(`followBounce: ${rule}`);
    expect(() => createFollower(STRANDS.plait as never)).toThrow(`createFollower: ${rule}`);
  });
});
