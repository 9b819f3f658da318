import type { Curve, Key, Tangent } from '../curve.js';
import { makeGrid } from '../fit/grid.js';
import { SegmentSolver } from '../fit/segment-solver.js';
import type { FitSource } from '../fit/source.js';
import { type Piece, piecesOf } from '../pieces.js';
import { endSlope } from '../segment.js';
import { Track } from '../track.js';
import { bothMeta } from './both-meta.js';
import { wrapKeys } from './wrap-keys.js';

/** Points at which a segment is fitted, at which it is measured, and the deepest halving. */
const FIT_POINTS = 32;
const POINTS = 40;
const DEEPEST = 10;

/** Difference of handles, in fractions of their segment, that is rounding. */
const ALIKE = 1e-12;

/** A piece of the blend: the pieces it is made of, and the blended ends. */
interface Pair {
  readonly a: Piece;
  readonly b: Piece;
}

const endOf = ({ left, right, lift }: Piece): number =>
  left.next === 'hold' ? left.value : (right.arrives ?? right.value) + lift;

/** A piece's slope where it begins or ends; undefined where it is vertical there. */
const slopeOf = (piece: Piece, side: 'left' | 'right'): number | undefined =>
  endSlope(piece.left, piece.right, piece.length, endOf(piece) - piece.left.value, side);

const isCurve = ({ left }: Piece): boolean => (left.next ?? 'curve') === 'curve';

/** The spans that a pair shares, in s; undefined where two curves have different ones. */
function sharedSpans({ a, b }: Pair): readonly [number, number] | undefined {
  const spans = ({ left, right }: Piece): readonly [number, number] => [left.out.span, right.in.span];
  // A line is one with handles of any width, and a hold is a level line.
  if (!isCurve(b)) return isCurve(a) ? spans(a) : [a.length / 3, a.length / 3];
  if (!isCurve(a)) return spans(b);
  const [mine, other] = [spans(a), spans(b)];
  return mine.every((span, i) => Math.abs(span - other[i]) <= ALIKE * a.length) ? mine : undefined;
}

/** The slope of a piece's handle on one side if it had a given width: its own, or that of a line. */
function handleSlope(piece: Piece, side: 'left' | 'right'): number {
  if (isCurve(piece)) return side === 'left' ? piece.left.out.slope : piece.right.in.slope;
  return (endOf(piece) - piece.left.value) / piece.length;
}

/** Whether every segment of the blend is one cubic exactly. */
export const isExact = (a: Curve, b: Curve): boolean =>
  pairsOf(a, b).every((pair) => sharedSpans(pair) !== undefined);

function pairsOf(a: Curve, b: Curve): Pair[] {
  const others = piecesOf(b);
  return piecesOf(a).map((piece, i) => ({ a: piece, b: others[i] }));
}

/** One segment between two new keys. */
interface Link {
  readonly value: number;
  readonly out: Tangent;
  readonly next?: Key['next'];
  readonly in: Tangent;
  readonly end: number;
}

/**
 * The keys of the blend of two curves that have keys at the same times: segment by segment, exact where both have the same
 * handles or one is a line or held, otherwise halved until the tolerance is met, with the blend's slopes.
 *
 * @param source - the blend, for times inside the curves
 */
export function blendPieces(a: Curve, b: Curve, weight: number, tolerance: number, source: FitSource): Key[] {
  const mix = (x: number, y: number): number => x + weight * (y - x);
  const keys: Key[] = [];
  let arriving: { tangent: Tangent; value: number } | undefined;
  const add = (time: number, link: Link | undefined, own: Partial<Key> = {}, value = link!.value): void => {
    const left = arriving;
    keys.push({
      time,
      value,
      in: left?.tangent ?? { span: 0, slope: 0 },
      out: link?.out ?? { span: 0, slope: 0 },
      ...(link?.next ? { next: link.next } : {}),
      ...(left && left.value !== value ? { arrives: left.value } : {}),
      ...own,
    });
    arriving = link && { tangent: link.in, value: link.end };
  };
  for (const { a: one, b: two } of pairsOf(a, b)) {
    const pair = { a: one, b: two };
    const own = bothMeta(one.left, two.left);
    const [value, end] = [mix(one.left.value, two.left.value), mix(endOf(one), endOf(two))];
    const shared = sharedSpans(pair);
    if (shared) {
      const side = (i: 0 | 1, name: 'left' | 'right'): Tangent => ({
        span: shared[i],
        slope: mix(handleSlope(one, name), handleSlope(two, name)),
      });
      const holds = one.left.next === 'hold' && two.left.next === 'hold';
      const next = isCurve(one) || isCurve(two) ? undefined : holds ? 'hold' : 'line';
      add(one.start, { value, out: side(0, 'left'), in: side(1, 'right'), end, next }, own);
      // What is held never arrives.
      if (holds) arriving = undefined;
      continue;
    }
    const slopes = (['left', 'right'] as const).map((side) => {
      const [x, y] = [slopeOf(one, side), slopeOf(two, side)];
      return x === undefined || y === undefined ? undefined : mix(x, y);
    });
    const nodes = halved(source, { start: one.start, length: one.length, value, end, slopes }, tolerance);
    for (const [i, { time, link }] of nodes.entries()) add(time, link, i === 0 ? own : {});
  }
  if (a.period === undefined) {
    const [x, y] = [a.keys[a.keys.length - 1], b.keys[b.keys.length - 1]];
    add(x.time, undefined, bothMeta(x, y), mix(x.value, y.value));
    return keys;
  }
  const gain = mix(a.gain ?? 0, b.gain ?? 0);
  if (!arriving) return keys;
  // The seam: what arrives at the first key is a cycle later, higher by the gain.
  const [first, ...others] = keys;
  const value = arriving.value - gain;
  const size = Math.abs(arriving.value) + Math.abs(gain);
  const jumps = Math.abs(value - first.value) > 4 * Number.EPSILON * size;
  const seam = { ...first, in: arriving.tangent, ...(jumps ? { arrives: value } : {}) };
  return wrapKeys([seam, ...others], a.start, a.period, gain);
}

