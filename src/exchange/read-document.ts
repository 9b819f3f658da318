import { checkCurve } from '../curves/check-curve.js';
import { errorOf, type Problem, show } from '../internal/check.js';
import { schemaProblems } from './check-schema.js';
import { DOCUMENT_VERSION, type MotionDocument } from './document.js';
import { documentCurves } from './document-curves.js';
import { MOTION_DOCUMENT_SCHEMA } from './document-schema.js';

/** How to read. */
export interface ReadDocumentOptions {
  /** Longest JSON text that is read, in UTF-16 units. Default 64 million. */
  readonly maxLength?: number;
}

/**
 * Everything that is wrong with a motion document, at most about 20 problems; empty where it is one.
 *
 * Shape and limits by the schema, then each curve by the rules of curves, then what has to agree: lengths
 * of the force columns, axes at right angles, finite spans.
 *
 * @param document - anything; plain data as `JSON.parse` gives it
 * @returns field, rule and value of each problem
 *
 * @example
 * ```ts
 * import { checkDocument } from 'underfoot/exchange';
 *
 * console.log(checkDocument({ format: 'postcard' })[0].field); // → version
 * ```
 */
export function checkDocument(document: unknown): readonly Problem[] {
  const problems = schemaProblems(document, MOTION_DOCUMENT_SCHEMA);
  return problems.length > 0 ? problems : agreementProblems(document as MotionDocument);
}

/**
 * A motion document from its JSON text or from parsed data, checked in full; data is returned as it is.
 *
 * Versions of this format with the same first number and up to the library's own are read.
 *
 * @param source - JSON text, or plain data
 * @param options - the longest text to read
 * @returns the document
 * @throws SyntaxError where the text is not JSON, RangeError or TypeError naming field, rule and value
 * where it is not a document
 *
 * @example
 * ```ts
 * import { readDocument } from 'underfoot/exchange';
 *
 * try {
 *   readDocument('{"format":"underfoot-motion","version":"2.0"}');
 * } catch (error) {
 *   console.log(String(error)); // → RangeError: readDocument: version must match ^1\.(0|[1-9][0-9]{0,3})$, got "2.0"
 * }
 * ```
 */
export function readDocument(source: unknown, options: ReadDocumentOptions = {}): MotionDocument {
  const where = 'readDocument';
  const { maxLength = 64_000_000 } = options;
  let data = source;
  if (typeof source === 'string') {
    if (source.length > maxLength) {
      const rule = `must have at most ${maxLength} signs`;
      throw errorOf(where, { field: 'source', rule, got: String(source.length), kind: 'range' });
    }
    try {
      data = JSON.parse(source);
    } catch {
      throw new SyntaxError(`${where}: source must be JSON, got ${show(source)}`);
    }
  }
  const problems = checkDocument(data);
  // A wrong version explains everything else that is wrong, so it comes first.
  const first = problems.find(({ field }) => field === 'format' || field === 'version') ?? problems[0];
  if (first) throw errorOf(where, first);
  return data as MotionDocument;
}

function agreementProblems(document: MotionDocument): Problem[] {
  const problems: Problem[] = [];
  const refuse = (field: string, rule: string, got: string): void => {
    problems.push({ field, rule, got, kind: 'range' });
  };
  const minor = (version: string): number => Number(version.split('.')[1]);
  if (minor(document.version) > minor(DOCUMENT_VERSION)) {
    refuse(
      'version',
      `must be at most ${DOCUMENT_VERSION}, the newest this library reads`,
      show(document.version),
    );
  }
  const { scene, forces, feet } = document;
  if (scene.forward[1] === scene.up)
    refuse('scene.forward', 'must not run along scene.up', show(scene.forward));
  const count = forces.time.length;
  for (const part of ['left', 'right', 'total'] as const) {
    for (const component of ['vertical', 'forward', 'side'] as const) {
      const { length } = forces[part][component];
      if (length !== count) {
        refuse(
          `forces.${part}.${component}`,
          `must have ${count} entries, as forces.time has`,
          String(length),
        );
      }
    }
  }
  for (let i = 1; i < count; i++) {
    if (!(forces.time[i] > forces.time[i - 1])) {
      refuse(`forces.time[${i}]`, 'must be > the time before it', String(forces.time[i]));
      break;
    }
  }
  for (const side of ['left', 'right'] as const) {
    const { contacts, plants } = feet[side];
    if (contacts.length !== plants.length) {
      refuse(
        `feet.${side}.plants`,
        `must have ${contacts.length} entries, one for each contact`,
        String(plants.length),
      );
    }
    contacts.forEach(({ land, lift }, i) => {
      if (!(lift > land)) refuse(`feet.${side}.contacts[${i}].lift`, `must be > ${land} s`, String(lift));
    });
  }
  for (const [field, curve] of documentCurves(document)) {
    for (const problem of checkCurve(curve))
      problems.push({ ...problem, field: `${field}.${problem.field}` });
  }
  return problems;
}
