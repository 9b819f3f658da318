import { readFile } from 'node:fs/promises';
import { refuseAny, show } from '../../internal/check.js';
import type { MotionDocument } from '../document.js';
import { type ReadDocumentOptions, readDocument } from '../read-document.js';

/**
 * The motion document in a JSON file, checked in full.
 *
 * @param path - where it is
 * @param options - the longest text to read
 * @throws as `readDocument` does, with the path at the end, and as the file system does
 */
export async function loadDocument(path: string, options: ReadDocumentOptions = {}): Promise<MotionDocument> {
  if (typeof path !== 'string') {
    refuseAny('loadDocument', [{ field: 'path', rule: 'must be a string', got: show(path), kind: 'type' }]);
  }
  const text = await readFile(path, 'utf8');
  try {
    return readDocument(text, options);
  } catch (error) {
    // The same error, of the same type, that also says which file it is about.
    if (error instanceof Error) error.message = `${error.message}, in ${path}`;
    throw error;
  }
}
