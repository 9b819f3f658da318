import { join } from 'node:path';
import { numberIn, readCsv } from './read-csv.js';

/** What the published table says of a peak: mean and standard deviation over the children, in BW. */
export interface Published {
  readonly mean: number;
  readonly sd: number;
}

/** Sizes of the peaks of a stance, in BW; braking is positive. */
export const PEAKS = ['first', 'valley', 'second', 'braking', 'propulsion'] as const;
export type PeakName = (typeof PEAKS)[number];

/** One of the five speeds. */
export interface SpeedGroup {
  readonly name: string;
  /** Speed over √(g L). */
  readonly speed: number;
  /** Step length over L. */
  readonly stepLength: number;
  /** Stance as a fraction of the stride. */
  readonly stance: number;
  readonly peaks: Readonly<Record<PeakName, Published>>;
  /** Mean curves of one foot in BW against phase of the stride, from 0 to 1. */
  readonly phase: readonly number[];
  readonly vertical: readonly number[];
  readonly forward: readonly number[];
}

const GROUPS = ['Very Slow', 'Slow', 'Free', 'Fast', 'Very Fast'] as const;

// Whole per cent as published; the workbook's parameters do not repeat it.
const STANCE = [0.68, 0.62, 0.59, 0.58, 0.56];

const ROWS: Readonly<Record<PeakName, string>> = {
  first: 'First Vertical Peak Force  [BW]',
  valley: 'Mid Stance Force Min  [BW]',
  second: 'Second Vertical Peak Force  [BW]',
  braking: 'Peak Braking Force  [BW]',
  propulsion: 'Peak Propuls Force  [BW]',
};

/**
 * The 82 children of Schwartz, Rozumalski & Trost 2008 (J Biomech 41:1639–1650): `parameters.csv` and
 * `stride-curves.csv` of a folder, from the paper's supplementary workbook.
 */
export function readChildren(folder: string): SpeedGroup[] {
  const parameters = readCsv(join(folder, 'parameters.csv'));
  const curves = readCsv(join(folder, 'stride-curves.csv'));
  return GROUPS.map((name, i) => {
    const find = (parameter: string): Published => {
      const row = parameters.find((one) => one.parameter === parameter && one.speed_group === name);
      if (!row) throw new RangeError(`readChildren: no ${parameter} for ${name}`);
      return { mean: Math.abs(numberIn(row, 'mean')), sd: numberIn(row, 'sd') };
    };
    const column = (kind: string): number[] =>
      curves.map((row) => numberIn(row, `${kind}_${name.replace(' ', '')}_mean`));
    return {
      name,
      speed: find('Dimensionless Speed').mean,
      stepLength: find('Dimensionless Step Length').mean,
      stance: STANCE[i],
      peaks: Object.fromEntries(PEAKS.map((peak) => [peak, find(ROWS[peak])])) as SpeedGroup['peaks'],
      phase: curves.map((row) => numberIn(row, 'pct_stride') / 100),
      vertical: column('V'),
      forward: column('AP'),
    };
  });
}
