/** Writes the `exports` field of package.json from the parts under `src` that have an `index.ts`. */
import { readFileSync, writeFileSync } from 'node:fs';
import { exportsOf, listEntries } from './entries.js';

const manifest = JSON.parse(readFileSync('package.json', 'utf8'));
const wanted = exportsOf(listEntries('.'));
if (JSON.stringify(manifest.exports) === JSON.stringify(wanted)) {
  console.log('package.json: exports are in step with src');
} else {
  manifest.exports = wanted;
  writeFileSync('package.json', `${JSON.stringify(manifest, null, 2)}\n`);
  console.log(`package.json: wrote exports ${Object.keys(wanted).join(', ')}`);
}
