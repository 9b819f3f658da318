/** Part of the range from lightest to heaviest that an unloaded plate's readings lie in. */
const BAND = 0.06;

/** Least part of the record that a plate has to be unloaded for. */
const LEAST_PART = 0.03;

/**
 * What a plate reads in each column while nobody stands on it: the median over the samples whose vertical
 * force lies within 6 % of the range above its lightest; nothing where the plate is never free.
 */
export function unloadedReadings(
  vertical: Float64Array,
  columns: readonly Float64Array[],
): readonly number[] | undefined {
  const sorted = vertical.slice().sort();
  const low = quantile(sorted, 0.02);
  const high = quantile(sorted, 0.98);
  // Whoever never leaves the plate loads it all the time; its lightest reading is no zero.
  if (!(high > 0 && low < 0.25 * high)) return undefined;
  const limit = low + BAND * (high - low);
  const free: number[] = [];
  for (let i = 0; i < vertical.length; i++) if (vertical[i] <= limit) free.push(i);
  if (free.length < LEAST_PART * vertical.length) return undefined;
  return columns.map((column) => quantile(Float64Array.from(free, (i) => column[i]).sort(), 0.5));
}

function quantile(sorted: Float64Array, part: number): number {
  return sorted[Math.floor(part * (sorted.length - 1))];
}
