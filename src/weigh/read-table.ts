import { MOST_NUMBERS } from './raw-plate.js';
import { refuse } from './refuse.js';

/** A table of numbers with headings. */
export interface Table {
  readonly headings: readonly string[];
  /** One array per column; a cell that held no number is NaN. */
  readonly columns: readonly Float64Array[];
  readonly count: number;
  /** Line of the source that the first row of numbers is on, from 1. */
  readonly firstLine: number;
}

/** Most lines before the headings that are searched. */
const PREAMBLE = 200;

/** Most columns of a table. */
const MOST_COLUMNS = 1024;

/** Longest line in characters. */
const LONGEST_LINE = 100_000;

const DELIMITERS = ['\t', ';', ','] as const;

/** Cells that say that there is no reading. */
const EMPTY = /^(|-|nan|null|na|n\/a|none|inf|-inf|infinity|-infinity)$/i;

/**
 * The table that a text holds. The row of headings is the first one that `isHeading` accepts; between it
 * and the first row of numbers a row of units may stand, which is appended to the headings.
 * One pass over the text.
 */
export function readTable(
  where: string,
  text: string,
  isHeading: (cells: readonly string[]) => boolean,
): Table {
  if (text.trim() === '') refuse(where, 'source', 'must hold a table', 'an empty text');
  const zero = text.indexOf('\0');
  if (zero >= 0) refuse(where, 'source', 'must be text or C3D', `a zero byte at ${zero}`);
  const lines = new Lines(where, text.charCodeAt(0) === 0xfeff ? text.slice(1) : text);
  const { headings, delimiter } = findHeadings(where, lines, isHeading);
  const width = headings.length;
  if (width > MOST_COLUMNS) refuse(where, 'source', `must have at most ${MOST_COLUMNS} columns`, `${width}`);
  const most = Math.floor(MOST_NUMBERS / width);
  const columns: number[][] = headings.map(() => []);
  let count = 0;
  let named = headings;
  let firstLine = 0;
  for (let line = lines.next(); line !== undefined; line = lines.next()) {
    if (line.trim() === '') continue;
    const cells = splitLine(line, delimiter);
    const row = numbersOf(cells, delimiter);
    if (count === 0 && row.every(Number.isNaN)) {
      named = headings.map((heading, i) => (cells[i]?.trim() ? `${heading} (${bare(cells[i])})` : heading));
      continue;
    }
    if (row.length !== width) {
      refuse(where, `line ${lines.number}`, `must have ${width} cells like the headings`, `${row.length}`);
    }
    if (count === 0) firstLine = lines.number;
    if (count >= most) refuse(where, 'source', `must have at most ${most} rows`, 'more');
    for (let c = 0; c < width; c++) columns[c].push(row[c]);
    count++;
  }
  if (count === 0) refuse(where, 'source', 'must hold rows of numbers', 'none');
  return { headings: named, columns: columns.map((column) => Float64Array.from(column)), count, firstLine };
}

function bare(unit: string): string {
  return unit.trim().replace(/^[([]|[)\]]$/g, '');
}

/** The lines of a text, one at a time, each bounded in length. */
class Lines {
  number = 0;
  private at = 0;
  constructor(
    private readonly where: string,
    private readonly text: string,
  ) {}

  next(): string | undefined {
    if (this.at >= this.text.length) return undefined;
    let end = this.text.indexOf('\n', this.at);
    if (end < 0) end = this.text.length;
    this.number++;
    if (end - this.at > LONGEST_LINE) {
      refuse(
        this.where,
        `line ${this.number}`,
        `must be at most ${LONGEST_LINE} characters`,
        `${end - this.at}`,
      );
    }
    const line = this.text.slice(this.at, end);
    this.at = end + 1;
    return line.endsWith('\r') ? line.slice(0, -1) : line;
  }
}

function findHeadings(
  where: string,
  lines: Lines,
  isHeading: (cells: readonly string[]) => boolean,
): { headings: string[]; delimiter: string } {
  for (let line = lines.next(); line !== undefined && lines.number <= PREAMBLE; line = lines.next()) {
    const delimiter = DELIMITERS.find((mark) => line.includes(mark)) ?? ' ';
    const cells = splitLine(line, delimiter).map((cell) => cell.trim());
    if (isHeading(cells)) return { headings: cells, delimiter };
  }
  return refuse(where, 'source', `must have a row of known headings in its first ${PREAMBLE} lines`, 'none');
}

/** Cells of a line; double quotes hold a delimiter, doubled quotes a quote. */
function splitLine(line: string, delimiter: string): string[] {
  if (delimiter === ' ') return line.trim().split(/\s+/);
  if (!line.includes('"')) return line.split(delimiter);
  const cells: string[] = [];
  let cell = '';
  let quoted = false;
  for (let i = 0; i < line.length; i++) {
    const mark = line[i];
    if (mark === '"') {
      if (quoted && line[i + 1] === '"') {
        cell += '"';
        i++;
      } else quoted = !quoted;
    } else if (mark === delimiter && !quoted) {
      cells.push(cell);
      cell = '';
    } else cell += mark;
  }
  cells.push(cell);
  return cells;
}

/** The numbers of a row; a decimal comma is read where commas do not separate cells. */
function numbersOf(cells: readonly string[], delimiter: string): number[] {
  const row = new Array<number>(cells.length);
  for (let i = 0; i < cells.length; i++) {
    const cell = cells[i].trim();
    if (EMPTY.test(cell)) row[i] = Number.NaN;
    else {
      const text = delimiter !== ',' && cell.includes(',') ? cell.replace(',', '.') : cell;
      row[i] = /^[-+]?[0-9.]+(e[-+]?[0-9]+)?$/i.test(text) ? Number(text) : Number.NaN;
    }
  }
  return row;
}