interface Stretch {
  readonly start: number;
  readonly length: number;
  readonly value: number;
  readonly end: number;
  /** Slopes at both ends; undefined where vertical. */
  readonly slopes: readonly (number | undefined)[];
}

/** How far a segment is from the blend, at 39 points. */
function missOf(source: FitSource, { start, length, value, end }: Stretch, link: Link): number {
  const flat = { span: 0, slope: 0 };
  const track = new Track({
    keys: [
      { time: start, value, in: flat, out: link.out },
      { time: start + length, value: end, in: link.in, out: flat },
    ],
    start,
    before: 'holds',
    after: 'holds',
  });
  const jet = new Float64Array(3);
  const mine = new Float64Array(1);
  let most = 0;
  for (let i = 1; i < POINTS; i++) {
    const t = start + (length * i) / POINTS;
    track.writeValue(t, mine, 0);
    source.jet(t, jet);
    most = Math.max(most, Math.abs(mine[0] - jet[0]));
  }
  return most;
}

/** A stretch as segments within the tolerance, as far as ten halvings go. */
function halved(source: FitSource, whole: Stretch, tolerance: number): { time: number; link: Link }[] {
  const found: { time: number; link: Link }[] = [];
  const jet = new Float64Array(3);
  const cut = (stretch: Stretch, depth: number): void => {
    const { start, length, value, end } = stretch;
    const slopeAt = (i: 0 | 1): number => {
      const exact = stretch.slopes[i];
      if (exact !== undefined) return exact;
      source.jet(start + (i === 0 ? 1e-6 : 1 - 1e-6) * length, jet);
      return jet[1];
    };
    const [slope0, slope1] = [slopeAt(0), slopeAt(1)];
    const times = Float64Array.from(
      { length: FIT_POINTS },
      (_, i) => start + (length * (i + 0.5)) / FIT_POINTS,
    );
    const solver = new SegmentSolver(makeGrid(source, times), 0, 0, 0, FIT_POINTS);
    solver.solve({ start, length, value0: value, value1: end, slope0, slope1 });
    const level = (end - value) / length;
    const linkOf = (out: Tangent, arriving: Tangent): Link => ({ value, out, in: arriving, end });
    const fitted = linkOf(
      { span: solver.out * length, slope: slope0 },
      { span: solver.in * length, slope: slope1 },
    );
    const third = { span: length / 3, slope: level };
    const straight = linkOf(third, third);
    const [bent, even] = [missOf(source, stretch, fitted), missOf(source, stretch, straight)];
    // Beside a vertical tangent a straight line can be nearer than anything with the slopes of the ends.
    const [most, link] = even < bent ? [even, straight] : [bent, fitted];
    const middle = start + length / 2;
    if (most <= tolerance || depth >= DEEPEST || !(middle > start && middle < start + length)) {
      found.push({ time: start, link });
      return;
    }
    source.jet(middle, jet);
    const [at, slope] = jet;
    cut({ start, length: length / 2, value, end: at, slopes: [stretch.slopes[0], slope] }, depth + 1);
    cut(
      { start: middle, length: start + length - middle, value: at, end, slopes: [slope, stretch.slopes[1]] },
      depth + 1,
    );
  };
  cut(whole, 0);
  return found;
}
