import type { Side } from '../gait/walk.js';
import {
  choiceProblem,
  isRecord,
  numberProblem,
  type Problem,
  recordProblem,
  show,
} from '../internal/check.js';

/** A column by its heading or by its place, counted from 0. */
export type ColumnRef = string | number;

/** Axis of the room, with the sign that points along what it stands for. */
export type SignedAxis = '+x' | '-x' | '+y' | '-y' | '+z' | '-z';

/** Which columns one plate's record is in, along x, y and z; `null` where an axis was not recorded. */
export interface PlateColumns {
  readonly force: readonly [ColumnRef | null, ColumnRef | null, ColumnRef | null];
  /** Centre of pressure. */
  readonly pressure?: readonly [ColumnRef | null, ColumnRef | null, ColumnRef | null];
  /** The foot that steps on this plate, where it is always the same. */
  readonly foot?: Side;
}

/** Where the numbers of a table are. */
export interface TableColumns {
  /** Time column; none where `rate` is given and no column is a time. */
  readonly time?: ColumnRef;
  readonly plates: readonly PlateColumns[];
}

/** How to read a recording. Everything is optional; what is left out is detected. */
export interface PlateOptions {
  /** What the source is. Default: C3D where the bytes begin so, else a table. */
  readonly format?: 'table' | 'c3d';
  /** Columns of a table. Default: by their headings (Fx1, COPy_left, "Plate 2 Fz (N)" …). */
  readonly columns?: TableColumns;
  /** Units of a table. Default: from brackets in the headings, else N and s, and lengths by their size. */
  readonly units?: {
    readonly force?: 'N' | 'kN';
    readonly length?: 'm' | 'cm' | 'mm';
    readonly time?: 's' | 'ms';
  };
  /** Samples per second, > 0; needed where a table has no column of times. */
  readonly rate?: number;
  /** Axes of the room that point up and along the walk. Default: from the forces themselves. */
  readonly axes?: { readonly up?: SignedAxis; readonly forward?: SignedAxis };
  /** Vertical force in N above which a foot has landed, > 0. Default 20. */
  readonly landAbove?: number;
  /** Vertical force in N below which a foot has lifted, in (0, landAbove]. Default 10. */
  readonly liftBelow?: number;
  /** Frequency in Hz that the low-pass halves the power of, below half the rate, or `false`. Default 20. */
  readonly lowPass?: number | false;
  /** Whether to take off what each plate reads while nobody stands on it. Default true. */
  readonly removeBaseline?: boolean;
  /** Body weight in N, > 0. Default: from the record. */
  readonly bodyWeight?: number;
  /** Gravity in m/s², > 0. Default 9.80665. */
  readonly gravity?: number;
}

const AXES: readonly SignedAxis[] = ['+x', '-x', '+y', '-y', '+z', '-z'];

const FIELDS = [
  'format',
  'columns',
  'units',
  'rate',
  'axes',
  'landAbove',
  'liftBelow',
  'lowPass',
  'removeBaseline',
  'bodyWeight',
  'gravity',
] as const;

/** All that is wrong with the options. */
export function plateOptionProblems(options: unknown): (Problem | undefined)[] {
  const shape = recordProblem('options', options, FIELDS);
  if (shape) return [shape];
  const given = options as PlateOptions;
  const { format, rate, landAbove = 20, liftBelow, lowPass, removeBaseline, bodyWeight, gravity } = given;
  return [
    format === undefined ? undefined : choiceProblem('format', format, ['table', 'c3d']),
    ...columnProblems(given.columns),
    ...recordOfChoices('units', given.units, {
      force: ['N', 'kN'],
      length: ['m', 'cm', 'mm'],
      time: ['s', 'ms'],
    }),
    ...recordOfChoices('axes', given.axes, { up: AXES, forward: AXES }),
    axesCross(given.axes),
    rate === undefined ? undefined : numberProblem('rate', rate, { min: 1, max: 1e6, unit: 'Hz' }),
    numberProblem('landAbove', landAbove, { above: 0, max: 1e6, unit: 'N' }),
    liftBelow === undefined
      ? undefined
      : numberProblem('liftBelow', liftBelow, { above: 0, max: landAbove, unit: 'N' }),
    lowPass === undefined || lowPass === false
      ? undefined
      : numberProblem('lowPass', lowPass, { above: 0, unit: 'Hz' }),
    removeBaseline === undefined || typeof removeBaseline === 'boolean'
      ? undefined
      : { field: 'removeBaseline', rule: 'must be true or false', got: show(removeBaseline), kind: 'type' },
    bodyWeight === undefined
      ? undefined
      : numberProblem('bodyWeight', bodyWeight, { above: 0, max: 1e7, unit: 'N' }),
    gravity === undefined ? undefined : numberProblem('gravity', gravity, { above: 0, unit: 'm/s²' }),
  ];
}

function recordOfChoices(
  field: string,
  value: unknown,
  choices: Readonly<Record<string, readonly string[]>>,
): (Problem | undefined)[] {
  if (value === undefined) return [];
  const shape = recordProblem(field, value, Object.keys(choices));
  if (shape) return [shape];
  const given = value as Record<string, unknown>;
  return Object.keys(choices)
    .filter((name) => given[name] !== undefined)
    .map((name) => choiceProblem(`${field}.${name}`, given[name], choices[name]));
}

function axesCross(axes: PlateOptions['axes']): Problem | undefined {
  if (!isRecord(axes) || axes.up === undefined || axes.forward === undefined) return undefined;
  if (String(axes.up)[1] !== String(axes.forward)[1]) return undefined;
  const rule = 'must be another axis than axes.up';
  return { field: 'axes.forward', rule, got: show(axes.forward), kind: 'range' };
}

function columnProblems(columns: unknown): (Problem | undefined)[] {
  if (columns === undefined) return [];
  const shape = recordProblem('columns', columns, ['time', 'plates']);
  if (shape) return [shape];
  const { time, plates } = columns as { time?: unknown; plates?: unknown };
  if (!Array.isArray(plates) || plates.length === 0 || plates.length > 64) {
    return [
      { field: 'columns.plates', rule: 'must be an array of 1 to 64', got: show(plates), kind: 'type' },
    ];
  }
  return [
    time === undefined ? undefined : refProblem('columns.time', time),
    ...plates.flatMap((plate, i) => {
      const at = `columns.plates[${i}]`;
      const wrong = recordProblem(at, plate, ['force', 'pressure', 'foot']);
      if (wrong) return [wrong];
      const { force, pressure, foot } = plate as Record<string, unknown>;
      return [
        ...tripleProblems(`${at}.force`, force),
        ...(pressure === undefined ? [] : tripleProblems(`${at}.pressure`, pressure)),
        foot === undefined ? undefined : choiceProblem(`${at}.foot`, foot, ['left', 'right']),
      ];
    }),
  ];
}

function tripleProblems(field: string, value: unknown): (Problem | undefined)[] {
  if (!Array.isArray(value) || value.length !== 3 || value.every((ref) => ref === null)) {
    const rule = 'must be three columns, for x, y and z, not all null';
    return [{ field, rule, got: show(value), kind: 'type' }];
  }
  return value.map((ref, i) => (ref === null ? undefined : refProblem(`${field}[${i}]`, ref)));
}

function refProblem(field: string, value: unknown): Problem | undefined {
  if (typeof value === 'string') return undefined;
  if (typeof value === 'number' && Number.isInteger(value) && value >= 0) return undefined;
  return { field, rule: 'must be a heading or a whole number >= 0', got: show(value), kind: 'type' };
}
