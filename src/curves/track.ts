/**
 * A curve prepared for evaluation: its segments in one row of numbers, its outside behaviour as codes.
 * Nothing here checks its input; that is done once where a curve comes in.
 */
import { errorOf } from '../internal/check.js';
import type { Curve, Key, Outside } from './curve.js';
import { fillInverseTable, makeInverseTable, TABLE } from './inverse-table.js';
import {
  endSlope,
  FROM,
  prepareSegment,
  STRIDE,
  segmentJet,
  segmentParameter,
  TIME_3,
  TO,
  VALUE_0,
} from './segment.js';
import { solveWork, WORK_S, WORK_SIZE } from './solve-time.js';

// In the methods that do the work, offsets and limits stand as numbers: an engine would look a module's
// constants up each time. Offsets into `hot` are those of `segment.ts`, 0 FROM, 1 TO, 2 ORIGIN, 3 RATE,
// 4–7 VALUE_0…VALUE_3, 8 EVEN, 9–11 TIME_1…TIME_3, and 12 EVEN_FROM; offsets into `work` those of
// `solve-time.ts`, 0–2 WORK_A…WORK_C, 3 WORK_X, 4 WORK_S, and 5 TIME; 32 are the table's PARTS, 4 its COEFFICIENTS, and
// 5e-16 is the RESIDUAL.

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

