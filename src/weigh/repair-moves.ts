import type { Curve, Key, Tangent } from '../curves/curve.js';
import { evaluateJet } from '../curves/evaluate.js';
import { type Series, sampleSeries } from '../curves/series.js';
import type { Weighed, WeighedFoot } from './weighed.js';

/** Changes a curve by a part `s` in (0, 1] of the whole change; locked keys stay as they are. */
export type Move = (curve: Curve, s: number) => Curve;

const flat = (span: number): Tangent => ({ span, slope: 0 });

/** The curve with every key that is not locked changed. */
export function changeKeys(curve: Curve, change: (key: Key, i: number) => Key): Curve {
  return { ...curve, keys: curve.keys.map((key, i) => (key.locked ? key : change(key, i))) };
}

/** Values about their mean times a factor, by way of its power `s`. */
export function scaleMove(curve: Curve, factor: number): Move {
  const values = curve.keys.map(({ value }) => value);
  const mean = values.reduce((a, b) => a + b, 0) / values.length;
  return (given, s) => {
    const by = 1 + (factor - 1) * s;
    const turn = ({ span, slope }: Tangent): Tangent => ({ span, slope: slope * by });
    return changeKeys(given, (key) => ({
      ...key,
      value: mean + (key.value - mean) * by,
      in: turn(key.in),
      out: turn(key.out),
      ...(key.arrives === undefined ? {} : { arrives: mean + (key.arrives - mean) * by }),
    }));
  };
}

/** Values and slopes times a factor, whole. */
export function valueUnitMove(factor: number): Move {
  const turn = ({ span, slope }: Tangent): Tangent => ({ span, slope: slope * factor });
  return (curve) => ({
    ...changeKeys(curve, (key) => ({
      ...key,
      value: key.value * factor,
      in: turn(key.in),
      out: turn(key.out),
      ...(key.arrives === undefined ? {} : { arrives: key.arrives * factor }),
    })),
    ...(curve.gain === undefined ? {} : { gain: curve.gain * factor }),
  });
}

/** Times times a factor, whole; nothing where a key is locked, since all of them move. */
export function timeUnitMove(factor: number): Move {
  const turn = ({ span, slope }: Tangent): Tangent => ({ span: span * factor, slope: slope / factor });
  return (curve) =>
    curve.keys.some(({ locked }) => locked)
      ? curve
      : {
          ...changeKeys(curve, (key) => ({
            ...key,
            time: key.time * factor,
            in: turn(key.in),
            out: turn(key.out),
          })),
          start: curve.start * factor,
          ...(curve.period === undefined ? {} : { period: curve.period * factor }),
        };
}

/** Slopes on both sides of every key towards their middle, weighted by the handles' spans. */
export const smoothMove: Move = (curve, s) => {
  const { keys, period } = curve;
  return changeKeys(curve, (key, i) => {
    const [first, last] = [i === 0, i === keys.length - 1];
    if (period === undefined && (first || last)) return { ...key, ...joinEnds(curve, i, s) };
    const share = key.in.span + key.out.span > 0 ? key.in.span / (key.in.span + key.out.span) : 0.5;
    const middle = key.in.slope * share + key.out.slope * (1 - share);
    const towards = (slope: number): number => slope + (middle - slope) * s;
    return {
      ...key,
      in: { ...key.in, slope: towards(key.in.slope) },
      out: { ...key.out, slope: towards(key.out.slope) },
    };
  });
};

/** The slopes of an open loop's two ends towards each other. */
function joinEnds({ keys }: Curve, i: number, s: number): Partial<Key> {
  const [start, end] = [keys[0], keys[keys.length - 1]];
  const middle = start.locked
    ? start.out.slope
    : end.locked
      ? end.in.slope
      : (start.out.slope + end.in.slope) / 2;
  const towards = ({ span, slope }: Tangent): Tangent => ({
    // A handle without a span has no slope to show.
    span: span > 0 ? span : 0.2 * (end.time - start.time) * (1 / Math.max(2, keys.length - 1)),
    slope: slope + (middle - slope) * s,
  });
  return i === 0 ? { out: towards(keys[0].out) } : { in: towards(keys[i].in) };
}

/** The end of a loop brought to its start: the gain of a height taken away, or the last key moved. */
export const closeMove: Move = (curve, s) => {
  const { keys, period, gain = 0 } = curve;
  if (period !== undefined) {
    const rest = gain * (1 - s);
    return { ...curve, gain: rest, ...(rest === 0 ? { before: 'loops', after: 'loops' } : {}) };
  }
  const [first, last] = [keys[0], keys[keys.length - 1]];
  const gap = last.value - first.value;
  const moved = last.locked ? 0 : keys.length - 1;
  return changeKeys(curve, (key, i) =>
    i === moved ? { ...key, value: key.value + (moved === 0 ? gap : -gap) * s } : key,
  );
};

