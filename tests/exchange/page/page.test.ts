import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { evaluate } from '../../../src/curves/evaluate.js';
import { packDocument, unpackDocument } from '../../../src/exchange/page/pack.js';
import { PAGE_SCRIPT, PAGE_SCRIPT_HASH } from '../../../src/exchange/page/page-script.js';
import { toPage } from '../../../src/exchange/page/to-page.js';
import { readDocument } from '../../../src/exchange/read-document.js';
import { PAGE_SCRIPT_FILE, pageScriptSource } from '../../../tools/build-page.js';
import { assertClose } from '../../support/assert-close.js';
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
  it('has two script elements, whatever the names are, and holds the documents to what it can show', () => {
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
    const again = readDocument(unpackDocument(read[0]));
    for (const channel of ['height', 'forward', 'side'] as const) {
      for (let i = 0; i < 60; i++) {
        const time = (i * document.span.duration) / 60;
        const shown = evaluate(again.root[channel], time);
        // Seven digits that count, of a stride's length.
        assertClose(shown, evaluate(document.root[channel], time), { abs: 1e-6 }, channel);
      }
    }
    again.forces.total.vertical.forEach((load, i) => {
      const step = document.forces.perFrame / again.forces.perFrame;
      assertClose(load, document.forces.total.vertical[i * step], { abs: 6e-5 });
      assertClose(again.forces.time[i], document.forces.time[i * step], { abs: 1e-9 });
    });
  });

  it('holds jumps, lines and holds too', () => {
    const document = exampleDocument();
    const side = { span: 0.1, slope: 0.2 };
    const keys = [
      { time: 0, value: 0.1, in: side, out: side, next: 'hold' },
      { time: 0.4, value: 0.2, in: side, out: side, next: 'line', arrives: 0.15 },
      { time: 0.8, value: 0.3, in: side, out: side },
    ] as const;
    const curve = { keys, start: 0, before: 'holds', after: 'straight' } as const;
    const followers = [{ ...document.followers[0], curve }];
    const again = unpackDocument(JSON.parse(JSON.stringify(packDocument({ ...document, followers }))));
    expect(again.followers[0].curve).toEqual(curve);
    expect(again.notes).toEqual(document.notes);
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

  it('refuses documents that are huge, deep, reach for a prototype or hold a NaN that became null', () => {
    const text = JSON.stringify(exampleDocument());
    const planted = (change: (document: Record<string, never>) => unknown): unknown => {
      const copy = JSON.parse(text);
      change(copy);
      return copy;
    };
    const bent: readonly (readonly [unknown, string])[] = [
      [
        planted((d) => Object.assign(d, { notes: new Array(1_000_001).fill(0) })),
        'notes must have 0 to 1000000 entries',
      ],
      [planted((d) => Object.assign(d, { name: 'x'.repeat(10_001) })), 'name must have at most 10000 signs'],
      [
        JSON.parse(text.replace('"spec":{', `"spec":{"a":${'['.repeat(5000)}${']'.repeat(5000)},`)),
        'nested deeper than 12 levels',
      ],
      [
        JSON.parse(text.replace('"spec":{', '"spec":{"__proto__":{"polluted":1},')),
        'must have no field of that name',
      ],
      [JSON.parse(text.replace('"gravity":9.80665', '"gravity":null')), 'gravity must be > 0, got null'],
      [planted((d) => Object.assign(d, { constructor: 1 })), 'must have no fields but'],
    ];
    for (const [document, message] of bent) expect(() => toPage(document as never)).toThrow(message);
    expect(({} as { polluted?: number }).polluted).toBeUndefined();
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
