import { type C3dFile, openC3d, requireNumbers, wholeNumber } from './c3d-file.js';
import type { Parameters } from './c3d-parameters.js';
import { plateForces } from './c3d-plate.js';
import {
  LARGEST_READING,
  MOST_NUMBERS,
  type PlateNote,
  type RawPlate,
  type RawRecord,
  type Triple,
} from './raw-plate.js';
import { refuse } from './refuse.js';

/** Analog channels that a plate of each type uses. */
const CHANNELS: Readonly<Record<number, number>> = { 1: 6, 2: 6, 3: 8, 4: 6 };

/** The force plates of a C3D file, in the axes of the room. */
export function readC3dRecord(where: string, bytes: Uint8Array): RawRecord {
  const file = openC3d(where, bytes);
  const count = file.frames * file.ratio;
  const used = wholeNumber(where, file.parameters, 'FORCE_PLATFORM:USED', 1, 64);
  if (count * used * 14 > MOST_NUMBERS) {
    refuse(where, 'source', `must hold at most ${MOST_NUMBERS} numbers of plates`, `${count * used * 14}`);
  }
  const notes: PlateNote[] = [];
  const plates = Array.from({ length: used }, (_, i) => readPlate(where, file, i, notes));
  return { rate: file.rate, count, plates, notes };
}

function readPlate(where: string, file: C3dFile, i: number, notes: PlateNote[]): RawPlate {
  const { parameters } = file;
  const type = requireNumbers(where, parameters, 'FORCE_PLATFORM:TYPE', i + 1).numbers[i];
  const width = CHANNELS[type];
  if (width === undefined) refuse(where, `FORCE_PLATFORM:TYPE[${i}]`, 'must be 1, 2, 3 or 4', `${type}`);
  const table = requireNumbers(where, parameters, 'FORCE_PLATFORM:CHANNEL', width);
  const stride = table.dimensions[0] ?? 0;
  const channels = Array.from({ length: width }, (_, j) => table.numbers[i * stride + j]);
  for (const channel of channels) {
    if (!(stride >= width && channel >= 1 && channel <= file.channels)) {
      const field = `FORCE_PLATFORM:CHANNEL of plate ${i + 1}`;
      refuse(where, field, `must be channels in [1, ${file.channels}]`, `${channel}`);
    }
  }
  const metres = lengthUnit(parameters);
  const { force, pressure } = plateForces(where, {
    name: `plate ${i + 1}`,
    type: type as 1 | 2 | 3 | 4,
    signals: channels.map((channel) => file.readChannel(channel - 1)),
    corners: slice(where, parameters, 'CORNERS', 12, i).map((x) => x * metres),
    origin: originOf(where, parameters, i, notes).map((x) => x * metres),
    calibration: type === 4 ? slice(where, parameters, 'CAL_MATRIX', 36, i) : undefined,
    newtons: unitOf(parameters, channels[type === 3 ? 4 : 2]).startsWith('kn') ? 1000 : 1,
    metres,
    momentMetres: momentUnit(unitOf(parameters, channels[3])) ?? metres,
  });
  for (const column of [...force, ...pressure]) {
    const bad = column.findIndex((x) => !(Math.abs(x) <= LARGEST_READING));
    if (bad >= 0) {
      refuse(
        where,
        `plate ${i + 1} sample ${bad}`,
        `must be within ±${LARGEST_READING} N or m`,
        `${column[bad]}`,
      );
    }
  }
  return { name: `${i + 1}`, force, pressure };
}

/** Entry `i` of a parameter with `size` numbers for each plate. */
function slice(where: string, parameters: Parameters, name: string, size: number, i: number): number[] {
  const field = `FORCE_PLATFORM:${name}`;
  return requireNumbers(where, parameters, field, size * (i + 1)).numbers.slice(size * i, size * (i + 1));
}

/**
 * The plate's origin: from the sensors to the middle of its surface, in its own axes, whose z points down;
 * so z is negative, and where it is not the whole vector was stored the other way round.
 */
function originOf(where: string, parameters: Parameters, i: number, notes: PlateNote[]): Triple<number> {
  const [x, y, z] = slice(where, parameters, 'ORIGIN', 3, i);
  if (z <= 0) return [x, y, z];
  notes.push({
    code: 'origin-turned-over',
    text: `Plate ${i + 1} stores its origin from the surface to the sensors; it is taken the other way round.`,
    values: { plate: i + 1 },
  });
  return [-x, -y, -z];
}

function unitOf(parameters: Parameters, channel: number): string {
  return (parameters.get('ANALOG:UNITS')?.texts[channel - 1] ?? '').toLowerCase().replace(/[^a-z]/g, '');
}

function lengthUnit(parameters: Parameters): number {
  const unit = (parameters.get('POINT:UNITS')?.texts[0] ?? '').toLowerCase();
  return unit === 'm' ? 1 : unit === 'cm' ? 0.01 : 0.001;
}

/** Metres in the length of a unit of moment, where it is one. */
function momentUnit(unit: string): number | undefined {
  if (/^k?n(mm|millimet)/.test(unit)) return 0.001;
  if (/^k?ncm/.test(unit)) return 0.01;
  return /^k?n(m|met)/.test(unit) ? 1 : undefined;
}
