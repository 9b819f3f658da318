import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { runCommand } from './run-command.js';
import { readVitestReport, type Tally, tallyOfReport } from './tally.js';

/** Runs an npm script that ends in vitest and counts its tests; vitest's own summary is shown as well. */
export async function runVitest(
  script: readonly string[],
  limitSeconds: number,
  env: Readonly<Record<string, string>> = {},
): Promise<Tally> {
  const report = join(mkdtempSync(join(tmpdir(), 'underfoot-ci-')), 'report.json');
  const { code } = await runCommand('npm', script, {
    env: { ...env, UNDERFOOT_REPORT: report },
    limitSeconds,
  });
  return tallyOfReport(readVitestReport(report), code);
}
