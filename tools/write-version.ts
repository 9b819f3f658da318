/** Writes the version of package.json into the source file from which exported documents take it. */
import { readFileSync, writeFileSync } from 'node:fs';

const FILE = 'src/exchange/library-version.ts';

const { version } = JSON.parse(readFileSync('package.json', 'utf8'));
const text = readFileSync(FILE, 'utf8');
const written = text.replace(/(LIBRARY_VERSION = ')[^']*(')/, `$1${version}$2`);
if (!written.includes(`'${version}'`)) throw new Error(`${FILE} has no LIBRARY_VERSION to write`);
writeFileSync(FILE, written);
console.log(`${FILE}: ${version}`);
