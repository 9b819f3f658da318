/** What was asked of the model, and what it gives. */
import { PEAKS } from './children.js';
import { compareGroups, compareSteps, energyAt, findCrossing, type StepError } from './compare.js';
import type { Measured } from './objective.js';
import { publishedTimes, TIMES } from './peaks.js';

export interface Bar {
  readonly what: string;
  readonly asked: string;
  readonly found: string;
  readonly met: boolean;
}

function medianOf(errors: readonly StepError[], name: keyof StepError['rms']): number {
  const sorted = errors.map(({ rms }) => rms[name]).sort((a, b) => a - b);
  return (sorted[Math.floor((sorted.length - 1) / 2)] + sorted[Math.ceil((sorted.length - 1) / 2)]) / 2;
}

/** The bars on measured walkers; the adults' by refits that had not seen them, where there were any. */
export function checkBars(measured: Measured, unseen?: readonly StepError[]): Bar[] {
  const groups = compareGroups(measured.children);
  const steps = unseen ?? compareSteps(measured.adults);
  const bars: Bar[] = [];
  const add = (
    what: string,
    found: number,
    digits: number,
    least: number,
    most: number,
    unit: string,
  ): void => {
    const asked = Number.isFinite(least) ? `${least} to ${most} ${unit}` : `at most ${most} ${unit}`;
    bars.push({ what, asked, found: found.toFixed(digits), met: found >= least && found <= most });
  };
  const worst = (values: readonly number[]): number => Math.max(...values.map(Math.abs));
  const none = Number.NEGATIVE_INFINITY;
  const offs = groups.map(({ group, peaks }) =>
    PEAKS.map((name) => ({ off: peaks.size[name] - group.peaks[name].mean, sd: group.peaks[name].sd })),
  );
  add('peaks, all speeds', worst(offs.flat().map(({ off, sd }) => off / sd)), 2, none, 1, 'SD');
  const middle = offs.slice(1, 4).flat();
  add('peaks, middle three speeds', worst(middle.map(({ off }) => off)), 3, none, 0.05, 'BW');
  const times = groups
    .slice(1)
    .flatMap(({ group, peaks }) => TIMES.map((name) => peaks.time[name] - publishedTimes(group.speed)[name]));
  add('times from v* = 0.29 up', worst(times), 1, none, 4, '% of stance');
  const stances = groups.map(({ group, stance }) => 100 * (stance - group.stance));
  add('stance', worst(stances), 1, none, 1.5, '% of stride');
  const kind = unseen ? 'subject left out' : 'in sample';
  for (const [name, most] of [
    ['vertical', 0.07],
    ['forward', 0.035],
    ['side', 0.025],
  ] as const) {
    add(`adults, ${name}, pooled median, ${kind}`, medianOf(steps, name), 4, none, most, 'BW');
  }
  const named = [0.86, 1.28, 1.66].map((speed) => energyAt(speed).centre);
  const lows = named.map(({ lowest }) => lowest);
  const highs = named.map(({ highest }) => highest);
  add('earliest lowest point, named paces', Math.min(...lows), 1, 3, 8, '% of stride');
  add('latest lowest point', Math.max(...lows), 1, 3, 8, '% of stride');
  add('earliest highest point', Math.min(...highs), 1, 27, 33, '% of stride');
  add('latest highest point', Math.max(...highs), 1, 27, 33, '% of stride');
  const speeds = Array.from({ length: 41 }, (_, i) => 0.4 + 0.05 * i);
  const recoveries = speeds.map((speed) => energyAt(speed).recovery);
  const best = Math.max(...recoveries);
  add('greatest recovery', best, 1, 55, 72, '%');
  add('where it is greatest', speeds[recoveries.indexOf(best)], 2, 1.1, 1.5, 'm/s');
  add('forward work overtakes vertical, published near 1.1', findCrossing(), 2, 0.95, 1.25, 'm/s');
  return bars;
}
