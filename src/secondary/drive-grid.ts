import type { DriverReader } from './read-driver.js';

/** Numbers per moment: value, velocity and acceleration of height, forward and side. */
export const JETS = 9;

/** Grids kept per owner: the strands of one head ask for the same ones again and again. */
const KEPT = 4;

interface Kept {
  readonly key: string;
  readonly jets: Float64Array;
}

const known = new WeakMap<object, Kept[]>();

/**
 * A driver at even times: `count` moments from `first` (s) on, nine numbers each. Past the end of a driver
 * that does not repeat its carrier stands: it keeps its place. Grids of planned motions are kept.
 */
export function sampleGrid(reader: DriverReader, first: number, every: number, count: number): Float64Array {
  const { owner } = reader;
  const key = owner ? `${owner.key} ${first} ${every} ${count}` : '';
  const before = owner ? (known.get(owner.motion) ?? []) : [];
  const found = before.find((kept) => kept.key === key);
  if (found) return found.jets;
  const jets = new Float64Array(JETS * count);
  const out = new Float64Array(JETS);
  const end = reader.start + reader.duration;
  // Rounding of a time that is a sum must not cut off the last moment.
  const past = end + 1e-9 * Math.max(every, Math.abs(end) * 1e-6);
  for (let i = 0; i < count; i++) {
    const t = first + i * every;
    const over = !reader.repeats && t > past;
    reader.sample(reader.repeats ? t : Math.min(t, end), out);
    jets.set(out, JETS * i);
    if (!over) continue;
    for (let k = 0; k < JETS; k++) if (k % 3 !== 0) jets[JETS * i + k] = 0;
  }
  if (owner) known.set(owner.motion, [{ key, jets }, ...before].slice(0, KEPT));
  return jets;
}
