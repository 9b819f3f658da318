import { ByteReader, type NumberFormat } from './byte-reader.js';
import { type Parameter, type Parameters, readParameters } from './c3d-parameters.js';
import { refuse } from './refuse.js';

/** Bytes of one block of a C3D file. */
const BLOCK = 512;

/** Second byte of every C3D file. */
export const C3D_MARK = 0x50;

const FORMATS: Readonly<Record<number, NumberFormat>> = { 84: 'intel', 85: 'dec', 86: 'mips' };

/** What of a C3D file is needed to read its analog channels. */
export interface C3dFile {
  readonly parameters: Parameters;
  /** Video frames. */
  readonly frames: number;
  /** Analog samples per video frame. */
  readonly ratio: number;
  /** Analog samples per second. */
  readonly rate: number;
  /** Analog channels. */
  readonly channels: number;
  /** The samples of one channel (from 0), offset and scale applied. */
  readChannel(channel: number): Float64Array;
}

/** Opens a C3D file; the layout follows its published description (c3d.org, user guide). */
export function openC3d(where: string, bytes: Uint8Array): C3dFile {
  if (bytes.length < 2 * BLOCK)
    refuse(where, 'source', `must have at least ${2 * BLOCK} bytes`, `${bytes.length}`);
  const section = (bytes[0] - 1) * BLOCK;
  if (bytes[1] !== C3D_MARK || section < BLOCK || section + BLOCK > bytes.length) {
    refuse(where, 'source', 'must begin as a C3D file does', `bytes ${bytes[0]}, ${bytes[1]}`);
  }
  const format = FORMATS[bytes[section + 3]];
  if (!format) refuse(where, 'processor', 'must be 84, 85 or 86', `${bytes[section + 3]}`);
  const reader = new ByteReader(bytes, format);
  const end = Math.min(bytes.length, section + bytes[section + 2] * BLOCK);
  const parameters = readParameters(reader, section + 4, end);
  const layout = readLayout(where, reader, parameters);
  const { frames, ratio, rate, channels } = layout;
  const scales = channelScales(where, parameters, channels);
  return {
    parameters,
    frames,
    ratio,
    rate,
    channels,
    readChannel(channel) {
      const out = new Float64Array(frames * ratio);
      const { size, unsigned } = layout;
      let i = 0;
      for (let frame = 0; frame < frames; frame++) {
        let at = layout.data + frame * layout.frameBytes + layout.pointBytes + channel * size;
        for (let sub = 0; sub < ratio; sub++, at += channels * size) {
          const raw = size === 4 ? reader.float(at) : unsigned ? reader.uint16(at) : reader.int16(at);
          out[i++] = (raw - scales.offset[channel]) * scales.scale[channel];
        }
      }
      return out;
    },
  };
}

interface Layout {
  readonly frames: number;
  readonly ratio: number;
  readonly rate: number;
  readonly channels: number;
  /** Offset of the first frame. */
  readonly data: number;
  readonly frameBytes: number;
  /** Bytes of the markers at the beginning of each frame. */
  readonly pointBytes: number;
  /** Bytes of one number. */
  readonly size: 2 | 4;
  readonly unsigned: boolean;
}

function readLayout(where: string, reader: ByteReader, parameters: Parameters): Layout {
  const points = wholeNumber(where, parameters, 'POINT:USED', 0, 65535);
  const channels = wholeNumber(where, parameters, 'ANALOG:USED', 1, 4096);
  const frameRate = positive(where, parameters, 'POINT:RATE');
  const rate = positive(where, parameters, 'ANALOG:RATE');
  const ratio = Math.round(rate / frameRate);
  if (!(ratio >= 1 && ratio <= 10_000 && Math.abs(rate / frameRate - ratio) < 1e-3 * ratio)) {
    refuse(where, 'ANALOG:RATE', 'must be a whole multiple of POINT:RATE', `${rate} over ${frameRate}`);
  }
  const scale = parameters.get('POINT:SCALE')?.numbers[0] ?? reader.float(12);
  const size = scale < 0 ? 4 : 2;
  const start = parameters.get('POINT:DATA_START')?.numbers[0] ?? reader.uint16(16);
  const data = ((start & 0xffff) - 1) * BLOCK;
  const frames = countFrames(reader, parameters);
  const pointBytes = 4 * size * points;
  const frameBytes = pointBytes + size * channels * ratio;
  const held = Math.floor((reader.bytes.length - data) / frameBytes);
  if (data < BLOCK || frames < 1 || held < frames) {
    refuse(where, 'source', `must hold the ${frames} frames that it announces`, `${Math.max(0, held)}`);
  }
  const unsigned = parameters.get('ANALOG:FORMAT')?.texts[0]?.toUpperCase() === 'UNSIGNED';
  return { frames, ratio, rate, channels, data, frameBytes, pointBytes, size, unsigned };
}

