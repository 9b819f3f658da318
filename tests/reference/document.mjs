// Prints the document's schema, a document, and copies with one place bent, with what our reader says of each.
import { checkDocument, MOTION_DOCUMENT_SCHEMA, toDocument } from 'underfoot/exchange';
import { planWalk } from 'underfoot/gait';

const scene = { up: 'y', forward: '+z', metersPerUnit: 1, fps: 23.976, firstFrame: 1 };
const document = toDocument(planWalk({ pace: 'ordinary' }), {
  name: 'Lamplighter',
  scene,
  samplesPerFrame: 1,
});

const BENT = [null, -1, { stranger: 1 }];

function* places(value, path = []) {
  if (path.length > 0) yield path;
  if (typeof value !== 'object' || value === null) return;
  // Of a list the first entry stands for all.
  const entries = Array.isArray(value) ? [...value.entries()].slice(0, 1) : Object.entries(value);
  for (const [key, item] of entries) yield* places(item, [...path, key]);
}

const copies = [];
for (const path of places(document)) {
  for (const bent of [undefined, ...BENT]) {
    const copy = structuredClone(document);
    const owner = path.slice(0, -1).reduce((item, key) => item[key], copy);
    if (bent === undefined) {
      if (Array.isArray(owner)) continue;
      delete owner[path.at(-1)];
    } else owner[path.at(-1)] = bent;
    copies.push({ path: path.join('.'), bent, copy, ours: checkDocument(copy).length === 0 });
  }
}
console.log(JSON.stringify({ schema: MOTION_DOCUMENT_SCHEMA, document, copies }));
