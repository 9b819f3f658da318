/** Walks of a small harbour, from walking parameters to what an animator needs; writes to `demo-out/`. */
import { join } from 'node:path';
import {
  chartAgainst,
  chartPaces,
  chartTextbook,
  chartTiming,
  type MotionDocument,
  toPage,
} from '../src/exchange/index.js';
import { saveFile } from '../src/exchange/node/index.js';
import { planWalk, textbookCurves } from '../src/gait/index.js';
import { bellyOf, STRANDS } from '../src/secondary/index.js';
import { CAST } from './cast.js';
import { drawFollow } from './draw-follow.js';
import { makeShot } from './make-shot.js';
import { type MadeWalk, makeWalk } from './make-walk.js';
import { measureFollow } from './measure-follow.js';
import { printTable } from './print-table.js';

const OUT = 'demo-out';

const began = performance.now();
const made: MotionDocument[] = [];
let written = 0;
async function save({ document, files }: MadeWalk): Promise<MotionDocument> {
  for (const [name, content] of files) {
    await saveFile(join(OUT, name), content);
    written++;
  }
  return document;
}
for (const [i, role] of CAST.entries()) {
  console.log(`[${i + 1}/${CAST.length + 1}] ${role.name}`);
  made.push(await save(await makeWalk(role)));
}
console.log(`[${CAST.length + 1}/${CAST.length + 1}] The lamplighter on his round`);
await save(await makeShot());
await saveFile(
  join(OUT, 'paces.svg'),
  chartPaces(made.slice(0, 3), { title: 'The lamplighter at three paces' }),
);
await saveFile(
  join(OUT, 'cast.svg'),
  chartPaces(
    made.slice(1).filter((_, i) => i !== 1),
    { title: 'The harbour: one pace each' },
  ),
);
await saveFile(join(OUT, 'timing.svg'), chartTiming(made));
const [slow, , brisk] = CAST.map(({ spec }) => planWalk(spec));
await saveFile(join(OUT, 'slow-brisk.svg'), chartAgainst(slow, brisk, { names: ['slow', 'brisk'] }));
await saveFile(join(OUT, 'textbook.svg'), chartTextbook(textbookCurves()));
const followed = CAST.slice(0, 3).map(({ name, spec }) =>
  measureFollow(name, spec, { belly: bellyOf(10).part, hair: STRANDS.ponytail.part }),
);
await saveFile(join(OUT, 'follow.svg'), drawFollow(followed, 'What three paces do to belly and hair'));
await saveFile(join(OUT, 'walks.html'), toPage(made, { title: 'The harbour walks' }));
written += 7;

console.log(`\n${printTable(made)}\n`);
for (const { name, load, belly, hair } of followed) {
  const [l, b, h] = [load.range.toFixed(2), belly.range.toFixed(1), hair.range.toFixed(1)];
  console.log(`${name}: load over ${l} BW, belly over ${b} cm, tip of the hair over ${h} cm`);
}
console.log('');
console.log(
  `The worst error is that of the root's keyed height, and of the load it implies, to the exact path.`,
);
console.log(
  `\n${written} files in ${OUT}/ after ${((performance.now() - began) / 1000).toFixed(1)} s. Begin with ${OUT}/walks.html in a browser, or ${OUT}/paces.svg.`,
);
for (const [what, where] of [
  ['curves, forces, chart, notes', '<walk>.json'],
  ['one row a frame', '<walk>.csv'],
  ['an OpenUSD layer: root, feet, follower', '<walk>.usda'],
  ['a figure that walks, for any glTF viewer', '<walk>.glb'],
  ['a start, a turn, stairs and a stop; more as above', 'lamplighter-round.*'],
  ['each foot and both, by phase', '<walk>-forces.svg'],
  ['height, way and spacing, keyed', '<walk>-root.svg'],
  ['what hangs on, and its lag', '<walk>-follower.svg'],
  ['load, belly and hair at three paces', 'follow.svg'],
  ['two strides on the same scales, and how they differ', 'slow-brisk.svg'],
  ["one foot's force at three paces, for teaching", 'textbook.svg'],
]) {
  console.log(`  ${where.padEnd(22)} ${what}`);
}
