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

  it('may not climb what no leg climbs, 0.88 of its length (Warren 1984, memory)', () => {
    const climb = (riser: number, legLength: number) => () =>
      planShot({
        body: { legLength },
        stretches: [{ steps: 3 }, { steps: 4, stairs: { riser, tread: 0.3 } }, { steps: 3 }],
      });
    expect(climb(0.85, 0.9)).toThrow(
      'planShot: stretches[1].stairs.riser must be at most 0.88 of the leg up or down, 0.79 m, got 0.85',
    );
    expect(climb(-0.85, 0.9)).toThrow('got -0.85');
    expect(climb(0.85, 1)).not.toThrow();
    expect(climb(0.78, 0.9)).not.toThrow();
    expect(climb(5, 0.9)).toThrow('stairs.riser');
  });

  it('says how little or much way there is where a distance cannot be met', () => {
    const walk = (distance: number) => () => planShot({ stretches: [{ distance }] });
    let least = 0;
    try {
      walk(0.1)();
    } catch (error) {
      least = Number(/about (\S+) m or more here/.exec((error as Error).message)?.[1]);
    }
    expect(least).toBeGreaterThan(0.2);
    expect(walk(least + 0.01)).not.toThrow();
    expect(walk(least - 0.01)).toThrow('stretches[0].distance must leave its steps');
  });
});

describe('a turn that hips do not make', () => {
  const notesOf = (steps: number, by: number) =>
    planShot({ stretches: [{ steps: 3 }, { steps, turn: { by } }, { steps: 3 }] }).notes;

  it('is noted with its degrees and where', () => {
    const note = notesOf(2, Math.PI).find(({ code }) => code === 'sharp-turn');
    expect(note?.values.stretch).toBe(1);
    expect(note?.values.degrees).toBeGreaterThan(60);
    expect(note?.text).toContain('in stretch 1');
    // Half round in four steps is everyday; common practice, no source.
    expect(notesOf(4, Math.PI).map(({ code }) => code)).not.toContain('sharp-turn');
    expect(notesOf(2, -Math.PI).map(({ code }) => code)).toContain('sharp-turn');
  });

  it('is likely meant in degrees where it goes more than twice round in a few steps', () => {
    const note = notesOf(8, 90).find(({ code }) => code === 'likely-degrees');
    expect(note?.values.stretch).toBe(1);
    expect(note?.values.meant).toBeCloseTo(Math.PI / 2, 12);
    // Three times round in sixty steps is a dance and no mistake.
    expect(notesOf(60, 6 * Math.PI)).toEqual([]);
  });
});
