import { readFileSync } from 'node:fs';

/** One row of a table, by the names in its first line. */
export type Row = Readonly<Record<string, string>>;

/** Rows of a comma-separated file with a heading; fields may be quoted, and hold no commas or quotes. */
export function readCsv(path: string): Row[] {
  const [heading, ...lines] = readFileSync(path, 'utf8').trim().split(/\r?\n/);
  const names = splitLine(heading);
  return lines.map((line) => {
    const fields = splitLine(line);
    if (fields.length !== names.length) throw new RangeError(`readCsv: ${path}: ${line}`);
    return Object.fromEntries(names.map((name, i) => [name, fields[i]]));
  });
}

function splitLine(line: string): string[] {
  return line.split(',').map((field) => field.replace(/^"(.*)"$/, '$1'));
}

/** The number in a field; refuses what is none, an empty field included. */
export function numberIn(row: Row, name: string): number {
  const text = row[name];
  const value = Number(text);
  if (text === undefined || text === '' || !Number.isFinite(value)) {
    throw new RangeError(`numberIn: ${name} must be a number, got ${text}`);
  }
  return value;
}
