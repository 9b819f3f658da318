/** The unknowns of a fit as plain arrays: keys, and one pair of relative spans per segment. */
import type { Curve, Key } from '../curve.js';

export interface Layout {
  /** Number of keys. */
  readonly count: number;
  /** Number of segments: as many as keys on a cycle, one less otherwise. */
  readonly segments: number;
  readonly period: number;
  readonly gain: number;
  readonly cyclic: boolean;
  readonly time: Float64Array;
  readonly value: Float64Array;
  /** Value reached from the left. */
  readonly arrives: Float64Array;
  readonly slopeIn: Float64Array;
  readonly slopeOut: Float64Array;
  /** Span leaving the left key, as a fraction of its segment. */
  readonly out: Float64Array;
  /** Span arriving at the right key, as a fraction of its segment. */
  readonly in: Float64Array;
  /** Locked keys, where there are any. */
  readonly locked: readonly (Key | undefined)[];
  /** Keys at which the source has a corner: their two slopes are separate unknowns. */
  readonly corner: Uint8Array;
  /** Keys that may move in time. */
  readonly moves: Uint8Array;
}

function emptyLayout(
  count: number,
  cyclic: boolean,
  period: number,
  gain: number,
  locked: readonly (Key | undefined)[],
): Layout {
  return {
    count,
    segments: cyclic ? count : count - 1,
    cyclic,
    period,
    gain,
    time: new Float64Array(count),
    value: new Float64Array(count),
    arrives: new Float64Array(count),
    slopeIn: new Float64Array(count),
    slopeOut: new Float64Array(count),
    out: new Float64Array(count),
    in: new Float64Array(count),
    locked,
    corner: new Uint8Array(count),
    moves: new Uint8Array(count),
  };
}

export function makeLayout(count: number, cyclic: boolean, period: number, gain: number): Layout {
  const layout = emptyLayout(count, cyclic, period, gain, new Array(count).fill(undefined));
  layout.out.fill(1 / 3);
  layout.in.fill(1 / 3);
  return layout;
}

/** Copies every unknown of `from` into `to`, which has the same shape. */
export function copyLayout(from: Layout, to: Layout): void {
  to.time.set(from.time);
  to.value.set(from.value);
  to.arrives.set(from.arrives);
  to.slopeIn.set(from.slopeIn);
  to.slopeOut.set(from.slopeOut);
  to.out.set(from.out);
  to.in.set(from.in);
}

/** A second layout with the same contents. */
export function cloneLayout(from: Layout): Layout {
  const to = emptyLayout(from.count, from.cyclic, from.period, from.gain, from.locked);
  copyLayout(from, to);
  to.corner.set(from.corner);
  to.moves.set(from.moves);
  return to;
}

/** Length of segment `k` in s. */
export function segmentLength(layout: Layout, k: number): number {
  const { time, count, period } = layout;
  return k + 1 < count ? time[k + 1] - time[k] : time[0] + period - time[k];
}

/** Spans of locked keys as fractions of their segments, which change with the keys beside them. */
export function holdLockedSpans(layout: Layout): void {
  const { count, segments, locked } = layout;
  for (let k = 0; k < segments; k++) {
    const left = locked[k];
    const right = locked[(k + 1) % count];
    if (!left && !right) continue;
    const h = segmentLength(layout, k);
    if (left) layout.out[k] = Math.min(1, left.out.span / h);
    if (right) layout.in[k] = Math.min(1, right.in.span / h);
  }
}

/** What a locked key says about the segment after it, `curve` for every other. */
export function kindAfter(layout: Layout, k: number): 'curve' | 'line' | 'hold' {
  return layout.locked[k]?.next ?? 'curve';
}

/** The keys of a layout; locked ones are the very objects that were given. */
export function keysOf(layout: Layout): Key[] {
  const keys: Key[] = [];
  const { count, cyclic } = layout;
  for (let i = 0; i < count; i++) {
    const locked = layout.locked[i];
    if (locked) {
      keys.push(locked);
      continue;
    }
    const before = i > 0 ? i - 1 : cyclic ? count - 1 : -1;
    const after = i < layout.segments ? i : -1;
    const inSpan = before >= 0 ? layout.in[before] * segmentLength(layout, before) : -1;
    const outSpan = after >= 0 ? layout.out[after] * segmentLength(layout, after) : -1;
    const key: Key = {
      time: layout.time[i],
      value: layout.value[i],
      in: { span: inSpan >= 0 ? inSpan : Math.max(outSpan, 0), slope: layout.slopeIn[i] },
      out: { span: outSpan >= 0 ? outSpan : Math.max(inSpan, 0), slope: layout.slopeOut[i] },
    };
    keys.push(layout.arrives[i] === layout.value[i] ? key : { ...key, arrives: layout.arrives[i] });
  }
  return keys;
}

/** Brings keys that moved past the ends of their cycle back into it. */
export function wrapKeys(keys: Key[], start: number, period: number, gain: number): Key[] {
  const wrapped = keys.map((key) => {
    const turns = Math.floor((key.time - start) / period);
    if (turns === 0) return key;
    const time = key.time - turns * period;
    return {
      ...key,
      time: time < start + period ? Math.max(time, start) : start,
      value: key.value - turns * gain,
    };
  });
  return wrapped.sort((a, b) => a.time - b.time);
}

/** The layout as a curve. */
export function curveOf(layout: Layout, shape: Omit<Curve, 'keys'>): Curve {
  const { start, period, gain, before, after, of, meta } = shape;
  const keys = keysOf(layout);
  return {
    keys: period === undefined ? keys : wrapKeys(keys, start, period, gain ?? 0),
    start,
    ...(period === undefined ? {} : { period }),
    ...(gain ? { gain } : {}),
    before,
    after,
    ...(of ? { of } : {}),
    ...(meta ? { meta } : {}),
  };
}
