/**
 * A curve prepared for evaluation: its segments in one row of numbers, its outside behaviour as codes.
 * Nothing here checks its input; that is done once where a curve comes in.
 */
import { errorOf } from '../internal/check.js';
import type { Curve, Outside } from './curve.js';
import { makeInverseTable, PARTS, TABLE } from './inverse-table.js';
import {
  EVEN,
  FROM,
  ORIGIN,
  prepareSegment,
  RATE,
  STRIDE,
  segmentJet,
  segmentParameter,
  TIME_1,
  TIME_2,
  TIME_3,
  TO,
  VALUE_0,
  VALUE_1,
  VALUE_2,
  VALUE_3,
} from './segment.js';
import { RESIDUAL, solveWork, WORK_A, WORK_B, WORK_C, WORK_S, WORK_SIZE, WORK_X } from './solve-time.js';

/** Rows and tables run side by side: the table of the segment at `at` begins at `at` times this. */
const TABLE_PER_NUMBER = TABLE / STRIDE;

function refuseTime(t: number): never {
  throw errorOf('sample', {
    field: 't',
    rule: 'must be a finite number in s',
    got: String(t),
    kind: 'range',
  });
}

/** Where the time that was asked for stands in a track's work array. */
const TIME = WORK_SIZE;

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
  private readonly table: Float64Array;
  /** Where in the row the segment asked for last begins. */
  private current = 0;
  /** The solver's numbers, and after them the time that was asked for. */
  private readonly work = new Float64Array(WORK_SIZE + 1);

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
      if (leadIn) {
        this.bounds[0] = start;
        this.row[FROM] = start;
      }
    } else {
      for (let i = 0; i + 1 < count; i++) add(i, i + 1, keys[i].time, keys[i + 1].time - keys[i].time, 0, 0);
      this.first = keys[0].time;
      this.last = keys[count - 1].time;
    }
    this.bounds[this.segments] = this.last;
    // Rounded sums of starts and lengths must leave no gap between one segment and the next.
    for (let i = 0; i < this.segments; i++) this.row[i * STRIDE + TO] = this.bounds[i + 1];
    this.table = makeInverseTable(this.row, this.segments);
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

  /** Makes the segment that holds time `work[TIME]`, inside the range, the current one. */
  private find(): void {
    const { bounds, segments, row } = this;
    const u = this.work[TIME];
    let at = this.current;
    if (u >= row[at + FROM]) {
      if (u < row[at + TO]) return;
      at += STRIDE;
      if (at < segments * STRIDE && u < row[at + TO]) {
        this.current = at;
        return;
      }
    }
    let low = 0;
    let high = segments - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (bounds[middle] <= u) low = middle;
      else high = middle - 1;
    }
    this.current = low * STRIDE;
  }

  /** Writes the current segment's parameter at time `work[TIME]` into `work[WORK_S]`. */
  private solve(): void {
    const { row, table, work, current: at } = this;
    const x = (work[TIME] - row[at + ORIGIN]) * row[at + RATE];
    if (row[at + EVEN] === 1) {
      work[WORK_S] = x;
      return;
    }
    if (!(x > 0 && x < 1)) {
      work[WORK_S] = x > 0 ? 1 : 0;
      return;
    }
    const a = row[at + TIME_3];
    const b = row[at + TIME_2];
    const c = row[at + TIME_1];
    const place = x * PARTS;
    const part = place | 0;
    const w = place - part;
    const k = at * TABLE_PER_NUMBER + 4 * part;
    const guess = ((table[k + 3] * w + table[k + 2]) * w + table[k + 1]) * w + table[k];
    const slope = (3 * a * guess + 2 * b) * guess + c;
    const inverse = 1 / slope;
    const e = 3 * a * guess + b;
    const f = ((a * guess + b) * guess + c) * guess - x;
    // Chebyshev's step: of the same order as Halley's, but its division does not wait for the residual.
    const newton = -f * inverse;
    const move = newton - e * inverse * newton * newton;
    const left = f + move * (slope + move * (e + move * a));
    const s = guess + move;
    work[WORK_S] = s;
    if (left < RESIDUAL && left > -RESIDUAL && s >= 0 && s <= 1) return;
    work[WORK_A] = a;
    work[WORK_B] = b;
    work[WORK_C] = c;
    work[WORK_X] = x;
    work[WORK_S] = guess;
    solveWork(work);
  }

  /** Whole cycles between the first one and time `t`; rounding never leaves a time outside its cycle. */
  private turnsAt(t: number): number {
    const turns = Math.floor((t - this.first) / this.period);
    return t - turns * this.period >= this.last ? turns + 1 : turns;
  }

  /** Writes the value at time `t` (s) into `out[to]`; short, so that engines put it into the caller's loop. */
  writeValue(t: number, out: NumberSink, to: number): void {
    const { row } = this;
    const at = this.current;
    if (t >= row[at + FROM] && t < row[at + TO] && row[at + EVEN] === 1) {
      const s = (t - row[at + ORIGIN]) * row[at + RATE];
      out[to] = ((row[at + VALUE_3] * s + row[at + VALUE_2]) * s + row[at + VALUE_1]) * s + row[at + VALUE_0];
      return;
    }
    this.work[TIME] = t;
    this.writeSolved(out, to);
  }

  /** Writes the values at all `times` (s) into `out[to]`, `out[to + stride]`, …: one segment's numbers at a time. */
  writeValues(times: ArrayLike<number>, out: NumberSink, to: number, stride: number): void {
    const { row, table, work } = this;
    const count = times.length;
    let j = 0;
    while (j < count) {
      const at = this.current;
      const from = row[at + FROM];
      const until = row[at + TO];
      const origin = row[at + ORIGIN];
      const rate = row[at + RATE];
      const v0 = row[at + VALUE_0];
      const v1 = row[at + VALUE_1];
      const v2 = row[at + VALUE_2];
      const v3 = row[at + VALUE_3];
      if (row[at + EVEN] === 1) {
        for (; j < count; j++) {
          const t = times[j];
          if (!(t >= from && t < until)) break;
          const s = (t - origin) * rate;
          out[to + j * stride] = ((v3 * s + v2) * s + v1) * s + v0;
        }
      } else {
        const a = row[at + TIME_3];
        const b = row[at + TIME_2];
        const c = row[at + TIME_1];
        const base = at * TABLE_PER_NUMBER;
        for (; j < count; j++) {
          const t = times[j];
          if (!(t >= from && t < until)) break;
          // The step of `solve` once more: numbers that stay in registers make it a third faster.
          const place = (t - origin) * rate * PARTS;
          const part = place | 0;
          const w = place - part;
          const k = base + 4 * part;
          const guess = ((table[k + 3] * w + table[k + 2]) * w + table[k + 1]) * w + table[k];
          const slope = (3 * a * guess + 2 * b) * guess + c;
          const e = 3 * a * guess + b;
          const f = ((a * guess + b) * guess + c) * guess - place / PARTS;
          const inverse = 1 / slope;
          const newton = -f * inverse;
          const move = newton - e * inverse * newton * newton;
          const left = f + move * (slope + move * (e + move * a));
          let s = guess + move;
          if (!(left < RESIDUAL && left > -RESIDUAL && s >= 0 && s <= 1 && place > 0 && place < PARTS)) {
            work[TIME] = t;
            this.solve();
            s = work[WORK_S];
          }
          out[to + j * stride] = ((v3 * s + v2) * s + v1) * s + v0;
        }
      }
      if (j < count) {
        work[TIME] = times[j];
        this.writeSolved(out, to + j * stride);
        j++;
      }
    }
  }

  /** As `writeValue` for time `work[TIME]`, wherever it lies and whatever its segment needs. */
  private writeSolved(out: NumberSink, to: number): void {
    const { row, work } = this;
    const t = work[TIME];
    let lift = 0;
    if (!(t >= this.first && t < this.last)) {
      if (t - t !== 0) refuseTime(t);
      const early = t < this.first;
      const code = early ? this.before : this.after;
      if (code < 2) {
        this.writeEnd(early, code, out, to, false);
        return;
      }
      const turns = this.turnsAt(t);
      work[TIME] = Math.max(this.first, t - turns * this.period);
      if (code === 3) lift = turns * this.gain;
    }
    this.find();
    this.solve();
    const at = this.current;
    const s = work[WORK_S];
    const value =
      ((row[at + VALUE_3] * s + row[at + VALUE_2]) * s + row[at + VALUE_1]) * s + row[at + VALUE_0];
    out[to] = value + lift;
  }

  /** Writes value, first and second derivative at time `t` (s) into `out[to…to + 2]`. */
  writeJet(t: number, out: NumberSink, to: number): void {
    this.work[TIME] = t;
    this.writeSolvedJet(out, to);
  }

  private writeSolvedJet(out: NumberSink, to: number): void {
    const { work } = this;
    const t = work[TIME];
    let lift = 0;
    if (!(t >= this.first && t < this.last)) {
      if (t - t !== 0) refuseTime(t);
      const early = t < this.first;
      const code = early ? this.before : this.after;
      if (code < 2 && (t !== this.last || this.segments === 0)) {
        this.writeEnd(early, code, out, to, true);
        return;
      }
      if (code >= 2) {
        const turns = this.turnsAt(t);
        work[TIME] = Math.max(this.first, t - turns * this.period);
        if (code === 3) lift = turns * this.gain;
      }
    }
    this.find();
    this.solve();
    segmentJet(this.row, this.current, work[WORK_S], out, to);
    if (work[TIME] === this.last) this.writeEnd(false, 0, out, to, false);
    else if (lift !== 0) out[to] += lift;
  }

  private writeEnd(early: boolean, code: number, out: NumberSink, to: number, derivatives: boolean): void {
    const side = early ? 0 : 2;
    const slope = code === 1 ? this.ends[side + 1] : 0;
    out[to] = this.ends[side] + slope * (this.work[TIME] - (early ? this.first : this.last));
    if (!derivatives) return;
    out[to + 1] = slope;
    out[to + 2] = 0;
  }
}
