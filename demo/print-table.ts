import { evaluate } from '../src/curves/index.js';
import type { MotionDocument } from '../src/exchange/index.js';

const COLUMNS = [
  ['walk', (d: MotionDocument) => d.name],
  ['pace', (d) => `${d.pace?.speed.toFixed(2)} m/s`],
  ['step', (d) => `${d.pace?.stepLength.toFixed(2)} m, ${frames(d)} f`],
  ['stance', (d) => `${(100 * stance(d)).toFixed(0)} %`],
  ['load of both feet', (d) => range(d.forces.total.vertical, 2, 'BW')],
  ['bob', (d) => `${(100 * bob(d)).toFixed(1)} cm`],
  ['keys', (d) => `${d.root.height.keys.length}`],
  ['worst error', (d) => errorOf(d)],
] as const satisfies readonly (readonly [string, (document: MotionDocument) => string])[];

/** One row a walk, columns as wide as they need to be. */
export function printTable(documents: readonly MotionDocument[]): string {
  const rows = [
    COLUMNS.map(([title]) => title as string),
    ...documents.map((d) => COLUMNS.map(([, of]) => of(d))),
  ];
  const widths = COLUMNS.map((_, i) => Math.max(...rows.map((row) => row[i].length)));
  const line = (row: readonly string[]): string =>
    row.map((cell, i) => (i === 0 ? cell.padEnd(widths[i]) : cell.padStart(widths[i]))).join('   ');
  return [line(rows[0]), widths.map((n) => '-'.repeat(n)).join('   '), ...rows.slice(1).map(line)].join('\n');
}

function range(values: readonly number[], digits: number, unit: string): string {
  return `${Math.min(...values).toFixed(digits)} to ${Math.max(...values).toFixed(digits)} ${unit}`;
}

function frames({ pace, scene }: MotionDocument): string {
  if (!pace) return '';
  return ((pace.stepTime * scene.frameRate.frames) / scene.frameRate.seconds).toFixed(0);
}

function stance({ feet, span }: MotionDocument): number {
  const { land, lift } = feet.right.contacts[0];
  return (lift - land) / span.duration;
}

/** Rise of the keyed height from lowest to highest, by 500 samples. */
function bob({ root, span }: MotionDocument): number {
  const values = Array.from({ length: 500 }, (_, i) => evaluate(root.height, (span.duration * i) / 500));
  return Math.max(...values) - Math.min(...values);
}

function errorOf({ root }: MotionDocument): string {
  const error = root.error?.height;
  if (!error) return '';
  return `${(1000 * error.value.max).toFixed(2)} mm, ${error.load.rms.toFixed(3)} BW rms`;
}
