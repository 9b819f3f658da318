/**
 * A curve prepared for evaluation: its segments in one row of numbers, its outside behaviour as codes.
 * Nothing here checks its input; that is done once where a curve comes in.
 */
import { errorOf } from '../internal/check.js';
import type { Curve, Outside } from './curve.js';
import {
  EVEN,
  prepareSegment,
  RATE,
  STRIDE,
  segmentJet,
  segmentParameter,
  VALUE_0,
  VALUE_1,
  VALUE_2,
  VALUE_3,
} from './segment.js';

function refuseTime(t: number): never {
  throw errorOf('sample', {
    field: 't',
    rule: 'must be a finite number in s',
    got: String(t),
    kind: 'range',
  });
}

const CODES: Record<Outside, number> = { holds: 0, straight: 1, loops: 2, travels: 3 };

/** Anything numbers can be written into by index. */
export type NumberSink = { [index: number]: number };

/** One prepared curve, with a memory of the segment asked for last. */
export class Track {
  /** Times at which segments begin, and the end of the last one. */
  readonly bounds: Float64Array;
  readonly row: Float64Array;
  readonly segments: number;
  readonly first: number;
  readonly last: number;
  readonly period: number;
  readonly gain: number;
  readonly before: number;
  readonly after: number;
  /** Value and slope at both ends of the range, for `holds` and `straight`. */
  readonly ends: Float64Array;
  private current = 0;

  constructor(curve: Curve) {
    const { keys, start, period, gain = 0 } = curve;
    const count = keys.length;
    const cyclic = period !== undefined;
    this.period = period ?? 0;
    this.gain = cyclic ? gain : 0;
    this.before = CODES[curve.before];
    this.after = CODES[curve.after];
    const leadIn = cyclic && keys[0].time > start;
    this.segments = cyclic ? count + (leadIn ? 1 : 0) : count - 1;
    this.bounds = new Float64Array(this.segments + 1);
    this.row = new Float64Array(Math.max(1, this.segments) * STRIDE);
    let at = 0;
    const add = (left: number, right: number, begins: number, length: number, lift: number, drop: number) => {
      prepareSegment(this.row, at * STRIDE, keys[left], keys[right], begins, length, lift, drop);
      this.bounds[at++] = begins;
    };
    if (cyclic) {
      const seam = keys[0].time + period - keys[count - 1].time;
      if (leadIn) add(count - 1, 0, keys[count - 1].time - period, seam, gain, -gain);
      for (let i = 0; i + 1 < count; i++) add(i, i + 1, keys[i].time, keys[i + 1].time - keys[i].time, 0, 0);
      add(count - 1, 0, keys[count - 1].time, seam, gain, 0);
      this.first = start;
      this.last = start + period;
      if (leadIn) this.bounds[0] = start;
    } else {
      for (let i = 0; i + 1 < count; i++) add(i, i + 1, keys[i].time, keys[i + 1].time - keys[i].time, 0, 0);
      this.first = keys[0].time;
      this.last = keys[count - 1].time;
    }
    this.bounds[this.segments] = this.last;
    this.ends = new Float64Array(4);
    this.prepareEnds(curve);
  }

  private prepareEnds({ keys }: Curve): void {
    const jet = new Float64Array(3);
    if (this.segments === 0) {
      this.ends.set([keys[0].arrives ?? keys[0].value, keys[0].in.slope, keys[0].value, keys[0].out.slope]);
      this.row[VALUE_0] = keys[0].value;
      return;
    }
    segmentJet(this.row, 0, segmentParameter(this.row, 0, this.first), jet, 0);
    this.ends.set([jet[0], jet[1]], 0);
    const at = (this.segments - 1) * STRIDE;
    segmentJet(this.row, at, segmentParameter(this.row, at, this.last), jet, 0);
    this.ends.set([jet[0], jet[1]], 2);
    if (this.period !== 0) return;
    this.ends[2] = keys[keys.length - 1].value;
    if (keys[0].arrives !== undefined) this.ends[0] = keys[0].arrives;
  }

  /** Index of the segment that holds time `u` inside the range; remembered for the next call. */
  private find(u: number): number {
    const { bounds, segments } = this;
    let i = this.current;
    if (u >= bounds[i]) {
      if (u < bounds[i + 1]) return i;
      i++;
      if (i < segments && u < bounds[i + 1]) {
        this.current = i;
        return i;
      }
    }
    let low = 0;
    let high = segments - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (bounds[middle] <= u) low = middle;
      else high = middle - 1;
    }
    this.current = low;
    return low;
  }

  /** Whole cycles between the first one and time `t`; rounding never leaves a time outside its cycle. */
  private turnsAt(t: number): number {
    const turns = Math.floor((t - this.first) / this.period);
    return t - turns * this.period >= this.last ? turns + 1 : turns;
  }

  /** Writes the value at time `t` (s) into `out[to]`. */
  writeValue(t: number, out: NumberSink, to: number): void {
    let u = t;
    let lift = 0;
    if (!(t >= this.first && t < this.last)) {
      const early = t < this.first;
      if (t - t !== 0) refuseTime(t);
      const code = early ? this.before : this.after;
      if (code < 2) {
        this.writeEnd(t, early, code, out, to, false);
        return;
      }
      const turns = this.turnsAt(t);
      u = Math.max(this.first, t - turns * this.period);
      if (code === 3) lift = turns * this.gain;
    }
    const at = this.find(u) * STRIDE;
    const row = this.row;
    let s = (u - row[at]) * row[at + RATE];
    if (row[at + EVEN] !== 1) s = segmentParameter(row, at, u);
    out[to] =
      ((row[at + VALUE_3] * s + row[at + VALUE_2]) * s + row[at + VALUE_1]) * s + row[at + VALUE_0] + lift;
  }

  /** Writes value, first and second derivative at time `t` (s) into `out[to…to + 2]`. */
  writeJet(t: number, out: NumberSink, to: number): void {
    let u = t;
    let lift = 0;
    if (!(t >= this.first && t < this.last)) {
      const early = t < this.first;
      if (t - t !== 0) refuseTime(t);
      const code = early ? this.before : this.after;
      if (code < 2 && (t !== this.last || this.segments === 0)) {
        this.writeEnd(t, early, code, out, to, true);
        return;
      }
      if (code >= 2) {
        const turns = this.turnsAt(t);
        u = Math.max(this.first, t - turns * this.period);
        if (code === 3) lift = turns * this.gain;
      }
    }
    const at = this.find(u) * STRIDE;
    segmentJet(this.row, at, segmentParameter(this.row, at, u), out, to);
    if (u === this.last) this.writeEnd(t, false, 0, out, to, false);
    else if (lift !== 0) out[to] += lift;
  }

  private writeEnd(
    t: number,
    early: boolean,
    code: number,
    out: NumberSink,
    to: number,
    derivatives: boolean,
  ): void {
    const side = early ? 0 : 2;
    const slope = code === 1 ? this.ends[side + 1] : 0;
    out[to] = this.ends[side] + slope * (t - (early ? this.first : this.last));
    if (!derivatives) return;
    out[to + 1] = slope;
    out[to + 2] = 0;
  }
}
