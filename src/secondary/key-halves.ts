import type { Curve, Key, Tangent } from '../curves/curve.js';
import type { FitResult } from '../curves/fit/fit-curve.js';
import { type SampledTrack, sampleTrack } from './follower-track.js';

/** Points per frame at which segments are held to the bound, and at which the error is measured afterwards. */
const HELD = 2;
const MEASURED = 8;
/** Part of the bound that segments are held to, for what lies between the points. */
const STRICTER = 0.8;
/** Rounding that a time in frames may carry. */
const FRAME = 1e-6;

/**
 * A track that does not repeat as keys on whole frames, by halves: from the two ends a segment takes values and
 * slopes from the track itself, and where it is off by more than the bound it gets a key at the frame nearest
 * its worst error. Spans are thirds, so that the curve is a cubic Hermite one.
 */
export function keyByHalves(track: SampledTrack, fps: number, bound: number): FitResult {
  const { start, every, values } = track;
  const end = start + (values.length - 1) * every;
  const first = Math.ceil(start * fps - FRAME);
  const last = Math.max(first, Math.floor(end * fps + FRAME));
  const count = HELD * (last - first);
  const jet = new Float64Array(3);
  const held = new Float64Array(count + 1);
  const slopes = new Float64Array(last - first + 1);
  for (let i = 0; i <= count; i++) {
    sampleTrack(track, (first + i / HELD) / fps, jet);
    held[i] = jet[0];
    if (i % HELD === 0) slopes[i / HELD] = jet[1];
  }
  const chosen = [0];
  // Depth first, so that what is chosen comes in order of time.
  const open = last > first ? [[0, last - first]] : [];
  for (let next = open.pop(); next; next = open.pop()) {
    const [from, to] = next;
    const length = HELD * (to - from);
    const [p, q] = [held[HELD * from], held[HELD * to]];
    const [a, b] = [((to - from) / fps) * slopes[from], ((to - from) / fps) * slopes[to]];
    let worst = 0;
    let where = 0;
    for (let i = 1; i < length; i++) {
      const u = i / length;
      const x = (((2 * (p - q) + a + b) * u + (3 * (q - p) - 2 * a - b)) * u + a) * u + p;
      const miss = Math.abs(x - held[HELD * from + i]);
      if (miss <= worst) continue;
      worst = miss;
      where = i;
    }
    if (worst <= STRICTER * bound || to - from < 2) {
      chosen.push(to);
      continue;
    }
    const split = Math.min(to - 1, Math.max(from + 1, from + Math.round(where / HELD)));
    open.push([split, to], [from, split]);
  }
  const keys = chosen.map((frame, k): Key => {
    const tangent = (other: number | undefined): Tangent => ({
      span: other === undefined ? 0 : Math.abs(other - frame) / fps / 3,
      slope: slopes[frame],
    });
    return {
      time: (first + frame) / fps,
      value: held[HELD * frame],
      in: tangent(chosen[k - 1]),
      out: tangent(chosen[k + 1]),
    };
  });
  const curve: Curve = { keys, start: keys[0].time, before: 'holds', after: 'holds' };
  const value = measure(track, keys, fps);
  return { curve, error: { value }, met: value.max <= bound };
}

function measure(
  track: SampledTrack,
  keys: readonly Key[],
  fps: number,
): { max: number; at: number; rms: number } {
  const jet = new Float64Array(3);
  let max = 0;
  let at = keys[0].time;
  let sum = 0;
  let points = 0;
  for (let k = 0; k + 1 < keys.length; k++) {
    const [from, to] = [keys[k], keys[k + 1]];
    const width = to.time - from.time;
    const [p, q, a, b] = [from.value, to.value, width * from.out.slope, width * to.in.slope];
    const count = Math.max(MEASURED, Math.round(MEASURED * width * fps));
    for (let i = 0; i < count; i++) {
      const u = i / count;
      sampleTrack(track, from.time + u * width, jet);
      const miss = (((2 * (p - q) + a + b) * u + (3 * (q - p) - 2 * a - b)) * u + a) * u + p - jet[0];
      sum += miss * miss;
      points++;
      if (Math.abs(miss) <= max) continue;
      max = Math.abs(miss);
      at = from.time + u * width;
    }
  }
  return { max, at, rms: points > 0 ? Math.sqrt(sum / points) : 0 };
}
