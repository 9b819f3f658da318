import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { PAGE_SCRIPT, PAGE_SCRIPT_HASH } from '../../../src/exchange/page/page-script.js';
import { toPage } from '../../../src/exchange/page/to-page.js';
import { readDocument } from '../../../src/exchange/read-document.js';
import { PAGE_SCRIPT_FILE, pageScriptSource } from '../../../tools/build-page.js';
import { exampleDocument } from '../example-document.js';

const HOSTILE = '</script><script>alert(1)</script><img src=x onerror=alert(2)>\u2028<!--';

describe("the page's program", () => {
  it('is what its sources make', async () => {
    const same = readFileSync(PAGE_SCRIPT_FILE, 'utf8') === (await pageScriptSource());
    expect(same, 'run `npx tsx tools/build-page.ts` and commit what it writes').toBe(true);
  });

  it('is named by its hash in the policy of the page', () => {
    expect(createHash('sha256').update(PAGE_SCRIPT).digest('base64')).toBe(PAGE_SCRIPT_HASH);
    expect(toPage(exampleDocument())).toContain(
      `default-src 'none'; style-src 'unsafe-inline'; script-src 'sha256-${PAGE_SCRIPT_HASH}'`,
    );
  });
});

describe('the page', () => {
  it('has two script elements, whatever the names are, and gives the documents back', () => {
    const document = exampleDocument({ name: HOSTILE });
    const hostile = {
      ...document,
      followers: document.followers.map((part) => ({ ...part, name: HOSTILE })),
    };
    const page = toPage([hostile, document], { title: HOSTILE });
    expect(page.match(/<script/g)).toHaveLength(2);
    expect(page).not.toContain('<img');
    const data = /<script type="application\/json" id="motions">(.*?)<\/script>/s.exec(page)?.[1] ?? '';
    const read = JSON.parse(data);
    expect(read[0].name).toBe(HOSTILE);
    expect(readDocument(read[0]).root).toEqual(document.root);
  });

  it('asks for nothing from outside', () => {
    const page = toPage(exampleDocument());
    expect(page).not.toMatch(/(src|href)=|@import|url\(|fetch\(|XMLHttpRequest|WebSocket/);
    // The name of the SVG namespace is an identifier, not an address that is opened.
    expect(page.replaceAll('http://www.w3.org/2000/svg', '')).not.toMatch(/https?:/);
  });

  it('stays under 400 kB with eight motions', () => {
    const documents = Array.from({ length: 8 }, () => exampleDocument({ spec: { pace: 'slow' } }));
    expect(Buffer.byteLength(toPage(documents))).toBeLessThan(400_000);
  });

  it('refuses what is no document, none and more than eight', () => {
    const document = exampleDocument();
    expect(() => toPage([])).toThrow('toPage: documents must have at least 1 entry, got 0');
    expect(() => toPage(new Array(9).fill(document))).toThrow(
      'toPage: documents must have at most 8 entries, got 9',
    );
    expect(() => toPage({ ...document, gravity: Number.NaN })).toThrow(
      'toPage: documents[0].gravity must be > 0, got NaN',
    );
    expect(() => toPage(document, { title: 1 as unknown as string })).toThrow(
      'toPage: title must be a string, got 1',
    );
  });
});
