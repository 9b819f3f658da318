/** Runs every check, goes on after a failure, and closes with `N passed, N failed` on a line of its own. */
import { checks } from './checks.js';
import { addTallies, type Tally, tallyOf } from './tally.js';

let total: Tally = tallyOf(true); // the install, without which nothing of this runs
const lines = ['ok    install'];

for (const { name, skip, run } of checks) {
  console.log(`\n== ${name}`);
  const reason = skip?.();
  if (reason !== undefined) {
    console.log(`skipped: ${reason}`);
    lines.push(`--    ${name}: ${reason}`);
    continue;
  }
  const from = performance.now();
  const tally = await run().catch((error: unknown) => {
    console.error(error);
    return tallyOf(false);
  });
  total = addTallies(total, tally);
  const seconds = ((performance.now() - from) / 1000).toFixed(0);
  const verdict = tally.failed > 0 ? 'FAIL' : 'ok  ';
  lines.push(`${verdict}  ${name}: ${tally.passed} passed, ${tally.failed} failed, ${seconds} s`);
}

// Again at the end, for whoever is shown only that.
for (const failure of total.failures ?? []) console.log(`\nfailed: ${failure}`);
console.log(`\n${lines.join('\n')}\n`);
console.log(`${total.passed} passed, ${total.failed} failed`);
process.exitCode = total.failed > 0 ? 1 : 0;
