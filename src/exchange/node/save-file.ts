import { mkdir, rename, writeFile } from 'node:fs/promises';
import { dirname } from 'node:path';
import { refuseAny, show } from '../../internal/check.js';

/**
 * Writes a file, making its folder where there is none. It is written beside its place and moved there
 * when it is whole, so that a reader never sees half of it.
 *
 * @param path - where to
 * @param content - text, written as UTF-8, or bytes
 * @throws TypeError where one is something else, and as the file system does
 */
export async function saveFile(path: string, content: string | Uint8Array): Promise<void> {
  const where = 'saveFile';
  if (typeof path !== 'string')
    refuseAny(where, [{ field: 'path', rule: 'must be a string', got: show(path), kind: 'type' }]);
  if (typeof content !== 'string' && !(content instanceof Uint8Array)) {
    const rule = 'must be text or bytes; of what toGlb returns, its glb; of a document, its JSON text';
    refuseAny(where, [{ field: 'content', rule, got: show(content), kind: 'type' }]);
  }
  await mkdir(dirname(path), { recursive: true });
  const beside = `${path}.part`;
  await writeFile(beside, content);
  await rename(beside, path);
}
