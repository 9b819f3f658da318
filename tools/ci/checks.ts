import { existsSync, readdirSync } from 'node:fs';
import { listReferenceChecks, runReferenceChecks } from './reference.js';
import { runCommand } from './run-command.js';
import { type Tally, tallyOf } from './tally.js';
import { runVitest } from './vitest.js';

/** One check of the project, or one group of them. */
export interface Check {
  readonly name: string;
  /** Says why there is nothing to run; such a check counts neither way. */
  readonly skip?: () => string | undefined;
  readonly run: () => Promise<Tally>;
}

// The demo's promise to somebody who has just installed the project.
const DEMO_LIMIT_SECONDS = 10;
// The counts that the laws and the hostile files are promised for; `npm test` runs fewer.
const FULL_COUNTS = { FAST_CHECK_RUNS: '10000', UNDERFOOT_FUZZ: '100000' };
const CHROMIUM = '/usr/bin/chromium';

function npm(...args: string[]): () => Promise<Tally> {
  return async () => tallyOf((await runCommand('npm', args)).code === 0);
}

async function runDemo(): Promise<Tally> {
  const { code, seconds } = await runCommand('npm', ['run', 'demo']);
  const files = existsSync('demo-out') ? readdirSync('demo-out', { recursive: true }).length : 0;
  console.log(`demo: ${seconds.toFixed(1)} s (at most ${DEMO_LIMIT_SECONDS}), ${files} files in demo-out`);
  return tallyOf(code === 0 && files > 0 && seconds <= DEMO_LIMIT_SECONDS);
}

async function runBrowserTests(): Promise<Tally> {
  if (!existsSync(CHROMIUM)) {
    const env = { DEBIAN_FRONTEND: 'noninteractive' };
    await runCommand('apt-get', ['update'], { env });
    const { code } = await runCommand('apt-get', ['install', '-y', '--no-install-recommends', 'chromium'], {
      env,
    });
    if (code !== 0) return tallyOf(false);
  }
  return runVitest(['run', 'test:browser'], 600);
}

/** Everything a clean clone has to pass, in order; what needs the build comes after it. */
export const checks: readonly Check[] = [
  { name: 'lint', run: npm('run', 'lint') },
  { name: 'types', run: npm('run', 'typecheck') },
  { name: 'tests: npm test', run: () => runVitest(['test'], 900) },
  {
    name: 'laws and hostile files at full count',
    run: () => runVitest(['run', 'test:full'], 900, FULL_COUNTS),
  },
  { name: 'demo: npm run demo', run: runDemo },
  { name: 'build', run: npm('run', 'build') },
  {
    name: 'package, consumer, documented code, cold start',
    run: () => runVitest(['run', 'test:package'], 600),
  },
  { name: 'reference documentation', run: npm('run', 'docs') },
  { name: 'unused files, exports and dependencies', run: npm('run', 'knip') },
  {
    name: 'reference checks by other software',
    skip: () => {
      const { pytest, scripts } = listReferenceChecks();
      return pytest.length + scripts.length === 0 ? 'there are none yet' : undefined;
    },
    run: runReferenceChecks,
  },
  {
    name: 'browser',
    skip: () => (existsSync('tests/browser') ? undefined : 'there are no browser tests yet'),
    run: runBrowserTests,
  },
];
