import { mkdir, rename, writeFile } from 'node:fs/promises';
import { dirname } from 'node:path';

/**
 * Writes a file, making its folder where there is none. It is written beside its place and moved there
 * when it is whole, so that a reader never sees half of it.
 *
 * @param path - where to
 * @param content - text, written as UTF-8, or bytes
 */
export async function saveFile(path: string, content: string | Uint8Array): Promise<void> {
  await mkdir(dirname(path), { recursive: true });
  const beside = `${path}.part`;
  await writeFile(beside, content);
  await rename(beside, path);
}
