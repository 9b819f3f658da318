/** A label that wants to stand over a point. */
export interface WantedLabel {
  /** Where its middle wants to be, in px. */
  readonly x: number;
  readonly width: number;
}

/** A label's place: its middle and the row it stands in, 0 being the nearest to the drawing. */
export interface PlacedLabel {
  readonly x: number;
  readonly row: number;
}

/** Least room between two labels of a row in px, where no other is asked for. */
const GAP = 8;

/**
 * Places for labels in as few rows as it takes: each stands over its point, pushed in at the edges, in the
 * first row where it touches no label on its right. Wants its labels in rising order of x.
 */
export function placeInRows(
  labels: readonly WantedLabel[],
  left: number,
  right: number,
  gap = GAP,
): PlacedLabel[] {
  const begins: number[] = [];
  const placed: PlacedLabel[] = [];
  for (let i = labels.length - 1; i >= 0; i--) {
    const half = labels[i].width / 2;
    const middle = Math.max(left + half, Math.min(right - half, labels[i].x));
    let row = 0;
    while (row < begins.length && begins[row] - gap < middle + half) row++;
    begins[row] = middle - half;
    placed[i] = { x: middle, row };
  }
  return placed;
}
