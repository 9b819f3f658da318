/**
 * A curve prepared for evaluation: its segments, how to find one, its outside behaviour as codes.
 * Nothing here checks its input; that is done once where a curve comes in.
 */
import { errorOf } from '../internal/check.js';
import { REACH } from './check-curve.js';
import type { Curve, Key, Outside } from './curve.js';
import { CELL_S, CELL_SIZE, CELL_X, lookUp, TABLE } from './inverse-table.js';
import { endSlope, Segment, type SegmentPlace, writeSegmentJet } from './segment.js';
import { bucketRate, makeBuckets } from './segment-buckets.js';

function refuseTime(t: number): never {
  throw errorOf('sample', {
    field: 't',
    rule: Number.isFinite(t) ? `must be in [${-REACH}, ${REACH}] s` : 'must be a finite number in s',
    got: String(t),
    kind: 'range',
  });
}

const CODES: Record<Outside, number> = { holds: 0, straight: 1, loops: 2, travels: 3 };

/** Stands for the segment asked for last before there is one: no time is in it. */
const NOWHERE = makeNowhere();

function makeNowhere(): Segment {
  const flat = { span: 0, slope: 0 };
  const key: Key = { time: 0, value: 0, in: flat, out: flat, next: 'hold' };
  return new Segment(key, key, { start: 0, length: 1, to: -1 });
}

const cell = new Float64Array(CELL_SIZE);

/** Anything numbers can be written into by index. */
export type NumberSink = { [index: number]: number };

/** One prepared curve, with a memory of the segment asked for last. */
export class Track {
  /** Times at which segments begin, and the end of the last one. */
  readonly bounds: Float64Array;
  // Every number that need not be whole begins as one that is not: engines then keep all tracks alike.
  readonly first: number = Number.NaN;
  readonly last: number = Number.NaN;
  readonly period: number = Number.NaN;
  readonly gain: number = Number.NaN;
  private readonly before: number;
  private readonly after: number;
  private readonly segments: Segment[] = [];
  private readonly buckets: Int32Array;
  private readonly bucketRate: number = Number.NaN;
  /** Value and slope at both ends of the range, for `holds` and `straight`. */
  private readonly ends = new Float64Array(4);
  /** What the inverse of each curved segment is looked up in. */
  readonly table: Float64Array;
  /** The segment asked for last. */
  now = NOWHERE;
  // Times and parameters go from method to method through these: an engine may put a number that is passed to or
  // returned from a function on the heap.
  time = Number.NaN;
  s = Number.NaN;

  constructor(curve: Curve) {
    const { keys, start, period, gain = 0 } = curve;
    const count = keys.length;
    const { segments } = this;
    const bounds: number[] = [];
    let curved = 0;
    const add = (left: number, right: number, place: SegmentPlace) => {
      const segment = new Segment(keys[left], keys[right], place, curved * TABLE);
      if (segment.curvedEnd >= 0) curved++;
      if (segments.length > 0) segments[segments.length - 1].next = segment;
      segments.push(segment);
      bounds.push(place.from ?? place.start);
    };
    const addInner = () => {
      for (let i = 0; i + 1 < count; i++) {
        const [from, to] = [keys[i].time, keys[i + 1].time];
        add(i, i + 1, { start: from, length: to - from, to });
      }
    };
    if (period === undefined) {
      addInner();
      this.first = keys[0].time;
      this.last = keys[count - 1].time;
    } else {
      const lastKey = keys[count - 1].time;
      const length = keys[0].time + period - lastKey;
      const to = keys[0].time;
      if (to > start) {
        add(count - 1, 0, { start: lastKey - period, length, from: start, to, lift: gain, drop: -gain });
      }
      addInner();
      add(count - 1, 0, { start: lastKey, length, to: start + period, lift: gain });
      this.first = start;
      this.last = start + period;
    }
    this.period = period ?? 0;
    this.gain = period === undefined ? 0 : gain;
    this.before = CODES[curve.before];
    this.after = CODES[curve.after];
    this.bounds = Float64Array.from([...bounds, this.last]);
    this.buckets = makeBuckets(this.bounds);
    this.bucketRate = bucketRate(this.bounds);
    this.table = new Float64Array(curved * TABLE);
    this.prepareEnds(curve);
  }

  private prepareEnds({ keys, start, period, gain = 0 }: Curve): void {
    const { ends, segments } = this;
    const count = keys.length;
    if (segments.length === 0) {
      ends.set([keys[0].arrives ?? keys[0].value, keys[0].in.slope, keys[0].value, keys[0].out.slope]);
      return;
    }
    const jet = new Float64Array(3);
    const endJet = (index: number, time: number, to: number) => {
      this.now = segments[index];
      this.time = time;
      this.settle();
      writeSegmentJet(this, jet, 0);
      ends.set([jet[0], jet[1]], to);
    };
    endJet(0, this.first, 0);
    endJet(segments.length - 1, this.last, 2);
    if (period !== undefined && keys[0].time > start) return;
    // At a key without a handle the slope is that of the line to the next control point.
    const first = keys[count > 1 ? 1 : 0];
    const last = keys[period === undefined ? count - 2 : count - 1];
    const end = period === undefined ? keys[count - 1] : keys[0];
    const slopeAt = (left: Key, right: Key, seam: boolean, side: 'left' | 'right'): number | undefined => {
      const length = right.time - left.time + (seam ? this.period : 0);
      const rise = (right.arrives ?? right.value) - left.value + (seam ? gain : 0);
      return endSlope(left, right, length, rise, side);
    };
    ends[1] = slopeAt(keys[0], first, count === 1, 'left') ?? ends[1];
    ends[3] = slopeAt(last, end, period !== undefined, 'right') ?? ends[3];
    if (period !== undefined) return;
    ends[0] = keys[0].arrives ?? keys[0].value;
    ends[2] = end.value;
  }

