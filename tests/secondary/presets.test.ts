import { describe, expect, it } from 'vitest';
import type { Series } from '../../src/curves/series.js';
import { planWalk } from '../../src/gait/plan-walk.js';
import { followBounce } from '../../src/secondary/bounce.js';
import { trackExtent, trackValue } from '../../src/secondary/follower-track.js';
import { BOUNCES, bellyOf, STRANDS, type StrandPresetName } from '../../src/secondary/presets.js';
import { followStrand } from '../../src/secondary/strand.js';
import { bob } from './drivers.js';

/** Frames at 24 fps until a start's swing stays below a twentieth, after the parent has stopped. */
function settleFrames(name: StrandPresetName): number {
  const forward = Array.from(
    { length: 25 },
    (_, i) => 0.2 * Math.sin(Math.min(1, i / 20) * Math.PI * 0.5) ** 2,
  );
  const { part } = STRANDS[name];
  const { links } = followStrand({ forward, every: 1 / 60, repeats: false }, part, {
    settle: 8,
    every: 1 / 24,
    model: 'small',
  });
  const tip = (t: number) => Math.abs(links.reduce((sum, { pitch }) => sum + trackValue(pitch, t), 0));
  const times = Array.from({ length: 200 }, (_, i) => i / 24);
  const most = Math.max(...times.map(tip));
  return times.filter((t) => tip(t) > 0.05 * most).length;
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

  it('are ordered as the trade orders them: the heavier settles later', () => {
    // Source: common practice, no source.
    expect(settleFrames('shortHair')).toBeLessThan(settleFrames('longHair'));
    expect(settleFrames('wetHair')).toBeLessThan(settleFrames('longHair'));
    expect(settleFrames('longHair')).toBeLessThan(settleFrames('plait'));
    expect(settleFrames('lightCloth')).toBeLessThan(settleFrames('heavyCloth'));
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
});
