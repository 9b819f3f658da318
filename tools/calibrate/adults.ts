import { join } from 'node:path';
import { numberIn, type Row, readCsv } from './read-csv.js';

/** One foot's force over its stance, in BW at even fractions of stance, ends included. */
export interface StanceCurves {
  readonly vertical: readonly number[];
  /** Negative brakes. */
  readonly forward: readonly number[];
  /** Positive towards the other foot. */
  readonly side: readonly number[];
}

/** One walk over two plates. */
export interface Trial {
  readonly name: string;
  readonly subject: string;
  readonly condition: 'self-selected' | 'fast';
  /** kg */
  readonly mass: number;
  /** m */
  readonly stature: number;
  /** m/s */
  readonly speed: number;
  /** s */
  readonly stepTime: number;
  /** s */
  readonly doubleSupport: number;
  /** Rise and fall of the pelvis, in m. */
  readonly pelvisRise: number;
  /** Two steps that follow each other. */
  readonly steps: readonly StanceCurves[];
}

const CONDITIONS = { C4: 'self-selected', C5: 'fast' } as const;

/**
 * The adults of Schreiber & Moissenet 2019 (Sci Data 6:111), cropped and brought to 0–100 % of stance:
 * `trials.csv` and `stance-curves.csv` of a folder.
 */
export function readAdults(folder: string): Trial[] {
  const curves = new Map<string, Row[]>();
  for (const row of readCsv(join(folder, 'stance-curves.csv'))) {
    const key = `${row.trial} ${row.step}`;
    curves.set(key, [...(curves.get(key) ?? []), row]);
  }
  const columns = (rows: readonly Row[]): StanceCurves => ({
    vertical: rows.map((row) => numberIn(row, 'v_BW')),
    forward: rows.map((row) => numberIn(row, 'fore_BW')),
    side: rows.map((row) => numberIn(row, 'ml_BW')),
  });
  return readCsv(join(folder, 'trials.csv')).map((row) => ({
    name: row.trial,
    subject: row.sub,
    condition: CONDITIONS[row.cond as keyof typeof CONDITIONS],
    mass: numberIn(row, 'mass'),
    stature: numberIn(row, 'stature'),
    speed: numberIn(row, 'speed'),
    stepTime: numberIn(row, 'Tstep'),
    doubleSupport: numberIn(row, 'DS'),
    pelvisRise: numberIn(row, 'pelRange'),
    steps: ['1', '2'].map((step) => columns(curves.get(`${row.trial} ${step}`) ?? [])),
  }));
}