  /** Makes the segment that holds `time`, inside the range, the current one. */
  private find(): void {
    const { bounds, buckets, time, now } = this;
    const { next } = now;
    const u = time - now.origin;
    if (u > now.low && u < now.curvedEnd) return;
    const v = time - next.origin;
    if ((v >= 0 && v < next.evenEnd) || (v > next.low && v < next.curvedEnd)) {
      this.now = next;
      return;
    }
    const bucket = ((time - bounds[0]) * this.bucketRate) | 0;
    let low = buckets[bucket];
    let high = buckets[bucket + 1];
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (bounds[middle] <= time) low = middle;
      else high = middle - 1;
    }
    this.now = this.segments[low];
  }

  /** Writes the current segment's parameter at `time` into `s`. */
  private settle(): void {
    const { now } = this;
    const u = this.time - now.origin;
    if (now.curvedEnd < 0) this.s = u;
    else {
      cell[CELL_X] = u * now.rate;
      this.s = lookUp(this.table, now, cell)[CELL_S];
    }
  }

  /** Writes the value at time `t` (s) into `out[to]`; short, so that engines put it into the caller's loop. */
  writeValue(t: number, out: NumberSink, to: number): void {
    const { now } = this;
    const u = t - now.origin;
    if (u >= 0 && u < now.evenEnd) {
      out[to] = now.v0 + now.v1 * u + u * u * (now.v2 + now.v3 * u);
      return;
    }
    this.time = t;
    this.writeAt(out, to);
  }

  /** As `writeValue` for `time`, wherever it lies. */
  writeAt(out: NumberSink, to: number): void {
    const { time } = this;
    if (!(time >= this.first && time < this.last)) {
      this.writeOutside(out, to, false);
      return;
    }
    this.find();
    this.settle();
    const { now, s } = this;
    out[to] = now.v0 + now.v1 * s + s * s * (now.v2 + now.v3 * s);
  }

  /** Writes the values at all `times` (s) into `out[to]`, `out[to + stride]`, … */
  writeValues(times: ArrayLike<number>, out: NumberSink, to: number, stride: number): void {
    for (let j = 0; j < times.length; j++) this.writeValue(times[j], out, to + j * stride);
  }

  /** Writes value, first and second derivative at time `t` (s) into `out[to…to + 2]`. */
  writeJet(t: number, out: NumberSink, to: number): void {
    this.time = t;
    this.writeJetAt(out, to);
  }

  /** As `writeJet` for `time`. */
  writeJetAt(out: NumberSink, to: number): void {
    const { time } = this;
    if (time >= this.first && time < this.last) this.find();
    else if (time === this.last && this.period === 0 && this.segments.length > 0) {
      this.now = this.segments[this.segments.length - 1];
    } else {
      this.writeOutside(out, to, true);
      return;
    }
    this.settle();
    writeSegmentJet(this, out, to);
    if (this.period !== 0) return;
    if (this.time === this.first) out[to + 1] = this.ends[1];
    if (this.time !== this.last) return;
    out[to] = this.ends[2];
    out[to + 1] = this.ends[3];
  }

  /** As `writeValue` or `writeJet` for `time`, which lies outside the range. */
  private writeOutside(out: NumberSink, to: number, derivatives: boolean): void {
    const { first, last, time } = this;
    if (!(Math.abs(time) <= REACH)) refuseTime(time);
    const early = time < first;
    const code = early ? this.before : this.after;
    if (code < 2) {
      this.writeEnd(early, code, out, to, derivatives);
      return;
    }
    let turns = Math.floor((time - first) / this.period);
    // Rounding must not leave a time outside its cycle.
    if (time - turns * this.period >= last) turns++;
    this.time = Math.max(first, time - turns * this.period);
    if (derivatives) this.writeJetAt(out, to);
    else this.writeAt(out, to);
    if (code === 3) out[to] += turns * this.gain;
  }

  private writeEnd(early: boolean, code: number, out: NumberSink, to: number, derivatives: boolean): void {
    const side = early ? 0 : 2;
    const slope = code === 1 ? this.ends[side + 1] : 0;
    out[to] = this.ends[side] + slope * (this.time - (early ? this.first : this.last));
    if (!derivatives) return;
    out[to + 1] = slope;
    out[to + 2] = 0;
  }
}
