import type { Curve, Key, Tracked } from '../../curves/curve.js';

/** Even times over whole frames: `per` of them a frame, from frame 0 to frame `last` inclusive. */
export interface FrameGrid {
  readonly fps: number;
  readonly last: number;
  readonly per: number;
}

/** One channel at the times of a grid, with two derivatives by time. */
export interface Column {
  readonly value: Float64Array;
  readonly slope: Float64Array;
  readonly bend: Float64Array;
}

/** How far a segment may be off in value and, where it counts, in its second derivative. */
export interface Bounds {
  readonly value: number;
  readonly bend?: number;
}

/** An empty column for a grid. */
export function columnFor({ last, per }: FrameGrid): Column {
  const make = () => new Float64Array(last * per + 1);
  return { value: make(), slope: make(), bend: make() };
}

/** Frames that one segment spans at most. */
const LONGEST = 64;

/**
 * The frames for keys, rising: the marks, and between them the fewest at which cubic Hermite segments with exact values
 * and slopes stay within the bounds, each segment as long as it can be; neighbouring frames are joined all the same.
 */
export function chooseFrames(
  column: Column,
  grid: FrameGrid,
  marks: readonly number[],
  bounds: Bounds,
): number[] {
  const frames = [marks[0]];
  for (let i = 1; i < marks.length; i++) {
    for (let from = marks[i - 1]; from < marks[i]; ) {
      const end = Math.min(marks[i], from + LONGEST);
      let to = isWithin(column, grid, from, end, bounds) ? end : from + 1;
      if (to < end) while (to + 1 < end && isWithin(column, grid, from, to + 1, bounds)) to++;
      frames.push(to);
      from = to;
    }
  }
  return frames;
}

/** Whether one segment between two frames keeps to the bounds at every time of the grid. */
function isWithin(
  { value, slope, bend }: Column,
  { fps, per }: FrameGrid,
  from: number,
  to: number,
  bounds: Bounds,
): boolean {
  const [a, b] = [from * per, to * per];
  const span = (to - from) / fps;
  const [f0, f1, d0, d1] = [value[a], value[b], slope[a] * span, slope[b] * span];
  // Powers of the elapsed fraction.
  const c2 = 3 * (f1 - f0) - 2 * d0 - d1;
  const c3 = 2 * (f0 - f1) + d0 + d1;
  const most = bounds.bend === undefined ? Number.POSITIVE_INFINITY : bounds.bend * span * span;
  for (let k = a; k <= b; k++) {
    const u = (k - a) / (b - a);
    if (Math.abs(f0 + u * (d0 + u * (c2 + u * c3)) - value[k]) > bounds.value) return false;
    if (Math.abs(2 * c2 + 6 * c3 * u - bend[k] * span * span) > most) return false;
  }
  return true;
}

/** An open curve of cubic Hermite segments with a column's values and slopes at some frames. */
export function hermiteCurve(
  { value, slope }: Column,
  { fps, per }: FrameGrid,
  frames: readonly number[],
  of?: Tracked,
): Curve {
  return openCurve(
    frames.map((frame) => [frame / fps, value[frame * per], slope[frame * per]]),
    of,
  );
}

/** An open curve of cubic Hermite segments through times, values and slopes; one key where nothing ever moves. */
export function openCurve(
  points: readonly (readonly [time: number, value: number, slope: number])[],
  of?: Tracked,
): Curve {
  const [first] = points;
  const still = points.every(([, value, slope]) => value === first[1] && slope === 0);
  const kept = still ? [first] : points;
  const keys = kept.map(([time, value, slope], i): Key => {
    const before = i > 0 ? (time - kept[i - 1][0]) / 3 : 0;
    const after = i + 1 < kept.length ? (kept[i + 1][0] - time) / 3 : 0;
    // Adding 0 leaves no −0, which JSON would not keep.
    const steep = slope + 0;
    return {
      time,
      value: value + 0,
      in: { span: before, slope: steep },
      out: { span: after, slope: steep },
    };
  });
  return { keys, start: first[0], before: 'holds', after: 'holds', ...(of ? { of } : {}) };
}
