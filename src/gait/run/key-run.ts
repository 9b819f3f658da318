import type { Tracked } from '../../curves/curve.js';
import type { Source } from '../../curves/fit/source.js';
import type { KeyedCycle } from '../fit-root.js';
import { centreHeight } from '../root-relation.js';
import { planRun } from './plan-run.js';
import { readRun } from './read-run.js';
import type { Run } from './run.js';

/** Whether a number of frames is whole, to rounding. */
const WHOLE = 1e-9;

/** The run planned again so that both its steps are the nearest whole number of frames, its steps as long as before. */
export function snapRun(run: Run, fps: number): Run {
  const { strideTime, strideLength, stepTime, speed } = run.pace;
  const exact = strideTime * fps;
  const frames = 2 * Math.max(1, Math.round(exact / 2));
  if (Math.abs(exact - frames) <= WHOLE * frames) return run;
  const snapped = planRun({ ...run.spec, pace: { framesPerStep: frames / 2, fps, strideLength } });
  const after = snapped.pace.speed;
  const note = {
    code: 'pace-snapped' as const,
    text:
      `A step of ${(stepTime * fps).toFixed(2)} frames became ${frames / 2}; ` +
      `the speed went from ${speed.toFixed(3)} to ${after.toFixed(3)} m/s.`,
    values: { framesPerStep: frames / 2, fps, before: speed, after, change: after / speed - 1 },
  };
  return { ...snapped, notes: [...snapped.notes, note] };
}

/** A run as a cycle to be keyed: with keys at landing, low, lift and high of both steps where poses are asked for. */
export function runCycle(run: Run, of: Tracked, keyPoses: boolean): KeyedCycle {
  const { pace, gravity, body, root, stance } = run;
  const { sampleCentre } = readRun(run);
  const lower = of === 'root' ? centreHeight(body, root.height) - root.height : 0;
  const row = new Float64Array(9);
  const source = (at: number, down: number): Source => ({
    jet: (t, out) => {
      sampleCentre(t, row);
      out[0] = row[at] - down;
      out[1] = row[at + 1];
      out[2] = row[at + 2];
    },
  });
  const { fraction } = stance.left;
  const poses = [0, fraction / 2, fraction, (fraction + 0.5) / 2].flatMap((phase) => [phase, phase + 0.5]);
  return {
    strideTime: pace.strideTime,
    gravity,
    path: { height: source(0, lower), forward: source(3, 0), side: source(6, 0) },
    gain: pace.strideLength,
    keysAt: keyPoses ? poses.sort((a, b) => a - b).map((phase) => phase * pace.strideTime) : [],
  };
}
