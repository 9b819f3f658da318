import { describe, expect, it } from 'vitest';
import {
  energyOf,
  footAt,
  footSpans,
  footTracks,
  keyMotion,
  keyRoot,
  planRun,
  planShot,
  planWalk,
  poseSeries,
  rootMotion,
  type Shot,
  shotPathAt,
  slowMotion,
  snapToFrames,
  timingChart,
  type Walk,
  walkEvents,
} from '../../src/gait/index.js';

const walk = planWalk({ pace: 'ordinary' });
const shot = planShot({ stretches: [{ steps: 4 }] });
const run = planRun({ pace: { speed: 3 } });

describe('what takes only one kind of motion', () => {
  it('says so in its type, where it would throw', () => {
    const rule = 'motion.kind must be "walk", the kind of what planWalk returns';
    // @ts-expect-error a shot is no walk
    expect(() => rootMotion(shot)).toThrow(rule);
    // @ts-expect-error a shot is no walk
    expect(() => energyOf(shot)).toThrow(rule);
    // @ts-expect-error a run is no walk
    expect(() => energyOf(run)).toThrow(rule);
    // @ts-expect-error a shot is no walk
    expect(() => walkEvents(shot)).toThrow(rule);
    // @ts-expect-error a shot is no walk
    expect(() => poseSeries(shot)).toThrow(rule);
    // @ts-expect-error a shot is no walk
    expect(() => slowMotion(shot, 1)).toThrow(rule);
    // @ts-expect-error a shot is no walk
    expect(() => snapToFrames(shot, { fps: 24 })).toThrow(rule);
    // @ts-expect-error a shot is no walk
    expect(() => footAt(shot, 'left', 0)).toThrow(rule);
    // @ts-expect-error a walk is no shot
    expect(() => shotPathAt(walk, 0)).toThrow('must be "shot"');
    // @ts-expect-error a walk is no shot
    expect(() => footSpans(walk)).toThrow('must be "shot"');
  });
});

describe('what takes several', () => {
  it.each<Walk | Shot>([walk, shot])('takes one that may be either', (motion) => {
    const root = keyRoot(motion, { fps: 24, of: 'root' });
    expect(keyMotion(motion, { fps: 24, of: 'root' }).root.height.keys).toBeDefined();
    expect(root.height.keys.length).toBeGreaterThan(3);
    expect(footTracks(motion, { fps: 24 }).left.met).toBe(true);
    expect(timingChart(motion, { fps: 24 }).marks.length).toBeGreaterThan(6);
  });
});
