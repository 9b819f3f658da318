import type { Curve, Key } from '../curve.js';
import { cutLoop } from '../time/loops.js';
import { settle } from '../time/settle.js';
import { insertKey, splitCurve } from './insert-key.js';

/** Keys of two curves nearer than this share of the range are taken for one. */
const NEAR = 1e-9;

const unlocked = ({ locked: _, ...key }: Key): Key => key;

/** A cycle that goes on both ways as it would after its end, with nothing locked. */
function goingOn(curve: Curve, start: number): Curve {
  const side = curve.after === 'loops' ? 'loops' : 'travels';
  const keys = curve.keys.map(unlocked);
  return cutLoop({ ...curve, keys, before: side, after: side }, start);
}

/** The part of an open curve between two times, with nothing locked. */
function between(curve: Curve, from: number, to: number): Curve {
  let part: Curve = { ...curve, keys: curve.keys.map(unlocked) };
  if (from > part.keys[0].time) part = splitCurve(part, from)[1];
  if (to < part.keys[part.keys.length - 1].time) part = splitCurve(part, to)[0];
  return { ...part, start: from };
}

/** The curve with keys that are next to given times moved onto them. */
function movedTo(where: string, curve: Curve, times: readonly number[], near: number): Curve {
  const keys = curve.keys.map((key) => {
    const time = times.find((t) => Math.abs(t - key.time) <= near);
    return time === undefined ? key : { ...key, time };
  });
  return settle(where, { ...curve, keys });
}

const withKeys = (curve: Curve, times: readonly number[]): Curve =>
  times.reduce((made, t) => insertKey(made, t), curve);

const timesOf = ({ keys }: Curve): number[] => keys.map((key) => key.time);

/**
 * Two curves of the same period over one cycle from `start`, or two open ones from `start` to `end`, with keys at
 * the same times: shapes stay, but for keys of the second that are moved by less than a billionth of the range.
 */
export function alignCurves(
  where: string,
  first: Curve,
  second: Curve,
  start: number,
  end: number,
): [Curve, Curve] {
  const cyclic = first.period !== undefined;
  const cut = (curve: Curve): Curve => (cyclic ? goingOn(curve, start) : between(curve, start, end));
  const near = NEAR * (end - start);
  const ends = cyclic ? [start] : [start, end];
  const a = movedTo(where, cut(first), ends, near);
  const b = movedTo(where, cut(second), [...timesOf(a), ...ends], near);
  return [withKeys(a, timesOf(b)), withKeys(b, timesOf(a))];
}
