import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { planWalk } from '../../src/gait/index.js';
import {
  averageStride,
  measureSteps,
  type PlateRecording,
  readPlates,
  writePlates,
} from '../../src/weigh/index.js';

/** Mutated files; the full run of 100 000 is asked for by UNDERFOOT_FUZZ. */
const COUNT = Number(process.env.UNDERFOOT_FUZZ ?? 1200);

/** A small, seeded generator (mulberry32), so that a failure can be repeated. */
function generator(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const encode = (text: string): Uint8Array => new TextEncoder().encode(text);

/** A C3D fixture cut to its first frames, its counts of them made to agree. */
function shorten(name: string, keep: number): Uint8Array {
  const bytes = new Uint8Array(readFileSync(new URL(`../fixtures/${name}`, import.meta.url)));
  const text = Array.from(bytes.subarray(0, 8192), (byte) => String.fromCharCode(byte)).join('');
  const big = bytes[515] === 86;
  const put = (at: number, value: number): void => {
    bytes[at + (big ? 1 : 0)] = value & 0xff;
    bytes[at + (big ? 0 : 1)] = value >> 8;
  };
  put(text.indexOf('ACTUAL_END_FIELD') + 16 + 2 + 3, keep);
  put(8, keep);
  const read = (at: number): number =>
    big ? bytes[at] * 256 + bytes[at + 1] : bytes[at] + 256 * bytes[at + 1];
  const start = (read(16) - 1) * 512;
  return bytes.slice(0, start + Math.ceil(((bytes.length - start) * keep) / 500));
}

const walk = planWalk({ pace: 'ordinary' });
const seeds: readonly [string, Uint8Array, object][] = [
  ['csv', encode(writePlates(walk, { strides: 2, rate: 60 })), {}],
  ['tsv', encode(writePlates(walk, { strides: 2, rate: 60 }).replaceAll(',', '\t')), { lowPass: false }],
  ['type 1', shorten('treadmill-5s-type1-intel-integer.c3d', 60), { bodyWeight: 560 }],
  ['type 3', shorten('treadmill-5s-type3-mips-integer.c3d', 60), { bodyWeight: 560 }],
  ['type 4', shorten('treadmill-5s-type4-dec-float.c3d', 60), { bodyWeight: 560 }],
];

const PIECES = [
  'NaN',
  '1e308',
  '-1e308',
  '1e999',
  ',',
  '\n',
  '"',
  '-',
  '0',
  ';',
  '\t',
  '',
  ' ',
  'Infinity',
  '\0',
  '9'.repeat(400),
];

function mutate(bytes: Uint8Array, random: () => number, isText: boolean): Uint8Array {
  const copy = Array.from(bytes);
  const changes = 1 + Math.floor(random() * 6);
  for (let i = 0; i < changes; i++) {
    // Half of the changes go to the beginning, where headers are.
    const reach = random() < 0.5 ? Math.min(copy.length, 1600) : copy.length;
    const at = Math.floor(random() * reach);
    const kind = random();
    if (kind < 0.35) copy[at] = Math.floor(random() * 256);
    else if (kind < 0.5) copy[at] = [0, 1, 127, 128, 255][Math.floor(random() * 5)];
    else if (kind < 0.6) copy.length = at;
    else if (kind < 0.7) copy.splice(at, Math.floor(random() * 40));
    else if (kind < 0.8) copy.splice(at, 0, ...copy.slice(at, at + Math.floor(random() * 60)));
    else if (isText)
      copy.splice(at, Math.floor(random() * 4), ...encode(PIECES[Math.floor(random() * PIECES.length)]));
    else copy[at] ^= 1 << Math.floor(random() * 8);
  }
  return Uint8Array.from(copy);
}

function numbersAreFinite(value: unknown): boolean {
  if (typeof value === 'number') return Number.isFinite(value);
  if (Array.isArray(value)) return value.every(numbersAreFinite);
  if (typeof value === 'object' && value !== null) return Object.values(value).every(numbersAreFinite);
  return true;
}

describe('mutated plate files', () => {
  it('start from sound ones', () => {
    for (const [name, bytes, options] of seeds) {
      expect(readPlates(bytes, options).contacts.length, name).toBeGreaterThan(1);
    }
  });

  it(`are read or refused, never hang and never give NaN (${COUNT} files)`, {
    timeout: 60_000 + COUNT * 30,
  }, () => {
    const random = generator(20_180_417);
    let [read, refused] = [0, 0];
    for (let i = 0; i < COUNT; i++) {
      const [name, bytes, options] = seeds[i % seeds.length];
      const file = mutate(bytes, random, i % seeds.length < 2);
      let recording: PlateRecording | undefined;
      try {
        recording = readPlates(file, options);
      } catch (error) {
        refused++;
        if (
          !(error instanceof RangeError || error instanceof TypeError) ||
          !/^readPlates: /.test(error.message)
        ) {
          expect.fail(`file ${i} (${name}): ${error}`);
        }
      }
      if (recording) {
        read++;
        if (!numbersAreFinite(recording))
          expect.fail(`file ${i} (${name}) gives a number that is not finite`);
        try {
          if (!numbersAreFinite([measureSteps(recording), averageStride(recording)])) {
            expect.fail(`file ${i} (${name}) measures a number that is not finite`);
          }
        } catch (error) {
          if (!/^(measureSteps|averageStride): recording must/.test((error as Error).message)) throw error;
        }
      }
    }
    // Both ends are reached: most C3D bytes are samples, most breaks of a header are fatal.
    expect(read).toBeGreaterThan(COUNT / 20);
    expect(refused).toBeGreaterThan(COUNT / 20);
  });
});
