import { framesWhere } from './find-load.js';
import type { Finding, Weighed } from './weighed.js';

/** Limits of timing. */
const BOUNDS = {
  /** Part of a frame that a key may lie off it. */
  key: 1e-3,
  /** Fewest frames a step in which contact, down, passing and up each get one. */
  frames: 4,
  /** Frames, and part of a step, by which two steps may differ. */
  uneven: { frames: 0.75, part: 0.03 },
  /** Part, and BW, by which the load's swing in one step may differ from another's. */
  limp: { part: 0.3, gap: 0.01 },
  /** Parts of a step after a landing between which the lowest and the highest point fall: measured bodies are
   * lowest in double support and highest at passing, trade charts a quarter of a step later. */
  low: { from: -0.1, to: 0.35 },
  high: { from: 0.35, to: 0.85 },
  /** Least swing in BW whose extremes mean anything. */
  swing: 0.03,
} as const;

/** Keys off frames, too few frames, steps that differ, and extremes at the wrong time. */
export function findTiming(weighed: Weighed): Finding[] {
  return [
    ...findOffFrames(weighed),
    ...findFewFrames(weighed),
    ...findUneven(weighed),
    ...findWrongPhase(weighed),
  ];
}

function findOffFrames({ paths, fps, frameOf }: Weighed): Finding[] {
  return (['height', 'forward', 'side'] as const).flatMap((channel): Finding[] => {
    const off = (t: number): number => Math.abs(t * fps - Math.round(t * fps));
    const all = paths[channel]?.keys ?? [];
    const keys = all.filter((t) => off(t) > BOUNDS.key);
    if (keys.length === 0) return [];
    const worst = Math.max(...keys.map(off));
    return [
      {
        code: 'keys-off-frames',
        severity: 'warning',
        channel,
        frames: [...new Set(keys.map(frameOf))],
        measured: { value: worst, unit: 'frames' },
        bound: { value: BOUNDS.key, unit: 'frames' },
        text: `In the ${channel} ${keys.length} of ${all.length} keys lie off the frames, by up to ${worst.toFixed(2)} of one.`,
        suggestion: {
          text: `Move ${keys.length} keys to their nearest frames.`,
          value: keys.length,
          unit: 'keys',
        },
      },
    ];
  });
}

function findFewFrames({ stepTime, fps, start, frameOf, loops }: Weighed): Finding[] {
  const frames = stepTime * fps;
  if (!loops || frames >= BOUNDS.frames - 1e-6) return [];
  return [
    {
      code: 'few-frames',
      severity: 'warning',
      channel: 'height',
      frames: [frameOf(start)],
      measured: { value: frames, unit: 'frames' },
      bound: { value: BOUNDS.frames, unit: 'frames' },
      text: `A step has ${frames.toFixed(1)} frames; contact, down, passing and up need one each.`,
      suggestion: {
        text: `Give each step at least ${BOUNDS.frames} frames.`,
        value: BOUNDS.frames,
        unit: 'frames',
      },
    },
  ];
}

/** Lowest points of the height, one in each step of a loop; nothing where there are not that many. */
function lowsOf({ grid, steps, duration }: Weighed): number[] | undefined {
  const { height, time } = grid;
  const n = height.length;
  const range = Math.max(...height) - Math.min(...height);
  if (!(range > 0)) return undefined;
  const lows: { at: number; depth: number }[] = [];
  for (let i = 0; i < n; i++) {
    const [a, b, c] = [height[(i + n - 1) % n], height[i], height[(i + 1) % n]];
    if (!(b < a && b <= c)) continue;
    // The bottom of the parabola through the three.
    const bend = a - 2 * b + c;
    const shift = bend > 0 ? (a - c) / (2 * bend) : 0;
    lows.push({ at: time[i] + (shift * duration) / n, depth: b });
  }
  if (lows.length < steps) return undefined;
  const deepest = lows.sort((a, b) => a.depth - b.depth).slice(0, steps);
  return deepest.map(({ at }) => at).sort((a, b) => a - b);
}

