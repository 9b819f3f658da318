import { readFile } from 'node:fs/promises';
import type { MotionDocument } from '../document.js';
import { type ReadDocumentOptions, readDocument } from '../read-document.js';

/**
 * The motion document in a JSON file, checked in full.
 *
 * @param path - where it is
 * @param options - the longest text to read
 * @throws as `readDocument` does, and as the file system does
 */
export async function loadDocument(path: string, options: ReadDocumentOptions = {}): Promise<MotionDocument> {
  return readDocument(await readFile(path, 'utf8'), options);
}
