/** One member of the cast, as its row says. */
export interface CastRow {
  /** Line of the file, counted from 1 as editors do. */
  readonly line: number;
  readonly fields: Readonly<Record<string, string>>;
}

/** The rows of a table of comma-separated values with a header (RFC 4180: quotes, and quotes doubled inside). */
export function readCast(text: string): CastRow[] {
  const rows = splitRows(text);
  const [header, ...members] = rows;
  if (!header) return [];
  return members
    .filter(({ cells }) => cells.some((cell) => cell.trim() !== ''))
    .map(({ line, cells }) => ({
      line,
      fields: Object.fromEntries(header.cells.map((name, i) => [name.trim(), (cells[i] ?? '').trim()])),
    }));
}

function splitRows(text: string): { line: number; cells: string[] }[] {
  const rows: { line: number; cells: string[] }[] = [];
  const cell = /("(?:[^"]|"")*"|[^",\r\n]*)(,|\r?\n|$)/gy;
  let cells: string[] = [];
  let line = 1;
  let begun = 1;
  const source = text.replace(/^\ufeff/, '');
  while (cell.lastIndex < source.length) {
    const match = cell.exec(source);
    if (!match) throw new SyntaxError(`line ${line}: a quote stands where none may`);
    const [whole, value, end] = match;
    cells.push(value.startsWith('"') ? value.slice(1, -1).replaceAll('""', '"') : value);
    line += whole.split('\n').length - 1;
    if (end === ',') continue;
    rows.push({ line: begun, cells });
    cells = [];
    begun = line;
  }
  if (cells.length > 0) rows.push({ line: begun, cells: [...cells, ''] });
  return rows;
}
