import { refuseAny, show } from '../internal/check.js';
import { C3D_MARK } from './c3d-file.js';
import { readC3dRecord } from './c3d-record.js';
import { interpretRecord } from './interpret-record.js';
import { type PlateOptions, plateOptionProblems } from './plate-options.js';
import type { RawRecord } from './raw-plate.js';
import type { PlateRecording } from './recording.js';
import { refuse } from './refuse.js';
import { readTableRecord } from './table-record.js';

const WHERE = 'readPlates';

/** Largest source in characters or bytes. */
const LARGEST_SOURCE = 256 * 2 ** 20;

/**
 * A force-plate recording as both feet's forces in BW, with its contacts and body weight.
 *
 * Columns, units, axes, signs and feet are detected from headings and from how people walk, and noted;
 * each can be stated instead. Baselines are taken off, the forces low-passed without delay.
 *
 * @param source - text of a CSV or TSV table, or the bytes of such a table (ASCII) or of a C3D file with
 *   force platforms of type 1–4, integer or float, little- or big-endian or DEC; at most 256 MB
 * @param options - what is stated rather than detected
 * @returns the recording, plain read-only data
 * @throws RangeError or TypeError naming field, rule and value, where the source is empty, cut short, not
 *   what it says, or holds no walk. Takes one pass over the source and a fixed number over its samples.
 *
 * @example
 * ```ts
 * import { planWalk, readPlates, writePlates } from 'underfoot';
 *
 * const text = writePlates(planWalk({ pace: 'ordinary', body: { mass: 70 } }), { strides: 4 });
 * const recording = readPlates(text);
 * console.log(recording.newtonsPerBodyWeight.toFixed(0), recording.contacts[1].foot); // → 686 right
 * ```
 */
export function readPlates(source: string | Uint8Array, options: PlateOptions = {}): PlateRecording {
  refuseAny(WHERE, plateOptionProblems(options));
  return interpretRecord(WHERE, readSource(source, options), options);
}

function readSource(source: unknown, options: PlateOptions): RawRecord {
  const isBytes = source instanceof Uint8Array;
  if (!isBytes && typeof source !== 'string') {
    const rule = 'must be a string or a Uint8Array';
    refuseAny(WHERE, [{ field: 'source', rule, got: show(source), kind: 'type' }]);
  }
  const given = source as string | Uint8Array;
  if (given.length === 0) refuse(WHERE, 'source', 'must not be empty', `${given.length} characters`);
  if (given.length > LARGEST_SOURCE) {
    refuse(WHERE, 'source', `must be at most ${LARGEST_SOURCE} long`, `${given.length}`);
  }
  if (typeof given === 'string') {
    if (options.format === 'c3d')
      refuse(WHERE, 'source', 'must be a Uint8Array where format is "c3d"', 'a string');
    return readTableRecord(WHERE, given, options);
  }
  const isC3d =
    options.format === undefined ? given[1] === C3D_MARK && given[0] < 32 : options.format === 'c3d';
  return isC3d ? readC3dRecord(WHERE, given) : readTableRecord(WHERE, asciiText(given), options);
}

/** Bytes as characters, in pieces that a call can take. */
function asciiText(bytes: Uint8Array): string {
  const PIECE = 8192;
  const pieces: string[] = [];
  // A UTF-8 mark at the beginning is no part of the first heading.
  const from = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0;
  for (let at = from; at < bytes.length; at += PIECE) {
    pieces.push(String.fromCharCode(...bytes.subarray(at, at + PIECE)));
  }
  return pieces.join('');
}
