import type { Curve, Key, Tangent } from '../curve.js';
import { piecesOf } from '../pieces.js';
import { Track } from '../track.js';
import { type FrameRate, frameAtTime, timeOfFrame } from './frame-rate.js';
import { retimeCurve } from './move.js';
import { settle } from './settle.js';

/** A curve with its keys on whole frames, as far as they can be. */
export interface Snapped {
  readonly curve: Curve;
}

/** A key of the result: its time, and the first and last of the keys that fell on it. */
interface Slot {
  time: number;
  readonly first: number;
  last: number;
}

/** The frame nearest a key, inside the cycle; the key's own time where there is none or where it must stay. */
function frameFor(curve: Curve, i: number, rate: FrameRate, stays: ReadonlySet<number>): number {
  const { keys, start, period } = curve;
  const { time } = keys[i];
  if (stays.has(i)) return time;
  const nearest = Math.round(frameAtTime(time, rate));
  if (period === undefined) return timeOfFrame(nearest, rate);
  const inside = [nearest, nearest - 1, nearest + 1]
    .map((frame) => timeOfFrame(frame, rate))
    .filter(
      (t) => t >= start && t < start + period && frameAtTime(t, rate) < frameAtTime(start + period, rate),
    );
  return inside.length > 0 ? inside[0] : time;
}

/** Which key goes where; of two that meet, the earlier one stays, but for locked ones. */
function slotsOf(curve: Curve, rate: FrameRate, stays: ReadonlySet<number>): Slot[] {
  const slots: Slot[] = [];
  curve.keys.forEach((key, i) => {
    const time = frameFor(curve, i, rate, stays);
    const clash = (): Slot | undefined => {
      const before = slots[slots.length - 1];
      return before && !(time > before.time) ? before : undefined;
    };
    if (key.locked) while (clash() && !curve.keys[clash()!.first].locked) slots.pop();
    const before = clash();
    if (!before) slots.push({ time, first: i, last: i });
    else if (!curve.keys[before.first].locked) before.last = i;
  });
  return slots;
}

/** Whether a key must keep its value: what is beside it holds or jumps. */
function isSudden({ keys, period }: Curve, { first, last }: Slot): boolean {
  const before = first > 0 ? first - 1 : period === undefined ? -1 : keys.length - 1;
  const group = keys.slice(first, last + 1);
  return (
    (before >= 0 && keys[before].next === 'hold') ||
    group.some((key) => key.next === 'hold' || (key.arrives !== undefined && key.arrives !== key.value))
  );
}

/** The keys of a slot as one, still at the time of the first. */
function merged(curve: Curve, slot: Slot): Key {
  const first = curve.keys[slot.first];
  if (slot.first === slot.last) return first;
  const { value, out, next } = curve.keys[slot.last];
  const { next: _, arrives, ...rest } = first;
  const left = arrives ?? first.value;
  const jumps = isSudden(curve, slot) && left !== value;
  return { ...rest, value, out, ...(next ? { next } : {}), ...(jumps ? { arrives: left } : {}) };
}

/**
 * The curve with its keys on the frames of a rate.
 *
 * @param resample - whether keys take value and slope from the curve at their new time
 */
export function snapKeys(curve: Curve, rate: FrameRate, resample: boolean): Snapped {
  const stays = new Set<number>();
  curve.keys.forEach((key, i) => {
    if (key.locked) stays.add(i);
  });
  // Each round keeps at least one more key where it was, so there are at most as many as keys.
  for (;;) {
    const slots = slotsOf(curve, rate, stays);
    const made = place(curve, slots, resample);
    const crowded = piecesOf(made).flatMap(({ index, left, right, length }) => {
      const next = (index + 1) % slots.length;
      const tight = (left.locked && left.out.span > length) || (right.locked && right.in.span > length);
      if (!tight || (left.next ?? 'curve') !== 'curve') return [];
      return [slots[index], slots[next]].flatMap(({ first, last }) => [first, last]);
    });
    const fresh = crowded.filter((i) => !stays.has(i));
    if (fresh.length === 0) return { curve: settle('convertFrameRate', relieved(made)) };
    for (const i of fresh) stays.add(i);
  }
}

function place(curve: Curve, slots: readonly Slot[], resample: boolean): Curve {
  const { period, start } = curve;
  const track = new Track(curve);
  const kept = slots.map((slot) => merged(curve, slot));
  const times = slots.map((slot) => slot.time);
  const fewer = settle('convertFrameRate', { ...curve, keys: kept, start: Math.min(start, kept[0].time) });
  const { keys } = retimeCurve(fewer, times);
  const jet = new Float64Array(3);
  return {
    ...curve,
    start: period === undefined ? Math.min(start, times[0]) : start,
    keys: keys.map((key, i): Key => {
      const slot = slots[i];
      const own = curve.keys[slot.first];
      if (own.locked) return own;
      if (key.time === own.time && slot.first === slot.last) {
        const side = (tangent: Tangent, { slope }: Tangent): Tangent => ({ ...tangent, slope });
        return { ...key, in: side(key.in, own.in), out: side(key.out, own.out) };
      }
      const outside = key.time < track.first || key.time > track.last;
      if (!resample || outside || isSudden(curve, slot)) return key;
      track.writeJet(key.time, jet, 0);
      const [value, slope] = jet;
      const smooth = kept[i].in.slope === kept[i].out.slope;
      if (!smooth) return { ...key, value };
      return { ...key, value, in: { ...key.in, slope }, out: { ...key.out, slope } };
    }),
  };
}

/** Free handles shortened where the handle of a locked key across the segment leaves them less room. */
function relieved(curve: Curve): Curve {
  const keys: Key[] = [...curve.keys];
  for (const { index, left, right, length } of piecesOf(curve)) {
    const next = (index + 1) % keys.length;
    if (left.locked && !right.locked) {
      const room = Math.max(0, length - left.out.span);
      if (
        right.in.span > room &&
        left.out.span + right.in.span - length > Math.sqrt(left.out.span * right.in.span)
      )
        keys[next] = { ...keys[next], in: { ...right.in, span: room } };
    } else if (right.locked && !left.locked) {
      const room = Math.max(0, length - right.in.span);
      if (
        left.out.span > room &&
        left.out.span + right.in.span - length > Math.sqrt(left.out.span * right.in.span)
      )
        keys[index] = { ...keys[index], out: { ...left.out, span: room } };
    }
  }
  return { ...curve, keys };
}
