import { readMotion, type Walk } from '../../src/gait/index.js';

/** What the centre of mass and the load do over a step. */
export interface CentreOver {
  /** Rise and fall in m. */
  readonly bob: number;
  /** When it is lowest, highest and slowest forwards, in per cent of the stride, in [−5, 45). */
  readonly lowest: number;
  readonly highest: number;
  readonly slowest: number;
  /** Least and most load of both feet, in BW. */
  readonly leastLoad: number;
  readonly mostLoad: number;
}

const COUNT = 256;

/** The path of the centre of mass and the total load over one step of a walk with equal steps. */
export function centreOver(walk: Walk): CentreOver {
  const reader = readMotion(walk);
  const out = new Float64Array(9);
  const [height, speed, load]: number[][] = [[], [], []];
  for (let i = 0; i < COUNT; i++) {
    reader.sampleCentre((i / (2 * COUNT)) * reader.duration, out);
    height.push(out[0]);
    speed.push(out[4]);
    load.push(1 + out[2] / reader.gravity);
  }
  const low = leastOf(height);
  const high = leastOf(height.map((z) => -z));
  return {
    bob: -high.value - low.value,
    lowest: low.percent,
    highest: high.percent,
    slowest: leastOf(speed).percent,
    leastLoad: leastOf(load).value,
    mostLoad: -leastOf(load.map((n) => -n)).value,
  };
}

/** Least value of a column that repeats each step, refined by a parabola. */
function leastOf(values: readonly number[]): { value: number; percent: number } {
  let at = 0;
  for (let i = 1; i < COUNT; i++) if (values[i] < values[at]) at = i;
  const [before, here, after] = [values[(at + COUNT - 1) % COUNT], values[at], values[(at + 1) % COUNT]];
  const shift = (before - after) / (2 * (before - 2 * here + after));
  const percent = (50 * (at + shift)) / COUNT;
  return { value: here - ((before - after) * shift) / 4, percent: percent >= 45 ? percent - 50 : percent };
}
