/**
 * A segment prepared for evaluation.
 *
 * Time and value are cubics in a parameter, written as powers. Where time is linear in the parameter — a line, a
 * hold, every curve with third-length spans — or value is linear in time, the value is a cubic in time itself and
 * nothing needs solving: the segment is *even*, and its parameter is the time since its left end.
 */
import type { Key } from './curve.js';
import { PARTS } from './inverse-table.js';
import { solveTime } from './solve-time.js';

/** Departure from third-length spans, in fractions of the segment, that is taken for rounding. */
const THIRDS = 2 ** -46;

/** Length in s by whose cube a small value can be divided and not vanish; longer segments keep a parameter from 0 to 1. */
const LONGEST = 2 ** 32;

/** Time derivative below which the parameter is moved inwards before derivatives are taken. */
const STALLED = 1e-9;

/** How far it is moved. */
const NUDGE = 1e-4;

/** So little before its end a curved segment stops being looked up: a time that is rounded up has no part. */
const SLIVER = 1 - 2 ** -50;

/** What a segment is made of besides its keys. */
export interface SegmentPlace {
  /** Time of its left key, s. */
  readonly start: number;
  /** Time between its keys, s, > 0. */
  readonly length: number;
  /** Part of it that is used, s; from `start` to `start + length` where left out. */
  readonly from?: number;
  readonly to?: number;
  /** Added to the right key's value: the segment crosses a cycle's seam. */
  readonly lift?: number;
  /** Added to both values: the same segment seen from the next cycle. */
  readonly drop?: number;
}

export class Segment {
  // Every number begins as one that is no integer: engines then keep all of them the same way.
  /** Time the parameter is counted from, s. */
  readonly origin = Number.NaN;
  /** Time since `origin` before which a curved segment is not used, s. */
  readonly low = Number.NaN;
  /** Time since `origin` at which an even segment ends, s; −1 where it is curved. */
  readonly evenEnd = Number.NaN;
  /** Time since `origin` up to which a curved segment is looked up, s; −1 where it is even. */
  readonly curvedEnd = Number.NaN;
  /** Parts of the inverse table per second. */
  readonly rate = Number.NaN;
  /** Time as a cubic in the parameter, in parts of the inverse table: t1 s + t2 s² + t3 s³. */
  readonly t1 = Number.NaN;
  readonly t2 = Number.NaN;
  readonly t3 = Number.NaN;
  /** Value as a cubic in the parameter. */
  readonly v0 = Number.NaN;
  readonly v1 = Number.NaN;
  readonly v2 = Number.NaN;
  readonly v3 = Number.NaN;
  /** Where in a track's table this segment's parts begin. */
  readonly base: number;
  /** The segment after it, or itself. */
  next: Segment = this;

  constructor(left: Key, right: Key, place: SegmentPlace, base = 0) {
    const { start, length, from = start, to = start + length, lift = 0, drop = 0 } = place;
    const rise = (right.arrives ?? right.value) + lift - left.value;
    this.base = base;
    this.origin = start;
    this.low = from - start;
    this.rate = PARTS / length;
    this.v0 = left.value + drop;
    this.t1 = PARTS;
    this.t2 = 0;
    this.t3 = 0;
    const kind = left.next ?? 'curve';
    let [v1, v2, v3] = [kind === 'hold' ? 0 : rise, 0, 0];
    let linear = true;
    if (kind === 'curve') {
      const p = left.out.span / length;
      const q = right.in.span / length;
      const y1 = p * length * left.out.slope;
      const y2 = rise - q * length * right.in.slope;
      v1 = 3 * y1;
      v2 = 3 * (y2 - 2 * y1);
      v3 = rise + 3 * (y1 - y2);
      linear = Math.abs(p - 1 / 3) <= THIRDS && Math.abs(q - 1 / 3) <= THIRDS;
      if (!linear) {
        const a = 3 * (p + q) - 2;
        const b = 3 * (1 - q - 2 * p);
        const c = 3 * p;
        this.t1 = PARTS * c;
        this.t2 = PARTS * b;
        this.t3 = PARTS * a;
        if (v1 === rise * c && v2 === rise * b && v3 === rise * a) {
          [v1, v2, v3] = [rise, 0, 0];
          linear = true;
        }
      }
    }
    const even = linear && length <= LONGEST;
    const unit = even ? length : 1;
    this.v1 = v1 / unit;
    this.v2 = v2 / (unit * unit);
    this.v3 = v3 / (unit * unit * unit);
    this.evenEnd = even ? to - start : -1;
    this.curvedEnd = even ? -1 : Math.min(to - start, length) * SLIVER;
    if (!even || !(from > start)) return;
    // Counted from where its use begins, an even segment has no time before it to be asked about.
    const u = from - start;
    const slope = this.v1 + (2 * this.v2 + 3 * this.v3 * u) * u;
    this.v0 = this.v0 + (this.v1 + (this.v2 + this.v3 * u) * u) * u;
    this.v1 = slope;
    this.v2 = this.v2 + 3 * this.v3 * u;
    this.origin = from;
    this.low = 0;
    this.evenEnd = to - from;
  }
}

