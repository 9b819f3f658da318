import { requireNumber, requireRecord } from '../../internal/check.js';
import { requireCurve } from '../check-curve.js';
import type { Curve, Key } from '../curve.js';
import { boundsOf } from '../edit/features.js';
import { wrapKeys } from '../edit/wrap-keys.js';
import type { ErrorMeasure } from '../fit/measure.js';
import { type Piece, piecesOf } from '../pieces.js';
import { endSlope } from '../segment.js';
import { Track } from '../track.js';

/** How near the curve has to be followed. */
export interface ThirdsOptions {
  /** Bound on the change in value; a millionth of the curve's range if left out, and never finer than rounding. */
  readonly tolerance?: number;
}

/** A curve whose spans are all a third of their segment, and how far it moved. */
export interface ThirdsResult {
  readonly curve: Curve;
  /** Change in value, measured at 32 points per segment of the result. */
  readonly error: ErrorMeasure;
  /** Whether the tolerance is met by that. */
  readonly met: boolean;
}

/** Points per segment that are compared, and the deepest halving of a segment. */
const POINTS = 32;
const DEEPEST = 12;

/** Share of the values that is their rounding: no tolerance is finer. */
const ROUNDED_VALUES = 16 * Number.EPSILON;

/** How far from the end of a segment, in parts of it, its slope is taken where that end is vertical. */
const VERTICAL = 1e-6;

/** Departure from a third that is taken for rounding, as a fraction of the segment. */
const ROUNDING = 1e-14;

/**
 * The curve with third-length spans everywhere, so that a cubic Hermite host plays it.
 *
 * Segments that are cubic in time already, and lines and holds, stay as they are; others take the curve's
 * slopes at their ends and are halved until the change in value is within the tolerance. Handles of locked
 * keys are converted like all others, since a span that is no third cannot stay.
 *
 * @param options.tolerance - bound on the change in value, measured, not proved; default 1e-6 of the curve's range
 * @returns curve, measured change, and whether the tolerance is met; at most 2^12 pieces per segment
 * @throws RangeError or TypeError where curve or tolerance are not usable
 * @example
 * import { toThirds } from 'underfoot/curves';
 * const flat = { span: 0.2, slope: 0 };
 * const keys = [
 *   { time: 0, value: 0, in: flat, out: flat },
 *   { time: 0.4, value: 1, in: flat, out: flat },
 * ];
 * const { met } = toThirds({ keys, start: 0, before: 'holds', after: 'holds' }, { tolerance: 1e-3 });
 * console.log(met); // → true
 */
export function toThirds(curve: Curve, options: ThirdsOptions = {}): ThirdsResult {
  return thirdsOf('toThirds', curve, options);
}

/** As `toThirds`, for a function of another name. */
export function thirdsOf(where: string, curve: Curve, options: ThirdsOptions): ThirdsResult {
  requireCurve(where, curve);
  requireRecord(where, 'options', options, ['tolerance']);
  if (options.tolerance !== undefined) requireNumber(where, 'tolerance', options.tolerance, { above: 0 });
  const { min, max } = boundsOf(curve);
  const rounding = ROUNDED_VALUES * Math.max(Math.abs(min), Math.abs(max));
  const tolerance = Math.max(options.tolerance ?? 1e-6 * (max - min), rounding);
  const { keys: old, period } = curve;
  // A segment across the seam of a cycle is seen whole only by a curve that goes on.
  const track = new Track(period === undefined ? curve : { ...curve, before: 'travels', after: 'travels' });
  const halving = new Halving(track, tolerance);
  const made: Key[] = [];
  let lead = old[0];
  for (const piece of piecesOf(curve)) {
    const { left, right } = piece;
    if (isCubic(piece)) {
      made.push({ ...lead, out: left.out });
      lead = right;
      continue;
    }
    const nodes = halving.nodesOf(piece);
    const third = (i: number): number => (nodes[i + 1].time - nodes[i].time) / 3;
    made.push({ ...lead, out: { span: third(0), slope: nodes[0].slope } });
    for (let i = 1; i + 1 < nodes.length; i++) {
      const { time, value, slope } = nodes[i];
      made.push({ time, value, in: { span: third(i - 1), slope }, out: { span: third(i), slope } });
    }
    const last = nodes.length - 1;
    lead = { ...right, in: { span: third(last - 1), slope: nodes[last].slope } };
  }
  if (period === undefined) made.push(lead);
  else made[0] = { ...made[0], in: lead.in };
  const keys = period === undefined ? made : wrapKeys(made, curve.start, period, curve.gain ?? 0);
  const error = halving.error(curve.start);
  return { curve: { ...curve, keys }, error, met: error.max <= tolerance };
}

/** Whether a segment plays as it is where spans are thirds. */
function isCubic({ left, right, length }: Piece): boolean {
  const away = (span: number): number => Math.abs(span / length - 1 / 3);
  return (
    (left.next ?? 'curve') !== 'curve' || (away(left.out.span) < ROUNDING && away(right.in.span) < ROUNDING)
  );
}

/** An end of a Hermite segment. */
interface Node {
  readonly time: number;
  readonly value: number;
  readonly slope: number;
}

/** Cuts segments in halves until Hermite ones follow them, and keeps what they miss by. */
class Halving {
  private max = 0;
  private at: number | undefined;
  private squares = 0;
  private count = 0;
  private readonly jet = new Float64Array(3);

  constructor(
    private readonly track: Track,
    private readonly tolerance: number,
  ) {}

  error(start: number): ErrorMeasure {
    return { max: this.max, at: this.at ?? start, rms: Math.sqrt(this.squares / Math.max(1, this.count)) };
  }

  nodesOf({ left, right, start, length, lift }: Piece): Node[] {
    const { jet, track } = this;
    const value = (right.arrives ?? right.value) + lift;
    const slope = (side: 'left' | 'right'): number => {
      const exact = endSlope(left, right, length, value - left.value, side);
      if (exact !== undefined) return exact;
      track.writeJet(start + (side === 'left' ? VERTICAL : 1 - VERTICAL) * length, jet, 0);
      return jet[1];
    };
    const nodes: Node[] = [{ time: start, value: left.value, slope: slope('left') }];
    this.halve(nodes, { time: start + length, value, slope: slope('right') }, 0);
    return nodes;
  }

  /** Adds what leads from the last of the nodes to `b`. */
  private halve(nodes: Node[], b: Node, depth: number): void {
    const { jet, track } = this;
    const a = nodes[nodes.length - 1];
    const h = b.time - a.time;
    const middle = a.time + h / 2;
    const misses = Array.from({ length: POINTS - 1 }, (_, i) => {
      const s = (i + 1) / POINTS;
      track.writeValue(a.time + s * h, jet, 0);
      const far = s * s * (3 - 2 * s);
      const bend = s * (1 - s) * h * ((1 - s) * a.slope - s * b.slope);
      return Math.abs((1 - far) * a.value + far * b.value + bend - jet[0]);
    });
    const most = Math.max(...misses);
    if (most > this.tolerance && depth < DEEPEST && middle > a.time && middle < b.time) {
      track.writeJet(middle, jet, 0);
      const half = { time: middle, value: jet[0], slope: jet[1] };
      this.halve(nodes, half, depth + 1);
      this.halve(nodes, b, depth + 1);
      return;
    }
    if (most > this.max) {
      this.max = most;
      this.at = a.time + ((misses.indexOf(most) + 1) / POINTS) * h;
    }
    for (const miss of misses) this.squares += miss * miss;
    this.count += misses.length;
    nodes.push(b);
  }
}
