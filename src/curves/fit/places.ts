/** Where keys may stand: frames or an even division of the range, and the places that have to be keyed. */
import { errorOf } from '../../internal/check.js';
import type { Key } from '../curve.js';
import type { FitPlan } from './options.js';
import type { FitSource } from './source.js';

/** Rounding of a handle as long as its segment. */
export const CRAMPED = 1e-12;

export interface Places {
  readonly count: number;
  readonly time: Float64Array;
  readonly value: Float64Array;
  readonly slope: Float64Array;
  /** Slope just before the place; differs from `slope` at a corner. */
  readonly slopeBefore: Float64Array;
  /** 1 where a key has to stand. */
  readonly forced: Uint8Array;
  readonly corner: Uint8Array;
  readonly locked: readonly (Key | undefined)[];
}

/** How far from a whole frame a time may lie, in frames, and still count as on it. */
const ON_FRAME = 1e-6;

function frameTimes(plan: FitPlan): number[] {
  const { fps, every } = plan.frames!;
  const times: number[] = [];
  const first = Math.ceil(plan.start * fps - ON_FRAME);
  for (let frame = first; ; frame += every) {
    const t = frame / fps;
    if (plan.cyclic ? t >= plan.end - ON_FRAME / fps : t > plan.end + ON_FRAME / fps) return times;
    times.push(Math.min(Math.max(t, plan.start), plan.end));
  }
}

/** Extremes of a source inside its range, by sign changes of the slope on an even grid, refined by halving. */
export function findExtremes(source: FitSource, start: number, end: number, points: number): number[] {
  const found: number[] = [];
  const out = new Float64Array(3);
  const slopeAt = (t: number): number => {
    source.jet(t, out);
    return out[1];
  };
  let a = start;
  let sa = slopeAt(a);
  for (let i = 1; i <= points; i++) {
    const b = start + ((end - start) * i) / points;
    const sb = slopeAt(b);
    if (sa * sb < 0 || (sb === 0 && sa !== 0 && i < points)) {
      let low = a;
      let high = b;
      for (let step = 0; step < 60 && sb !== 0; step++) {
        const middle = 0.5 * (low + high);
        if (slopeAt(middle) * sa > 0) low = middle;
        else high = middle;
      }
      found.push(sb === 0 ? b : 0.5 * (low + high));
    }
    if (sb !== 0) sa = sb;
    a = b;
  }
  return found;
}

/** All places for keys, in order. `division` is how many an unframed range is divided into, `detail` adds to them. */
export function makePlaces(
  source: FitSource,
  plan: FitPlan,
  division: number,
  detail: readonly number[] = [],
): Places {
  const { start, end, cyclic, period, frames } = plan;
  const wanted: { t: number; forced: boolean; corner?: boolean; key?: Key }[] = [];
  const even: number[] = [];
  if (frames) even.push(...frameTimes(plan));
  else {
    for (let i = 0; cyclic ? i < division : i <= division; i++)
      even.push(start + ((end - start) * i) / division);
  }
  for (const t of even) wanted.push({ t, forced: false });
  for (const t of detail) wanted.push({ t, forced: false });
  const nearest = (t: number): number => {
    if (!frames) return t;
    let best = even[0] ?? t;
    let gap = Number.POSITIVE_INFINITY;
    for (const candidate of even) {
      const d = Math.abs(candidate - t);
      const distance = cyclic ? Math.min(d, period - d) : d;
      if (distance < gap) {
        gap = distance;
        best = candidate;
      }
    }
    return best;
  };
  for (const t of plan.keysAt) wanted.push({ t: nearest(t), forced: true });
  for (const t of source.corners) {
    if (t > start && t < end) wanted.push({ t: nearest(t), forced: true, corner: true });
    else if (cyclic && t >= start && t < end) wanted.push({ t: nearest(t), forced: true, corner: true });
  }
  if (plan.extremes) {
    for (const t of findExtremes(source, start, end, 256)) wanted.push({ t: nearest(t), forced: true });
  }
  if (!cyclic) wanted.push({ t: start, forced: true }, { t: end, forced: true });
  for (const key of plan.locked) wanted.push({ t: key.time, forced: true, key });
  return gather(source, wanted, end - start, plan);
}

