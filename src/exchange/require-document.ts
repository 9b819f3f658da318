import { errorOf, isRecord, requireArray, requireRecord, show } from '../internal/check.js';
import { DOCUMENT_FORMAT, type MotionDocument } from './document.js';

/**
 * The door for whatever takes a document that was made or read by this library: throws where it is something
 * else, above all the motion that it was to be made of. What is inside is `checkDocument`'s to check.
 *
 * @throws TypeError naming the field that is none
 */
export function requireDocument(where: string, document: unknown, field = 'document'): MotionDocument {
  if (!isRecord(document) || document.format !== DOCUMENT_FORMAT) {
    const rule = 'must be a motion document, as toDocument or readDocument returns it';
    throw errorOf(where, { field, rule, got: tell(document), kind: 'type' });
  }
  for (const part of ['scene', 'span', 'root', 'feet', 'forces'])
    requireRecord(where, `${field}.${part}`, document[part]);
  for (const part of ['chart', 'followers', 'notes']) requireArray(where, `${field}.${part}`, document[part]);
  return document as unknown as MotionDocument;
}

function tell(given: unknown): string {
  const kind = isRecord(given) ? given.kind : undefined;
  return kind === 'walk' || kind === 'shot' || kind === 'run' ? `a ${kind}` : show(given);
}
