import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { loadDocument, saveFile } from '../../../src/exchange/node/index.js';
import { exampleDocument } from '../example-document.js';

let folder = '';

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'underfoot-'));
});

afterAll(() => rm(folder, { recursive: true }));

describe('a file', () => {
  it('is written with its folder and read as it was', async () => {
    const path = join(folder, 'quay', 'walk.json');
    const document = exampleDocument();
    await saveFile(path, JSON.stringify(document));
    expect(await loadDocument(path)).toEqual(document);
    await saveFile(path, Uint8Array.of(1, 2));
    expect([...(await readFile(path))]).toEqual([1, 2]);
  });

  it('is of text or bytes, and nothing is written of anything else', async () => {
    const path = join(folder, 'walk.glb');
    await expect(saveFile(path, { glb: new Uint8Array(1) } as never)).rejects.toThrow(
      'saveFile: content must be text or bytes; of what toGlb returns, its glb; of a document, its JSON text, got an object',
    );
    await expect(saveFile(3 as never, '')).rejects.toThrow('saveFile: path must be a string, got 3');
    expect(await readdir(folder)).not.toContain('walk.glb.part');
  });

  it('is named where what is in it is no document', async () => {
    const path = join(folder, 'broken.json');
    await saveFile(path, '{"format":');
    await expect(loadDocument(path)).rejects.toThrow(SyntaxError);
    await expect(loadDocument(path)).rejects.toThrow(`, in ${path}`);
    await saveFile(path, '{"format":"underfoot-motion","version":"2.0"}');
    await expect(loadDocument(path)).rejects.toThrow(RangeError);
    await expect(loadDocument(path)).rejects.toThrow(`got "2.0", in ${path}`);
    await expect(loadDocument(3 as never)).rejects.toThrow('loadDocument: path must be a string, got 3');
  });
});
