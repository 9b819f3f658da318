import { type Heading, readHeading } from './heading.js';
import type { ColumnRef, PlateColumns, PlateOptions, TableColumns } from './plate-options.js';
import { LARGEST_READING, type PlateNote, type RawPlate, type RawRecord, type Triple } from './raw-plate.js';
import { readTable, type Table } from './read-table.js';
import { refuse } from './refuse.js';

/** Multiples of SI units, by their names in lower case. */
const FORCE_UNITS: Readonly<Record<string, number>> = { n: 1, newton: 1, newtons: 1, kn: 1000 };
const LENGTH_UNITS: Readonly<Record<string, number>> = { m: 1, cm: 0.01, mm: 0.001 };
const TIME_UNITS: Readonly<Record<string, number>> = { s: 1, sec: 1, seconds: 1, ms: 0.001 };

/** How far a time step may differ from the mean one, as a fraction: rounded stamps, not lost samples. */
const UNEVEN = 0.55;

/** The plates of a table of numbers with headings. */
export function readTableRecord(where: string, text: string, options: PlateOptions): RawRecord {
  const declared = options.columns;
  const table = readTable(where, text, (cells) =>
    declared ? holdsDeclared(cells, declared) : cells.filter((cell) => readHeading(cell)).length >= 2,
  );
  const headings = table.headings.map(readHeading);
  const columns = declared ?? detectColumns(where, headings);
  const notes: PlateNote[] = [];
  const find = (field: string, ref: ColumnRef): number => findColumn(where, field, table, ref);
  const rate = rateOf(where, table, headings, options, declared);
  const scale = lengthScale(columns, table, headings, options, find, notes);
  const plates = columns.plates.map((plate, i) => {
    const at = `columns.plates[${i}]`;
    return readPlate(where, at, i, plate, { table, headings, options, find, scale });
  });
  return { rate, count: table.count, plates, notes };
}

interface Context {
  readonly table: Table;
  readonly headings: readonly (Heading | undefined)[];
  readonly options: PlateOptions;
  readonly find: (field: string, ref: ColumnRef) => number;
  /** Metres in one unit of the columns of pressure. */
  readonly scale: (column: number) => number;
}

function holdsDeclared(cells: readonly string[], columns: TableColumns): boolean {
  const refs = columns.plates.flatMap(({ force, pressure = [] }) => [...force, ...pressure]);
  const names = [columns.time, ...refs].filter((ref) => typeof ref === 'string');
  if (names.length > 0) return names.every((name) => cells.includes(name));
  return cells.length > 1 && cells.every((cell) => Number.isNaN(Number(cell.replace(',', '.'))));
}

function findColumn(where: string, field: string, table: Table, ref: ColumnRef): number {
  const at =
    typeof ref === 'number'
      ? ref
      : table.headings.findIndex((heading) => heading === ref || heading.startsWith(`${ref} (`));
  if (at < 0 || at >= table.headings.length) {
    refuse(where, field, `must be one of the table's ${table.headings.length} columns`, JSON.stringify(ref));
  }
  return at;
}

function detectColumns(where: string, headings: readonly (Heading | undefined)[]): TableColumns {
  const plates = new Map<
    string,
    { force: (number | null)[]; pressure: (number | null)[]; foot?: Heading['foot'] }
  >();
  headings.forEach((heading, i) => {
    if (!heading || (heading.quantity !== 'force' && heading.quantity !== 'pressure')) return;
    let plate = plates.get(heading.plate);
    if (!plate) {
      plate = { force: [null, null, null], pressure: [null, null, null], foot: heading.foot };
      plates.set(heading.plate, plate);
    }
    const columns = plate[heading.quantity];
    if (columns[heading.axis] !== null) {
      refuse(
        where,
        'columns',
        'must be declared where two headings mean the same',
        `columns ${columns[heading.axis]} and ${i}`,
      );
    }
    columns[heading.axis] = i;
  });
  const found = [...plates.values()].filter(({ force }) => force.some((column) => column !== null));
  if (found.length === 0)
    refuse(where, 'columns', 'must be declared where no heading is a force', 'none found');
  return {
    plates: found.map(({ force, pressure, foot }) => ({
      force: force as unknown as PlateColumns['force'],
      pressure: pressure.some((column) => column !== null)
        ? (pressure as unknown as PlateColumns['force'])
        : undefined,
      foot,
    })),
  };
}

