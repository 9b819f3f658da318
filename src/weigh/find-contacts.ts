/** Shortest time in s that a plate has to be left for two contacts to be two. */
const SHORTEST_GAP = 0.05;

/** Shortest contact in s; anything below is a knock. */
const SHORTEST_CONTACT = 0.15;

/** Least peak of a contact as a fraction of the plate's highest reading. */
const LEAST_PEAK = 0.3;

/** A stretch of loading on one plate. */
export interface Loading {
  /** Samples, with the fraction at which the threshold was crossed. */
  readonly from: number;
  readonly to: number;
  /** Whether the record begins or ends inside it. */
  readonly cut: boolean;
}

/**
 * When somebody stands on a plate: from the vertical force rising through `landAbove` to its falling
 * through `liftBelow` (N), crossings interpolated between samples. Gaps under 0.05 s are closed; contacts
 * under 0.15 s or with less than 0.3 of the plate's highest reading are dropped.
 */
export function findLoadings(
  vertical: Float64Array,
  rate: number,
  landAbove: number,
  liftBelow: number,
): readonly Loading[] {
  const crossings: { from: number; to: number; cut: boolean }[] = [];
  let from = vertical[0] >= landAbove ? 0 : -1;
  let cut = from === 0;
  for (let i = 1; i < vertical.length; i++) {
    if (from < 0 && vertical[i] >= landAbove) {
      from = i - 1 + crossing(vertical, i, landAbove);
      cut = false;
    } else if (from >= 0 && vertical[i] < liftBelow) {
      crossings.push({ from, to: i - 1 + crossing(vertical, i, liftBelow), cut });
      from = -1;
    }
  }
  if (from >= 0) crossings.push({ from, to: vertical.length - 1, cut: true });
  const joined: typeof crossings = [];
  for (const next of crossings) {
    const last = joined.at(-1);
    if (last && next.from - last.to < SHORTEST_GAP * rate) {
      last.to = next.to;
      last.cut ||= next.cut;
    } else joined.push({ ...next });
  }
  let highest = 0;
  for (const value of vertical) highest = Math.max(highest, value);
  return joined.filter(({ from, to, cut: part }) => {
    if (!part && to - from < SHORTEST_CONTACT * rate) return false;
    let peak = 0;
    for (let i = Math.ceil(from); i <= to; i++) peak = Math.max(peak, vertical[i]);
    return peak >= LEAST_PEAK * highest;
  });
}

/** Fraction of the way from sample i − 1 to i at which `level` is crossed. */
function crossing(samples: Float64Array, i: number, level: number): number {
  const step = samples[i] - samples[i - 1];
  return step === 0 ? 0 : Math.min(1, Math.max(0, (level - samples[i - 1]) / step));
}
