/** How to draw. */
export interface ChartTextOptions {
  /** Characters across. */
  readonly width: number;
  /** Lines down. */
  readonly height: number;
  /** What stands above. */
  readonly title: string;
}

/** Marks of the first series, the second, and both in one place. */
const MARKS = { first: 'o', second: 'x', both: '#' } as const;

/**
 * Two series over the same even phases as a small chart of plain text: `o` the first, `x` the second, `#`
 * both; the left margin holds the scale.
 */
export function chartText(
  first: readonly number[],
  second: readonly number[],
  options: ChartTextOptions,
): string {
  const { width, height, title } = options;
  const all = [...first, ...second];
  const low = Math.min(...all);
  const high = Math.max(low + 1e-9, ...all);
  const rows = Array.from({ length: height }, () => new Array<string>(width).fill(' '));
  const draw = (series: readonly number[], mark: string): void => {
    for (let x = 0; x < width; x++) {
      const value = series[Math.min(series.length - 1, Math.floor((x / width) * series.length))];
      const y = Math.round((1 - (value - low) / (high - low)) * (height - 1));
      rows[y][x] = rows[y][x] === ' ' || rows[y][x] === mark ? mark : MARKS.both;
    }
  };
  draw(first, MARKS.first);
  draw(second, MARKS.second);
  const label = (y: number): string =>
    y === 0 || y === height - 1
      ? (high - (y / (height - 1)) * (high - low)).toFixed(2).padStart(6)
      : ' '.repeat(6);
  return [title, ...rows.map((row, y) => `${label(y)} |${row.join('').trimEnd()}`)].join('\n');
}
