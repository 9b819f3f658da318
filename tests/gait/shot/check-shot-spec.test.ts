import { describe, expect, it } from 'vitest';
import {
  footTracks,
  keyMotion,
  keyRoot,
  planRun,
  planShot,
  readMotion,
  timingChart,
} from '../../../src/gait/index.js';

describe('a shot that is refused', () => {
  it('lists what a stretch takes where one of its fields is misspelt', () => {
    const wrong = () => planShot({ stretches: [{ steps: 1, stiars: 1 }] } as never);
    expect(wrong).toThrow(TypeError);
    expect(wrong).toThrow(
      'planShot: stretches[0] must have no fields but distance, duration, steps, turn, slope, stairs, pace, uneven, stepFactor,',
    );
    expect(wrong).not.toThrow(/body|firstFoot|carry|gravity/);
  });

  it('is refused by field where it is not whole', () => {
    const broken = { kind: 'shot' } as never;
    const rule = 'motion.body must be there, as in what planShot returns, got undefined';
    expect(() => keyMotion(broken, { fps: 24, of: 'root' })).toThrow(`keyMotion: ${rule}`);
    expect(() => keyRoot(broken, { fps: 24, of: 'root' })).toThrow(`keyRoot: ${rule}`);
    expect(() => footTracks(broken)).toThrow(`footTracks: ${rule}`);
    expect(() => timingChart(broken, { fps: 24 })).toThrow(`timingChart: ${rule}`);
    expect(() => readMotion({ kind: 'walk' } as never)).toThrow('as in what planWalk returns');
  });

  it('is named beside a walk where both are taken and a run is not', () => {
    const run = planRun({ pace: { speed: 3 } }) as never;
    const rule =
      'motion.kind must be "walk" or "shot", the kinds of what planWalk and planShot return, got "run"';
    expect(() => keyMotion(run, { fps: 24, of: 'root' })).toThrow(`keyMotion: ${rule}`);
    expect(() => footTracks(run)).toThrow(`footTracks: ${rule}`);
    expect(() => timingChart(run, { fps: 24 })).toThrow(`timingChart: ${rule}`);
  });
});
