import type { PieceTrack } from './shot.js';
import { TOGETHER } from './tracks.js';

/** Binomial coefficients up to the fifth degree. */
const CHOOSE = [[1], [1, 1], [1, 2, 1], [1, 3, 3, 1], [1, 4, 6, 4, 1], [1, 5, 10, 10, 5, 1]] as const;

/** The coefficients of a part of a polynomial, from `start` to `start + span` of its elapsed fraction. */
function partOf(powers: readonly number[], start: number, span: number): readonly number[] {
  if (start === 0 && span === 1) return powers;
  const part = [0, 0, 0, 0, 0, 0];
  for (let n = 0; n < 6; n++) {
    // (start + span u)ⁿ, term by term.
    for (let k = 0; k <= n; k++) part[k] += powers[n] * CHOOSE[n][k] * start ** (n - k) * span ** k;
  }
  return part;
}

/** The sum of a track and one that begins and ends at rest at 0 within it; pieces are cut where either has an end. */
export function addTracks(track: PieceTrack, added: PieceTrack): PieceTrack {
  const first = added.times[0];
  const last = added.times[added.times.length - 1];
  const inside = track.times.filter((t) => t > first && t < last);
  const cuts = [...new Set([...added.times, ...inside])].sort((a, b) => a - b);
  const times: number[] = [];
  const powers: (readonly number[])[] = [];
  track.powers.forEach((own, i) => {
    const [start, end] = [track.times[i], track.times[i + 1]];
    const edges = [start, ...cuts.filter((t) => t > start + TOGETHER && t < end - TOGETHER), end];
    for (let e = 1; e < edges.length; e++) {
      const [from, to] = [edges[e - 1], edges[e]];
      const sum = [...partOf(own, (from - start) / (end - start), (to - from) / (end - start))];
      const middle = (from + to) / 2;
      if (middle > first && middle < last) addPart(sum, added, from, to);
      times.push(from);
      powers.push(sum);
    }
  });
  times.push(track.times[track.times.length - 1]);
  return { times, powers };
}

function addPart(sum: number[], { times, powers }: PieceTrack, from: number, to: number): void {
  let i = 0;
  while (i + 1 < powers.length && times[i + 1] <= (from + to) / 2) i++;
  const whole = times[i + 1] - times[i];
  partOf(powers[i], (from - times[i]) / whole, (to - from) / whole).forEach((x, k) => {
    sum[k] += x;
  });
}