function gather(
  source: FitSource,
  wanted: { t: number; forced: boolean; corner?: boolean; key?: Key }[],
  range: number,
  plan: FitPlan,
): Places {
  wanted.sort((a, b) => a.t - b.t || Number(a.key !== undefined) - Number(b.key !== undefined));
  const near = range * 1e-9;
  const merged: { t: number; forced: boolean; corner: boolean; key?: Key }[] = [];
  for (const place of wanted) {
    const last = merged[merged.length - 1];
    if (!last || place.t - last.t > near || (place.key && last.key)) merged.push({ corner: false, ...place });
    else {
      if (place.forced && !last.forced) last.t = place.t;
      if (place.key) {
        last.key = place.key;
        last.t = place.key.time;
      }
      last.forced ||= place.forced;
      last.corner ||= place.corner ?? false;
    }
  }
  if (plan.cyclic) closeSeam(merged, near, plan.period);
  const count = merged.length;
  const places = {
    count,
    time: new Float64Array(count),
    value: new Float64Array(count),
    slope: new Float64Array(count),
    slopeBefore: new Float64Array(count),
    forced: new Uint8Array(count),
    corner: new Uint8Array(count),
    locked: merged.map((place) => place.key),
  };
  const jet = new Float64Array(3);
  merged.forEach((place, i) => {
    source.jet(place.t, jet);
    places.time[i] = place.t;
    places.value[i] = jet[0];
    places.slope[i] = jet[1];
    places.slopeBefore[i] = jet[1];
    places.forced[i] = Number(place.forced);
    places.corner[i] = Number(place.corner);
    if (place.corner) {
      const lap = place.t - near < plan.start && plan.cyclic ? plan.period : 0;
      source.jet(place.t - 100 * near + lap, jet);
      places.slopeBefore[i] = jet[1];
    }
  });
  requireRoom(merged, plan);
  return places;
}

/** Takes a last place that is the first one again, a period later, for one with it. */
function closeSeam(
  merged: { t: number; forced: boolean; corner: boolean; key?: Key }[],
  near: number,
  period: number,
): void {
  const first = merged[0];
  const last = merged[merged.length - 1];
  if (merged.length < 2 || first.t + period - last.t > near || (first.key && last.key)) return;
  const [kept, gone] = last.key ? [last, first] : [first, last];
  kept.forced ||= gone.forced;
  kept.corner ||= gone.corner;
  merged.splice(merged.indexOf(gone), 1);
}

/** Refuses a locked key whose handle is longer than the way to the next place that has to be keyed. */
function requireRoom(
  merged: readonly { t: number; forced: boolean; key?: Key }[],
  { cyclic, period, locked }: FitPlan,
): void {
  const forced = merged.filter((place) => place.forced);
  forced.forEach(({ key, t }, i) => {
    if (!key) return;
    const before = forced[i - 1] ?? (cyclic ? forced[forced.length - 1] : undefined);
    const after = forced[i + 1] ?? (cyclic ? forced[0] : undefined);
    const refuse = (side: 'in' | 'out', span: number, room: number): void => {
      if (!(span > room * (1 + CRAMPED))) return;
      throw errorOf('fitCurve', {
        field: `locked[${locked.indexOf(key)}].${side}.span`,
        rule: `must be in [0, ${room}] s, which is as far as the next key that has to be there`,
        got: String(span),
        kind: 'range',
      });
    };
    const room = (left: number, right: number): number =>
      right > left ? right - left : right + period - left;
    if (after && !(after.key && after.t > t) && (key.next ?? 'curve') === 'curve') {
      refuse('out', key.out.span, room(t, after.t));
    }
    if (before && !(before.key && before.t < t) && (before.key?.next ?? 'curve') === 'curve') {
      refuse('in', key.in.span, room(before.t, t));
    }
  });
}