/** Handles next to a key towards a third of their segments. */
export function handleMove(at: number): Move {
  return (curve, s) => {
    const { keys, period } = curve;
    const near = 1e-6 * (period ?? keys[keys.length - 1].time - keys[0].time);
    return changeKeys(curve, (key, i) => {
      if (Math.abs(key.time - at) > near) return key;
      const next = keys[(i + 1) % keys.length].time + (i + 1 === keys.length ? (period ?? 0) : 0);
      const before = keys[(i + keys.length - 1) % keys.length].time - (i === 0 ? (period ?? 0) : 0);
      const towards = (span: number, length: number): number => span + (length / 3 - span) * s;
      return {
        ...key,
        in: { ...key.in, span: towards(key.in.span, key.time - before) },
        out: { ...key.out, span: towards(key.out.span, next - key.time) },
      };
    });
  };
}

/** Keys to their nearest frames, on the curve where they land; a frame that is taken keeps its key. */
export function frameMove(fps: number): Move {
  return (curve) => {
    const { keys, period, start } = curve;
    const taken = new Set(keys.filter(({ locked }) => locked).map(({ time }) => Math.round(time * fps)));
    const end = period === undefined ? Number.POSITIVE_INFINITY : start + period;
    const placed: Key[] = [];
    for (const key of keys) {
      const frame = Math.round(key.time * fps);
      const time = frame / fps;
      if (key.locked || time === key.time) {
        taken.add(frame);
        placed.push(key);
        continue;
      }
      // At the end of the cycle its first frame comes again.
      if (time < start || time > end - 0.25 / fps || taken.has(frame)) continue;
      taken.add(frame);
      const { value, velocity } = evaluateJet(curve, time);
      const turn = ({ span }: Tangent): Tangent => ({ span, slope: velocity });
      placed.push({ ...key, time, value, in: turn(key.in), out: turn(key.out) });
    }
    if (placed.length < Math.min(2, keys.length)) return curve;
    placed.sort((a, b) => a.time - b.time);
    return { ...curve, keys: fitSpans(placed, period) };
  };
}

/** Spans no longer than a little less than half of what they would overrun. */
function fitSpans(keys: readonly Key[], period: number | undefined): Key[] {
  const n = keys.length;
  return keys.map((key, i) => {
    const after =
      i + 1 < n
        ? keys[i + 1].time - key.time
        : period === undefined
          ? Infinity
          : keys[0].time + period - key.time;
    const before =
      i > 0
        ? key.time - keys[i - 1].time
        : period === undefined
          ? Infinity
          : key.time + period - keys[n - 1].time;
    return {
      ...key,
      in: { ...key.in, span: Math.min(key.in.span, before) },
      out: { ...key.out, span: Math.min(key.out.span, after) },
    };
  });
}

/** Values and slopes towards a planned walk's path about the curve's own mean course. */
export function modelMove(curve: Curve, series: Series, offset: number, start: number, gain: number): Move {
  const jet = new Float64Array(3);
  const { period = 1 } = curve;
  const speed = gain / period;
  const model = (t: number): { value: number; slope: number } => {
    sampleSeries({ ...series, mean: 0, drift: 0 }, t - offset, jet);
    return { value: jet[0] + speed * (t - start), slope: jet[1] + speed };
  };
  const { keys } = curve;
  // The model's mean course lies where it disturbs the keys least.
  const level = keys.reduce((sum, { time, value }) => sum + value - model(time).value, 0) / keys.length;
  return (given, s) =>
    changeKeys(given, (key) => {
      const { value, slope } = model(key.time);
      const towards = (tangent: Tangent): Tangent => ({
        ...tangent,
        slope: tangent.slope + (slope - tangent.slope) * s,
      });
      return {
        ...key,
        value: key.value + (value + level - key.value) * s,
        in: towards(key.in),
        out: towards(key.out),
      };
    });
}

/** A foot's path held still from one time to another: what lies between gives way to two level keys. */
export function holdMove(from: number, to: number): Move {
  return (curve) => {
    const { value } = evaluateJet(curve, from);
    const inside = (t: number): boolean => t > from - 1e-9 && t < to + 1e-9;
    if (curve.keys.some((key) => key.locked && inside(key.time))) return curve;
    const kept = curve.keys.filter((key) => !inside(key.time));
    const held: Key[] = [
      { time: from, value, in: flat(1), out: flat(0), next: 'line' },
      { time: to, value, in: flat(0), out: flat(1) },
    ];
    const keys = [...kept, ...held].sort((a, b) => a.time - b.time);
    return { ...curve, keys: fitSpans(keys, curve.period) };
  };
}

/** When a foot stands still in a contact. */
export function stillSpan({ land, lift, flat: from, heelOff: to }: WeighedFoot['contacts'][number]): {
  from: number;
  to: number;
} {
  return { from: from ?? land + 0.15 * (lift - land), to: to ?? land + 0.6 * (lift - land) };
}

/** The time at which a planned walk's stride has to begin to lie over the curves. */
export function modelOffset({ landings, grid, model, start, duration, steps }: Weighed): number {
  if (landings.length > 0) return landings[0];
  const jet = new Float64Array(3);
  let best = { at: start, match: Number.NEGATIVE_INFINITY };
  const tries = 96;
  for (let k = 0; k < tries; k++) {
    const offset = start + ((k / tries) * duration) / steps;
    let match = 0;
    for (let i = 0; i < grid.time.length; i += 4) {
      sampleSeries(model.centre.height, grid.time[i] - offset, jet);
      match += (jet[0] - model.centre.height.mean) * grid.height[i];
    }
    if (match > best.match) best = { at: offset, match };
  }
  return best.at;
}