/** Frames: 32-bit field numbers where they are stored, else the header's 16-bit ones. */
function countFrames(reader: ByteReader, parameters: Parameters): number {
  const long = (name: string): number | undefined => {
    const words = parameters.get(name)?.numbers;
    if (!words || words.length < 2) return undefined;
    return (words[0] & 0xffff) + 65536 * (words[1] & 0xffff);
  };
  const first = long('TRIAL:ACTUAL_START_FIELD');
  const last = long('TRIAL:ACTUAL_END_FIELD');
  if (first !== undefined && last !== undefined && last >= first && last > 0) return last - first + 1;
  return reader.uint16(8) - reader.uint16(6) + 1;
}

function channelScales(
  where: string,
  parameters: Parameters,
  channels: number,
): { scale: Float64Array; offset: Float64Array } {
  const general = parameters.get('ANALOG:GEN_SCALE')?.numbers[0] ?? 1;
  const unsigned = parameters.get('ANALOG:FORMAT')?.texts[0]?.toUpperCase() === 'UNSIGNED';
  const scales = parameters.get('ANALOG:SCALE')?.numbers ?? [];
  const offsets = parameters.get('ANALOG:OFFSET')?.numbers ?? [];
  const scale = Float64Array.from({ length: channels }, (_, i) => (scales[i] ?? 1) * general);
  const offset = Float64Array.from({ length: channels }, (_, i) =>
    unsigned ? (offsets[i] ?? 0) & 0xffff : (offsets[i] ?? 0),
  );
  const bad = scale.findIndex((x, i) => !Number.isFinite(x) || !Number.isFinite(offset[i]));
  if (bad >= 0)
    refuse(where, `ANALOG:SCALE[${bad}]`, 'must be a finite number', `${scale[bad]}, ${offset[bad]}`);
  return { scale, offset };
}

/** The numbers of a parameter, at least `least` of them, or the error that names it. */
export function requireNumbers(
  where: string,
  parameters: Parameters,
  name: string,
  least: number,
): Parameter {
  const parameter = parameters.get(name);
  const count = parameter?.numbers.length ?? 0;
  if (!parameter || count < least) refuse(where, name, `must have at least ${least} numbers`, `${count}`);
  const bad = parameter.numbers.findIndex((x) => !Number.isFinite(x));
  if (bad >= 0) refuse(where, `${name}[${bad}]`, 'must be a finite number', `${parameter.numbers[bad]}`);
  return parameter;
}

/** The first number of a parameter as a count; words are read without sign. */
export function wholeNumber(
  where: string,
  parameters: Parameters,
  name: string,
  min: number,
  max: number,
): number {
  const parameter = requireNumbers(where, parameters, name, 1);
  const value = parameter.words ? parameter.numbers[0] & 0xffff : parameter.numbers[0];
  if (!(Number.isInteger(value) && value >= min && value <= max)) {
    refuse(where, name, `must be a whole number in [${min}, ${max}]`, `${value}`);
  }
  return value;
}

function positive(where: string, parameters: Parameters, name: string): number {
  const value = requireNumbers(where, parameters, name, 1).numbers[0];
  if (!(value >= 1 && value <= 1e6)) refuse(where, name, 'must be in [1, 1000000] Hz', `${value}`);
  return value;
}
