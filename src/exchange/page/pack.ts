import type { Curve, Key, SegmentKind } from '../../curves/curve.js';
import type { MotionDocument } from '../document.js';

/** Digits that count in what a page shows: of a path of ten metres, a thousandth of a millimetre. */
const DIGITS = 7;

/** Decimals of a force in BW: a tenth of what a pixel shows. */
const FORCE_DECIMALS = 4;

/** Numbers a key takes: time, value, span and slope on both sides. */
const PER_KEY = 6;

/** A curve with its keys in one list, and apart from it what few keys have. */
interface PackedCurve extends Omit<Curve, 'keys' | 'meta'> {
  /** Six numbers a key. */
  readonly packed: readonly number[];
  /** How the curve goes on behind each key, by first letters; left out where all are curves. */
  readonly next?: string;
  /** Pairs of a key's place and the value that it arrives with. */
  readonly arrives?: readonly number[];
}

const KINDS: Readonly<Record<string, SegmentKind>> = { c: 'curve', l: 'line', h: 'hold' };

const short = (x: number): number => Number(x.toPrecision(DIGITS)) + 0;

/**
 * A document as small plain data for a page: curves with their keys in lists of short numbers, forces to a
 * few decimals without their even times. `unpackDocument` makes a document of it again, one that looks the
 * same.
 */
export function packDocument(document: MotionDocument): unknown {
  const { forces, ...rest } = document;
  const { time, left, right, total, ...counts } = forces;
  const part = (columns: typeof left) => packForces(columns);
  const every = time.length > 1 ? (time[time.length - 1] - time[0]) / (time.length - 1) : 1;
  return {
    ...(packValue(rest) as object),
    forces: {
      ...counts,
      even: [time[0], every, time.length],
      left: part(left),
      right: part(right),
      total: part(total),
    },
  };
}

function packForces(columns: MotionDocument['forces']['left']) {
  const cut = (values: readonly number[]): number[] =>
    values.map((x) => Number(x.toFixed(FORCE_DECIMALS)) + 0);
  return { vertical: cut(columns.vertical), forward: cut(columns.forward), side: cut(columns.side) };
}

function packValue(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(packValue);
  if (typeof value !== 'object' || value === null) return value;
  if (isCurve(value)) return packCurve(value);
  return Object.fromEntries(Object.entries(value).map(([name, inner]) => [name, packValue(inner)]));
}

function isCurve(value: object): value is Curve {
  return 'keys' in value && Array.isArray(value.keys) && 'before' in value;
}

function packCurve({ keys, meta: _, ...rest }: Curve): PackedCurve {
  const kinds = keys.map(({ next = 'curve' }) => next[0]).join('');
  const jumps = keys.flatMap(({ arrives }, i) => (arrives === undefined ? [] : [i, short(arrives)]));
  return {
    ...rest,
    packed: keys.flatMap(({ time, value, in: before, out }) =>
      [time, value, before.span, before.slope, out.span, out.slope].map(short),
    ),
    ...(/[^c]/.test(kinds) ? { next: kinds } : {}),
    ...(jumps.length > 0 ? { arrives: jumps } : {}),
  };
}

/** The document that a packed one stands for, but for what was left off its numbers. */
export function unpackDocument(packed: unknown): MotionDocument {
  const { forces, ...rest } = packed as { forces: { even: readonly [number, number, number] } };
  const { even, ...columns } = forces;
  const [start, every, count] = even;
  const time = Array.from({ length: count }, (_, i) => start + i * every);
  return { ...(unpackValue(rest) as object), forces: { ...columns, time } } as unknown as MotionDocument;
}

function unpackValue(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(unpackValue);
  if (typeof value !== 'object' || value === null) return value;
  if ('packed' in value) return unpackCurve(value as PackedCurve);
  return Object.fromEntries(Object.entries(value).map(([name, inner]) => [name, unpackValue(inner)]));
}

function unpackCurve({ packed, next = '', arrives = [], ...rest }: PackedCurve): Curve {
  const keys: Key[] = [];
  for (let i = 0; i < packed.length; i += PER_KEY) {
    const [time, value, inSpan, inSlope, outSpan, outSlope] = packed.slice(i, i + PER_KEY);
    const kind = KINDS[next[i / PER_KEY] ?? 'c'];
    keys.push({
      time,
      value,
      in: { span: inSpan, slope: inSlope },
      out: { span: outSpan, slope: outSlope },
      ...(kind === 'curve' ? {} : { next: kind }),
    });
  }
  for (let i = 0; i < arrives.length; i += 2) {
    keys[arrives[i]] = { ...keys[arrives[i]], arrives: arrives[i + 1] };
  }
  return { ...rest, keys };
}