function findUneven(weighed: Weighed): Finding[] {
  const { landings, loops, steps, stepTime, duration, fps, gait, frameOf, start } = weighed;
  if (!loops || steps < 2 || gait === 'limp') return [];
  const known = landings.length === steps;
  const marks = known ? landings : lowsOf(weighed);
  if (!marks) return [];
  const found: Finding[] = [];
  const times = marks.map((t, i) => (i + 1 < steps ? marks[i + 1] - t : marks[0] + duration - t));
  const [longest, shortest] = [Math.max(...times), Math.min(...times)];
  const gap = longest - shortest;
  if (gap * fps > BOUNDS.uneven.frames && gap > BOUNDS.uneven.part * stepTime) {
    found.push({
      code: 'uneven-steps',
      severity: 'warning',
      channel: 'height',
      frames: marks.map(frameOf),
      measured: { value: gap * fps, unit: 'frames' },
      bound: { value: BOUNDS.uneven.frames, unit: 'frames' },
      text: `It limps: one step takes ${(longest * fps).toFixed(1)} frames, another ${(shortest * fps).toFixed(1)}.`,
      suggestion: {
        text: `Give each step ${(stepTime * fps).toFixed(1)} frames, or say that a limp is meant.`,
        value: stepTime * fps,
        unit: 'frames',
      },
    });
  }
  const swings = Array.from({ length: steps }, (_, k) =>
    swingFrom(weighed, marks[0] + (k * duration) / steps),
  );
  const mean = swings.reduce((a, b) => a + b, 0) / steps;
  const [most, least] = [Math.max(...swings), Math.min(...swings)];
  const apart = (most - least) / Math.max(mean, 1e-12);
  if (apart > BOUNDS.limp.part && most - least > BOUNDS.limp.gap) {
    found.push({
      code: 'limp',
      severity: 'warning',
      channel: 'height',
      frames: [frameOf(start + swings.indexOf(most) * stepTime)],
      measured: { value: 100 * apart, unit: '%' },
      bound: { value: 100 * BOUNDS.limp.part, unit: '%' },
      text: `It limps: the load of one step swings by ${most.toFixed(3)} BW, of another by ${least.toFixed(3)}.`,
      suggestion: {
        text: `Let both swing by ${mean.toFixed(3)} BW, or say that a limp is meant.`,
        value: mean,
        unit: 'BW',
      },
    });
  }
  return found;
}

/** Root mean square in BW of the load about 1 over one step from a time on. */
function swingFrom({ grid, duration, steps }: Weighed, from: number): number {
  let [sum, count] = [0, 0];
  for (let i = 0; i < grid.time.length; i++) {
    const turn = (grid.time[i] - from) / duration;
    if (turn - Math.floor(turn) >= 1 / steps) continue;
    sum += (grid.load[i] - 1) ** 2;
    count++;
  }
  return Math.sqrt(sum / Math.max(1, count));
}

function findWrongPhase(weighed: Weighed): Finding[] {
  const { landings, grid, duration, stepTime, fps, loops, steps } = weighed;
  if (!loops || landings.length !== steps || weighed.gait === 'sneak') return [];
  const mean = grid.load.reduce((a, b) => a + b, 0) / grid.load.length;
  const swing = Math.sqrt(grid.load.reduce((sum, n) => sum + (n - mean) ** 2, 0) / grid.load.length);
  if (swing < BOUNDS.swing) return [];
  // The step's own part of the height: every step laid over the others.
  const bins = 240;
  const sums = new Float64Array(bins);
  const counts = new Float64Array(bins);
  for (let i = 0; i < grid.time.length; i++) {
    const t = grid.time[i];
    let k = landings.length - 1;
    while (k > 0 && landings[k] > t) k--;
    const since = t - landings[k] + (t < landings[k] ? duration : 0);
    const next = k + 1 < landings.length ? landings[k + 1] : landings[0] + duration;
    const bin = Math.min(bins - 1, Math.floor((since / (next - landings[k])) * bins));
    sums[bin] += grid.height[i];
    counts[bin]++;
  }
  const height = Array.from(sums, (sum, i) => sum / Math.max(1, counts[i]));
  const filled = height.map((value, i) => (counts[i] > 0 ? value : height[(i + bins - 1) % bins]));
  const phaseOf = (i: number, from: number): number => {
    const phase = (i + 0.5) / bins;
    return phase - from >= 1 ? phase - 1 : phase;
  };
  const low = phaseOf(filled.indexOf(Math.min(...filled)), BOUNDS.low.from);
  const high = phaseOf(filled.indexOf(Math.max(...filled)), BOUNDS.high.from);
  const found: Finding[] = [];
  const check = (
    name: 'lowest' | 'highest',
    phase: number,
    { from, to }: { from: number; to: number },
  ): void => {
    if (phase >= from && phase <= to) return;
    const aim = name === 'lowest' ? 0.12 : 0.55;
    const frames = (aim - phase) * stepTime * fps;
    found.push({
      code: 'wrong-phase',
      severity: 'warning',
      channel: 'height',
      frames: framesWhere(weighed, (i) =>
        landings.some((t) => Math.abs(grid.time[i] - t - phase * stepTime) < 0.5 / fps),
      ),
      measured: { value: phase, unit: 'steps' },
      bound: { value: phase < from ? from : to, unit: 'steps' },
      text: `The ${name} point comes ${phase.toFixed(2)} of a step after the foot lands, not between ${from} and ${to}.`,
      suggestion: { text: `Move it by ${frames.toFixed(1)} frames.`, value: frames, unit: 'frames' },
    });
  };
  check('lowest', low > 1 + BOUNDS.low.from ? low - 1 : low, BOUNDS.low);
  check('highest', high, BOUNDS.high);
  return found;
}