function rateOf(
  where: string,
  table: Table,
  headings: readonly (Heading | undefined)[],
  options: PlateOptions,
  declared: TableColumns | undefined,
): number {
  if (options.rate !== undefined) return options.rate;
  const at =
    declared?.time !== undefined
      ? findColumn(where, 'columns.time', table, declared.time)
      : headings.findIndex((heading) => heading?.quantity === 'time');
  const needs = 'must be given in Hz where no column holds times in seconds';
  if (at < 0) refuse(where, 'rate', needs, 'undefined');
  const unit = options.units?.time ?? headings[at]?.unit ?? '';
  const times = table.columns[at];
  const last = table.count - 1;
  const mean = (times[last] - times[0]) / last;
  if (unit === '' && mean === 1) refuse(where, 'rate', needs, 'a time column that counts samples');
  const scale = unit === '' ? 1 : TIME_UNITS[unit];
  if (scale === undefined) refuse(where, 'units.time', 'must be "s" or "ms"', JSON.stringify(unit));
  const usual = times
    .slice(1)
    .map((time, i) => time - times[i])
    .sort()[Math.floor((last - 1) / 2)];
  for (let i = 0; i < last; i++) {
    const step = times[i + 1] - times[i];
    if (!(Math.abs(step - usual) <= UNEVEN * usual)) {
      refuse(where, `line ${table.firstLine + i + 1}`, `must come ${usual} after the line before`, `${step}`);
    }
  }
  const rate = 1 / (mean * scale);
  if (!(rate >= 1 && rate <= 1e6)) refuse(where, 'rate', 'must be in [1, 1000000] Hz', `${rate}`);
  return rate;
}

function lengthScale(
  columns: TableColumns,
  table: Table,
  headings: readonly (Heading | undefined)[],
  options: PlateOptions,
  find: Context['find'],
  notes: PlateNote[],
): Context['scale'] {
  const stated = options.units?.length;
  if (stated) return () => LENGTH_UNITS[stated];
  const used = columns.plates
    .flatMap(({ pressure }) => pressure ?? [])
    .filter((ref) => ref !== null)
    .map((ref) => find('columns', ref));
  const guess = guessLengthUnit(used.map((c) => table.columns[c]));
  if (used.some((c) => LENGTH_UNITS[headings[c]?.unit ?? ''] === undefined)) {
    notes.push({
      code: 'units-assumed',
      text: `No unit of length is stated; the centres of pressure are taken for ${guess}, by their size.`,
      values: { metres: LENGTH_UNITS[guess] },
    });
  }
  return (c) => LENGTH_UNITS[headings[c]?.unit ?? ''] ?? LENGTH_UNITS[guess];
}

/** A centre of pressure wanders 0.1 to 2 m; how far its middle four fifths do in numbers tells the unit. */
function guessLengthUnit(columns: readonly Float64Array[]): 'm' | 'cm' | 'mm' {
  let widest = 0;
  for (const column of columns) {
    const sorted = column.filter(Number.isFinite).sort();
    if (sorted.length === 0) continue;
    const reach =
      sorted[Math.floor(0.9 * (sorted.length - 1))] - sorted[Math.floor(0.1 * (sorted.length - 1))];
    widest = Math.max(widest, reach);
  }
  if (widest > 100) return 'mm';
  return widest > 3 ? 'cm' : 'm';
}

function readPlate(where: string, at: string, i: number, columns: PlateColumns, context: Context): RawPlate {
  const { table, headings, options, find, scale } = context;
  const { firstLine, count } = table;
  const force = columns.force.map((ref, axis) => {
    const out = new Float64Array(count);
    if (ref === null) return out;
    const c = find(`${at}.force[${axis}]`, ref);
    const unit = headings[c]?.unit ?? '';
    const by = options.units?.force
      ? FORCE_UNITS[options.units.force.toLowerCase()]
      : (FORCE_UNITS[unit || 'n'] ?? Number.NaN);
    if (Number.isNaN(by)) refuse(where, 'units.force', 'must be "N" or "kN"', JSON.stringify(unit));
    for (let row = 0; row < count; row++) {
      out[row] = table.columns[c][row] * by;
      if (!(Math.abs(out[row]) <= LARGEST_READING)) {
        const rule = `must hold a force within ±${LARGEST_READING} N in column ${c}`;
        refuse(where, `line ${firstLine + row}`, rule, `${table.columns[c][row]}`);
      }
    }
    return out;
  }) as unknown as Triple<Float64Array>;
  const pressure = columns.pressure?.map((ref, axis) => {
    const out = new Float64Array(count);
    if (ref === null) return out;
    const c = find(`${at}.pressure[${axis}]`, ref);
    const by = scale(c);
    for (let row = 0; row < count; row++) {
      const value = table.columns[c][row] * by;
      // Nobody stands where there is no centre of pressure; a reading out of all bounds is none.
      out[row] = Math.abs(value) <= LARGEST_READING ? value : 0;
    }
    return out;
  }) as Triple<Float64Array> | undefined;
  return {
    name: headings[find(at, columns.force.find((ref) => ref !== null)!)]?.plate || `${i + 1}`,
    force,
    pressure,
    foot: columns.foot,
  };
}
