import type { Measured } from './harness.js';

/** A time in ns to three significant digits, in the unit that reads best. */
export function formatTime(ns: number): string {
  if (ns < 1e3) return `${Number(ns.toPrecision(3))} ns`;
  if (ns < 1e6) return `${Number((ns / 1e3).toPrecision(3))} µs`;
  return `${Number((ns / 1e6).toPrecision(3))} ms`;
}

function formatError(error: number | undefined): string {
  if (error === undefined) return '';
  return error === 0 ? '0' : error.toExponential(1);
}

/** Prints what was measured of one task, the fastest peer's time being 1 in the last column. */
export function printTable(task: string, rows: readonly Measured[], errorLabel: string): void {
  const fastest = Math.min(...rows.map(({ medianNs }) => medianNs));
  const head = ['', 'median', '±', errorLabel, 'keys', 'times the fastest'];
  const cells = rows.map((row) => [
    row.name,
    formatTime(row.medianNs),
    formatTime(row.spreadNs),
    formatError(row.maxError),
    row.keys === undefined ? '' : String(row.keys),
    (row.medianNs / fastest).toFixed(2),
  ]);
  const widths = head.map((text, k) => Math.max(text.length, ...cells.map((line) => line[k].length)));
  const write = (line: readonly string[]) => {
    const padded = line.map((text, k) => (k === 0 ? text.padEnd(widths[k]) : text.padStart(widths[k])));
    console.log(`  ${padded.join('  ')}`.trimEnd());
  };
  console.log(`\n${task}`);
  write(head);
  cells.forEach(write);
}