/** Offset, in the current segment's numbers, of where it begins if it needs no solving, and infinity if it does. */
const EVEN_FROM = TIME_3 + 1;

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
  private readonly filled: Uint8Array;
  /** Where in the row the segment asked for last begins, and where in the table. */
  private current = 0;
  private base = 0;
  /** That segment's numbers, so that they are read at fixed places. */
  private readonly hot = new Float64Array(STRIDE);
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
    this.table = makeInverseTable(this.segments);
    this.filled = new Uint8Array(this.segments);
    this.hot[FROM] = Number.POSITIVE_INFINITY;
    this.hot[EVEN_FROM] = Number.POSITIVE_INFINITY;
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
    const slopeAt = (left: Key, right: Key, side: 'left' | 'right'): number | undefined =>
      endSlope(left, right, right.time - left.time, (right.arrives ?? right.value) - left.value, side);
    const count = keys.length;
    this.ends[0] = keys[0].arrives ?? keys[0].value;
    this.ends[1] = slopeAt(keys[0], keys[1], 'left') ?? this.ends[1];
    this.ends[2] = keys[count - 1].value;
    this.ends[3] = slopeAt(keys[count - 2], keys[count - 1], 'right') ?? this.ends[3];
  }

  /** Makes the segment that holds time `work[TIME]`, inside the range, the current one. */
  private find(): void {
    const { bounds, segments, hot } = this;
    const u = this.work[5];
    if (u >= hot[0] && u < hot[1]) return;
    const next = this.current / STRIDE + 1;
    if (next < segments && u >= bounds[next] && u < bounds[next + 1]) {
      this.use(next * STRIDE);
      return;
    }
    let low = 0;
    let high = segments - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (bounds[middle] <= u) low = middle;
      else high = middle - 1;
    }
    this.use(low * STRIDE);
  }

  private use(at: number): void {
    const { row, hot, table, filled } = this;
    this.current = at;
    this.base = at * TABLE_PER_NUMBER;
    hot[0] = row[at];
    hot[1] = row[at + 1];
    hot[2] = row[at + 2];
    hot[3] = row[at + 3];
    hot[4] = row[at + 4];
    hot[5] = row[at + 5];
    hot[6] = row[at + 6];
    hot[7] = row[at + 7];
    hot[8] = row[at + 8];
    hot[9] = row[at + 9];
    hot[10] = row[at + 10];
    hot[11] = row[at + 11];
    hot[12] = hot[8] === 1 ? hot[0] : Number.POSITIVE_INFINITY;
    const segment = at / STRIDE;
    if (filled[segment] === 1) return;
    filled[segment] = 1;
    fillInverseTable(table, row, at);
  }

  /** Writes the current segment's parameter at time `work[5]` into `work[4]`. */
  private solve(): void {
    const { hot, table, work } = this;
    const x = (work[5] - hot[2]) * hot[3];
    if (hot[8] === 1) {
      work[4] = x;
      return;
    }
    if (!(x > 0 && x < 1)) {
      work[4] = x > 0 ? 1 : 0;
      return;
    }
    const a = hot[11];
    const b = hot[10];
    const c = hot[9];
    const place = x * 32;
    const part = place | 0;
    const w = place - part;
    const k = this.base + 4 * part;
    const guess = table[k] + table[k + 1] * w + w * w * (table[k + 2] + table[k + 3] * w);
    const square = guess * guess;
    const slope = c + 2 * b * guess + 3 * a * square;
    const inverse = 1 / slope;
    const bend = b + 3 * a * guess;
    const f = c * guess - x + square * (b + a * guess);
    // Chebyshev's step: of the same order as Halley's, but its division does not wait for the residual.
    const newton = f * inverse;
    const move = newton + bend * inverse * newton * newton;
    const left = f - move * (slope - move * (bend - move * a));
    const s = guess - move;
    work[4] = s;
    if (left < 5e-16 && left > -5e-16 && s >= 0 && s <= 1) return;
    work[0] = a;
    work[1] = b;
    work[2] = c;
    work[3] = x;
    work[4] = guess;
    solveWork(work);
  }

  /** Whole cycles between the first one and time `t`; rounding never leaves a time outside its cycle. */
  private turnsAt(t: number): number {
    const turns = Math.floor((t - this.first) / this.period);
    return t - turns * this.period >= this.last ? turns + 1 : turns;
  }

  /** Writes the value at time `t` (s) into `out[to]`; short, so that engines put it into the caller's loop. */
  writeValue(t: number, out: NumberSink, to: number): void {
    const { hot } = this;
    if (t >= hot[12] && t < hot[1]) {
      const s = (t - hot[2]) * hot[3];
      out[to] = hot[4] + hot[5] * s + s * s * (hot[6] + hot[7] * s);
      return;
    }
    this.work[5] = t;
    this.writeCurved(out, to);
  }

  /** As `writeValue` for time `work[5]`, fast where the current segment holds it and the table settles it. */
  private writeCurved(out: NumberSink, to: number): void {
    const { hot, table } = this;
    const t = this.work[5];
    if (t >= hot[0] && t < hot[1]) {
      // The step of `solve` once more: what it is not sure of is asked again there.
      const x = (t - hot[2]) * hot[3];
      const a = hot[11];
      const b = hot[10];
      const c = hot[9];
      const place = x * 32;
      const part = place | 0;
      const w = place - part;
      const k = this.base + 4 * part;
      const guess = table[k] + table[k + 1] * w + w * w * (table[k + 2] + table[k + 3] * w);
      const square = guess * guess;
      const slope = c + 2 * b * guess + 3 * a * square;
      const inverse = 1 / slope;
      const bend = b + 3 * a * guess;
      const f = c * guess - x + square * (b + a * guess);
      // Chebyshev's step: of the same order as Halley's, but its division does not wait for the residual.
      const newton = f * inverse;
      const move = newton + bend * inverse * newton * newton;
      const left = f - move * (slope - move * (bend - move * a));
      const s = guess - move;
      if (left < 5e-16 && left > -5e-16 && s >= 0 && s <= 1 && x > 0 && x < 1) {
        out[to] = hot[4] + hot[5] * s + s * s * (hot[6] + hot[7] * s);
        return;
      }
    }
    this.writeSolved(out, to);
  }

  /** Writes the values at all `times` (s) into `out[to]`, `out[to + stride]`, …: one segment's numbers at a time. */
  writeValues(times: ArrayLike<number>, out: NumberSink, to: number, stride: number): void {
    const { hot, table, work } = this;
    const count = times.length;
    let j = 0;
    while (j < count) {
      const from = hot[0];
      const until = hot[1];
      const origin = hot[2];
      const rate = hot[3];
      const v0 = hot[4];
      const v1 = hot[5];
      const v2 = hot[6];
      const v3 = hot[7];
      if (hot[8] === 1) {
        for (; j < count; j++) {
          const t = times[j];
          if (!(t >= from && t < until)) break;
          const s = (t - origin) * rate;
          out[to + j * stride] = v0 + v1 * s + s * s * (v2 + v3 * s);
        }
      } else {
        const a = hot[11];
        const b = hot[10];
        const c = hot[9];
        const base = this.base;
        for (; j < count; j++) {
          const t = times[j];
          if (!(t >= from && t < until)) break;
          const x = (t - origin) * rate;
          const place = x * 32;
          const part = place | 0;
          const w = place - part;
          const k = base + 4 * part;
          const guess = table[k] + table[k + 1] * w + w * w * (table[k + 2] + table[k + 3] * w);
          const square = guess * guess;
          const slope = c + 2 * b * guess + 3 * a * square;
          const inverse = 1 / slope;
          const bend = b + 3 * a * guess;
          const f = c * guess - x + square * (b + a * guess);
          // Chebyshev's step: of the same order as Halley's, but its division does not wait for the residual.
          const newton = f * inverse;
          const move = newton + bend * inverse * newton * newton;
          const left = f - move * (slope - move * (bend - move * a));
          let s = guess - move;
          if (!(left < 5e-16 && left > -5e-16 && s >= 0 && s <= 1 && x > 0 && x < 1)) {
            work[5] = t;
            this.solve();
            s = work[4];
          }
          out[to + j * stride] = v0 + v1 * s + s * s * (v2 + v3 * s);
        }
      }
      if (j < count) {
        work[5] = times[j];
        this.writeSolved(out, to + j * stride);
        j++;
      }
    }
  }

  /** As `writeValue` for time `work[5]`, wherever it lies and whatever its segment needs. */
  private writeSolved(out: NumberSink, to: number): void {
    const { hot, work } = this;
    const t = work[5];
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
      work[5] = Math.max(this.first, t - turns * this.period);
      if (code === 3) lift = turns * this.gain;
    }
    this.find();
    this.solve();
    const s = work[4];
    out[to] = hot[4] + hot[5] * s + s * s * (hot[6] + hot[7] * s) + lift;
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
    if (lift !== 0) out[to] += lift;
    if (this.period !== 0) return;
    if (work[TIME] === this.first) out[to + 1] = this.ends[1];
    if (work[TIME] !== this.last) return;
    out[to] = this.ends[2];
    out[to + 1] = this.ends[3];
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
