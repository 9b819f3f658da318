import { joinJets } from '../feet/quintic.js';
import type { PieceTrack } from './shot.js';

/** A value and its rate at a time; the second derivative there is nothing. */
export interface TrackNode {
  readonly time: number;
  readonly value: number;
  readonly rate: number;
}

/** How far from straight, over its reach, a piece is still straight: rounding. */
const STRAIGHT = 1e-12;

/** Nodes nearer to each other than this, in s, are one. */
export const TOGETHER = 1e-9;

/** Nodes of which none are at the same time: the later one's value, at the time of the end where it is one. */
function apart(nodes: readonly TrackNode[]): TrackNode[] {
  const kept: TrackNode[] = [];
  nodes.forEach((node, i) => {
    const last = kept[kept.length - 1];
    if (last === undefined || node.time - last.time > TOGETHER) kept.push(node);
    else kept[kept.length - 1] = i === nodes.length - 1 ? node : { ...node, time: last.time };
  });
  return kept;
}

/** The track through nodes, smooth to the second derivative; straight where neighbours ask for that. */
export function trackThrough(given: readonly TrackNode[]): PieceTrack {
  const nodes = apart(given);
  const times = nodes.map(({ time }) => time);
  const powers = nodes.slice(1).map((to, i): number[] => {
    const from = nodes[i];
    const span = to.time - from.time;
    const rise = to.value - from.value;
    const reach = Math.abs(from.value) + Math.abs(to.value) + Math.abs(rise);
    const bent = Math.max(Math.abs(from.rate * span - rise), Math.abs(to.rate * span - rise));
    if (bent <= STRAIGHT * reach) return [from.value, rise, 0, 0, 0, 0];
    return [...joinJets([from.value, from.rate, 0], [to.value, to.rate, 0], span).powers];
  });
  return { times, powers };
}

/** Writes value, first and second derivative at `t` into `out[at…at + 2]`. */
export type TrackSampler = (t: number, out: Float64Array, at: number) => void;

/**
 * A prepared reader of a track: remembers the piece it read last, so that neighbouring times cost no search;
 * allocates nothing. Outside, the value at the nearer end, at rest.
 */
export function prepareTrack(track: PieceTrack): TrackSampler {
  const { times, powers } = track;
  if (powers.some(({ length }) => length !== 6)) return prepareLongTrack(track);
  const pieces = powers.length;
  const at = Float64Array.from(times);
  const terms = Float64Array.from(powers.flat());
  let last = 0;
  return (t, out, to) => {
    if (t < at[0] || t > at[pieces]) {
      out[to] = t < at[0] ? terms[0] : sumOf(terms, 6 * (pieces - 1));
      out[to + 1] = 0;
      out[to + 2] = 0;
      return;
    }
    last = findPiece(at, pieces, t, last);
    const span = at[last + 1] - at[last];
    const u = (t - at[last]) / span;
    const i = 6 * last;
    const a = terms[i];
    const b = terms[i + 1];
    const c = terms[i + 2];
    const d = terms[i + 3];
    const e = terms[i + 4];
    const f = terms[i + 5];
    out[to] = a + u * (b + u * (c + u * (d + u * (e + u * f))));
    out[to + 1] = (b + u * (2 * c + u * (3 * d + u * (4 * e + u * 5 * f)))) / span;
    out[to + 2] = (2 * c + u * (6 * d + u * (12 * e + u * 20 * f))) / (span * span);
  };
}

/** Most coefficients of a piece: those of a run have up to eight. */
const LONGEST = 8;

/** A reader of a track with pieces of other than six coefficients. */
function prepareLongTrack({ times, powers }: PieceTrack): TrackSampler {
  const pieces = powers.length;
  const at = Float64Array.from(times);
  const terms = new Float64Array(LONGEST * pieces);
  powers.forEach((own, i) => {
    terms.set(own, LONGEST * i);
  });
  let last = 0;
  return (t, out, to) => {
    const outside = t < at[0] || t > at[pieces];
    last = outside ? (t < at[0] ? 0 : pieces - 1) : findPiece(at, pieces, t, last);
    const span = at[last + 1] - at[last];
    const u = outside ? (t < at[0] ? 0 : 1) : (t - at[last]) / span;
    let value = 0;
    let slope = 0;
    let bend = 0;
    for (let k = LONGEST - 1; k >= 0; k--) {
      bend = bend * u + 2 * slope;
      slope = slope * u + value;
      value = value * u + terms[LONGEST * last + k];
    }
    out[to] = value;
    out[to + 1] = outside ? 0 : slope / span;
    out[to + 2] = outside ? 0 : bend / (span * span);
  };
}

/** Index of the piece that holds a time within the ends, near the one that held the last. */
export function findPiece(ends: Float64Array, pieces: number, t: number, last: number): number {
  if (t >= ends[last] && t < ends[last + 1]) return last;
  if (last + 1 < pieces && t >= ends[last + 1] && t < ends[last + 2]) return last + 1;
  let low = 0;
  let high = pieces - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (t >= ends[middle]) low = middle;
    else high = middle - 1;
  }
  return low;
}

function sumOf(terms: Float64Array, from: number): number {
  let sum = 0;
  for (let k = 0; k < 6; k++) sum += terms[from + k];
  return sum;
}
