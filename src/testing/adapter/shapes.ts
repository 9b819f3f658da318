/** Curves made for one question each. Their times are frames. */
import type { Curve, Key } from '../../curves/curve.js';

/** One value, always: no time, slope or handle has a say in it. */
export function constantCurve(value: number): Curve {
  const flat = { span: 4, slope: 0 };
  const keys = [0, 12].map((time) => ({ time, value, in: flat, out: flat }));
  return { keys, start: 0, before: 'holds', after: 'holds' };
}

/**
 * Straight lines between keys, made of Bézier segments: each side of a key has the slope of its own line,
 * so that lengths of handles have no say.
 */
export function cornerCurve(frames: readonly number[], values: readonly number[]): Curve {
  const slopeTo = (i: number): number => (values[i + 1] - values[i]) / (frames[i + 1] - frames[i]);
  const last = frames.length - 1;
  const keys = frames.map((time, i): Key => {
    const before = i > 0 ? i - 1 : 0;
    const after = i < last ? i : last - 1;
    const third = (j: number): number => (frames[j + 1] - frames[j]) / 3;
    return {
      time,
      value: values[i],
      in: { span: third(before), slope: slopeTo(before) },
      out: { span: third(after), slope: slopeTo(after) },
    };
  });
  return { keys, start: frames[0], before: 'holds', after: 'holds' };
}

/** A straight rise by so much a frame, with a key every few frames. */
export function rampCurve(start: number, step: number, count: number, slope: number): Curve {
  const frames = Array.from({ length: count }, (_, i) => start + i * step);
  return cornerCurve(
    frames,
    frames.map((frame) => 1 + (frame - start) * slope),
  );
}
