import type { ByteReader } from './byte-reader.js';

/** One parameter of a C3D file: numbers or texts, with the dimensions of their array, fastest first. */
export interface Parameter {
  readonly dimensions: readonly number[];
  readonly numbers: readonly number[];
  readonly texts: readonly string[];
  /** Whether it was stored as 16-bit integers. */
  readonly words: boolean;
}

/** Parameters by `GROUP:NAME` in upper case. */
export type Parameters = ReadonlyMap<string, Parameter>;

/** Bytes of one element by the type code of a parameter: characters, bytes, words, floats. */
const SIZES: Readonly<Record<number, number>> = { [-1]: 1, 1: 1, 2: 2, 4: 4 };

/** Most entries of a parameter section; it has at most 255 blocks of 512 bytes. */
const MOST_ENTRIES = 20_000;

/**
 * The parameters between two offsets. An entry that does not fit in the section ends the reading of it;
 * what the plates need and is missing is refused by name later.
 */
export function readParameters(reader: ByteReader, start: number, end: number): Parameters {
  const groups = new Map<number, string>();
  const found: { group: number; name: string; parameter: Parameter }[] = [];
  let at = start;
  // Entries that overlap could make a small section hold any amount; honest ones cannot pass its size.
  let budget = end - start;
  for (let i = 0; i < MOST_ENTRIES && at + 4 <= end; i++) {
    const nameLength = Math.abs(reader.int8(at));
    const group = reader.int8(at + 1);
    if (nameLength === 0 || group === 0 || at + 4 + nameLength > end) break;
    const name = reader
      .text(at + 2, nameLength)
      .trim()
      .toUpperCase();
    const after = at + 2 + nameLength;
    const step = reader.uint16(after);
    if (group < 0) groups.set(-group, name);
    else {
      const parameter = readParameter(reader, after + 2, Math.min(end, after + 2 + budget));
      budget -= step;
      if (budget < 0) break;
      if (parameter) found.push({ group, name, parameter });
    }
    if (step === 0) break;
    at = after + step;
  }
  return new Map(
    found.map(({ group, name, parameter }) => [`${groups.get(group) ?? group}:${name}`, parameter]),
  );
}

function readParameter(reader: ByteReader, at: number, end: number): Parameter | undefined {
  if (at + 2 > end) return undefined;
  const type = reader.int8(at);
  const rank = reader.uint8(at + 1);
  const size = SIZES[type];
  const data = at + 2 + rank;
  if (size === undefined || rank > 7 || data > end) return undefined;
  const dimensions = Array.from({ length: rank }, (_, i) => reader.uint8(at + 2 + i));
  const count = dimensions.reduce((product, n) => product * n, 1);
  if (data + count * size > end) return undefined;
  if (type === -1) {
    const width = dimensions[0] ?? 1;
    const rows = width === 0 ? 0 : count / width;
    const texts = Array.from({ length: rows }, (_, i) => reader.text(data + i * width, width).trim());
    return { dimensions, numbers: [], texts, words: false };
  }
  const read = (i: number): number => {
    if (type === 1) return reader.int8(data + i);
    return type === 2 ? reader.int16(data + 2 * i) : reader.float(data + 4 * i);
  };
  return {
    dimensions,
    numbers: Array.from({ length: count }, (_, i) => read(i)),
    texts: [],
    words: type === 2,
  };
}
