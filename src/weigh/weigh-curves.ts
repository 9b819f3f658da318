import { expectedSwing, findLoad, summarizeLoad } from './find-load.js';
import { findSeams } from './find-seams.js';
import { findTiming } from './find-timing.js';
import { findTravel } from './find-travel.js';
import { findUnits } from './find-units.js';
import { setScale } from './set-scale.js';
import type { Finding, Weighed, WeighedCurves, WeighedFrame, WeighOptions, WeighReport } from './weighed.js';

/**
 * The load that curves imply, in BW and N, frame by frame, and what is wrong with them.
 *
 * Newton's second law backwards: the load is 1 + second derivative over gravity, of the curve's own exact
 * derivatives; a root's rise and fall is first brought down to the centre of mass's, by what a planned walk of
 * the same step has it be. Loops of even samples
 * are read through their Fourier series, other samples through a fitted curve. Findings compare with
 * physics, and with a planned walk of the same step and body.
 *
 * @param curves - height, and where there are any forward, side and feet, in m over s
 * @param options - what the curves are of, frame rate, and how they are meant
 * @returns the table of frames, a summary of the load, and the findings, faults first
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { keyRoot, planWalk, weighCurves } from 'underfoot';
 *
 * const { height, forward, side } = keyRoot(planWalk({ pace: 'ordinary' }), { fps: 24, of: 'centreOfMass' });
 * const report = weighCurves({ height, forward, side }, { of: 'centreOfMass', fps: 24 });
 * console.log(report.load.mean.toFixed(3), report.findings.length); // → 1.000 0
 * ```
 */
export function weighCurves(curves: WeighedCurves, options: WeighOptions): WeighReport {
  const weighed = setScale('weighCurves', curves, options);
  const { stepTime: time, stepLength: length, speed } = weighed;
  return {
    frames: tabulate(weighed),
    load: summarizeLoad(weighed),
    step: { time, length, speed },
    expectedSwing: expectedSwing(weighed),
    findings: findAll(weighed),
  };
}

/** Every finding, faults first. Where the units are wrong nothing else means anything. */
export function findAll(weighed: Weighed): Finding[] {
  const units = findUnits(weighed);
  if (units.length > 0) return units;
  const found = [...findLoad(weighed), ...findSeams(weighed), ...findTiming(weighed), ...findTravel(weighed)];
  return [
    ...found.filter(({ severity }) => severity === 'fault'),
    ...found.filter(({ severity }) => severity !== 'fault'),
  ];
}

/** Most frames in a table. */
const MOST_FRAMES = 100_000;

function tabulate(weighed: Weighed): WeighedFrame[] {
  const { paths, start, duration, fps, gravity, rise, body, loops } = weighed;
  const jet = new Float64Array(3);
  const frames: WeighedFrame[] = [];
  const first = Math.ceil(start * fps - 1e-6) + 0;
  // A loop's end is its start; an open path's end is a frame of its own.
  const end = (start + duration) * fps - (loops ? 1e-6 : -1e-6);
  for (let frame = first; frame < end && frames.length < MOST_FRAMES; frame++) {
    const time = frame / fps;
    paths.height.jet(time, jet);
    const load = 1 + jet[2] / (gravity * rise);
    const height = jet[0];
    const pull = (path: Weighed['paths']['forward']): number => {
      path!.jet(time, jet);
      return jet[2] / gravity;
    };
    frames.push({
      frame,
      time,
      height,
      load,
      newtons: load * body.mass * gravity,
      ...(paths.forward ? { forward: pull(paths.forward) } : {}),
      ...(paths.side ? { side: pull(paths.side) } : {}),
    });
  }
  return frames;
}