/** The share of a segment's length, as its handles count it, that has gone by at time `t` (s): from 0 to 1. */
export function cutParameter(segment: Segment, t: number): number {
  const x = (t - segment.origin) * segment.rate * (1 / PARTS);
  return solveTime(segment.t3 / PARTS, segment.t2 / PARTS, segment.t1 / PARTS, x, x);
}

/**
 * The slope with which the segment between two keys leaves the left one, or arrives at the right one: the key's own
 * where its handle has a length, otherwise that of the line to the nearest control point that is elsewhere.
 * Undefined where that line is vertical.
 *
 * @param rise - value of the right end less that of the left one
 */
export function endSlope(
  left: Key,
  right: Key,
  length: number,
  rise: number,
  side: 'left' | 'right',
): number | undefined {
  const kind = left.next ?? 'curve';
  if (kind !== 'curve') return kind === 'line' ? rise / length : 0;
  const [own, other] = side === 'left' ? [left.out, right.in] : [right.in, left.out];
  if (own.span > 0) return own.slope;
  const width = length - other.span;
  const height = rise - other.span * other.slope;
  if (width > STALLED * length) return height / width;
  return height === 0 ? rise / length : undefined;
}

/**
 * Writes value, first and second derivative at parameter `s` of a segment into `out[to…to + 2]`; the parameter comes
 * in an object, since an engine may put a number that is passed on the heap.
 *
 * At a vertical tangent, where the derivatives are infinite, they are those a ten-thousandth of the
 * parameter further in: large and finite.
 */
export function writeSegmentJet(
  { now: segment, s }: { readonly now: Segment; readonly s: number },
  out: { [index: number]: number },
  to: number,
): void {
  const { v0, v1, v2, v3 } = segment;
  out[to] = v0 + v1 * s + s * s * (v2 + v3 * s);
  if (segment.curvedEnd < 0) {
    out[to + 1] = (3 * v3 * s + 2 * v2) * s + v1;
    out[to + 2] = 6 * v3 * s + 2 * v2;
    return;
  }
  const t1 = segment.t1 / PARTS;
  const t2 = segment.t2 / PARTS;
  const t3 = segment.t3 / PARTS;
  const rate = segment.rate / PARTS;
  let u = s;
  let dx = (3 * t3 * u + 2 * t2) * u + t1;
  if (dx < STALLED) {
    u += u > 0.5 ? -NUDGE : NUDGE;
    dx = Math.max((3 * t3 * u + 2 * t2) * u + t1, STALLED);
  }
  const slope = ((3 * v3 * u + 2 * v2) * u + v1) / dx;
  out[to + 1] = slope * rate;
  out[to + 2] = ((6 * v3 * u + 2 * v2 - slope * (6 * t3 * u + 2 * t2)) / (dx * dx)) * rate * rate;
}
