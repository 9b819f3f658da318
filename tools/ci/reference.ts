/**
 * Runs the checks that other people's software makes of ours: each `tests/reference/test_*.py` by pytest
 * and each other script there by itself, in a virtual environment with the pinned requirements.
 */
import { createHash } from 'node:crypto';
import { existsSync, mkdtempSync, readdirSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { runCommand } from './run-command.js';
import { addTallies, readJunitReport, type Tally, tallyOf, tallyOfReport } from './tally.js';

const FOLDER = 'tests/reference';

/** The Python files that are checks: not pytest's own set-up and not helpers, which begin with `_`. */
export function listReferenceChecks(): { pytest: string[]; scripts: string[] } {
  const files = existsSync(FOLDER) ? readdirSync(FOLDER).filter((name) => name.endsWith('.py')) : [];
  const checks = files.filter((name) => name !== 'conftest.py' && !name.startsWith('_')).sort();
  const isPytest = (name: string) => name.startsWith('test_') || name.endsWith('_test.py');
  return { pytest: checks.filter(isPytest), scripts: checks.filter((name) => !isPytest(name)) };
}

/** The Python of an environment that has the requirements; made anew when they change. */
async function preparePython(): Promise<string | undefined> {
  const requirements = join(FOLDER, 'requirements.txt');
  const stamp = createHash('sha256').update(readFileSync(requirements)).digest('hex').slice(0, 12);
  const venv = join('.venv', stamp);
  const python = join(venv, 'bin', 'python');
  if (existsSync(join(venv, 'ready'))) return python;
  const steps: [string, string[]][] = [
    ['python3', ['-m', 'venv', '--clear', venv]],
    [python, ['-m', 'pip', 'install', '--quiet', '--disable-pip-version-check', '-r', requirements]],
    [python, ['-c', `open(${JSON.stringify(join(venv, 'ready'))}, 'w').close()`]],
  ];
  for (const [command, args] of steps) {
    const { code } = await runCommand(command, args);
    if (code !== 0) return undefined;
  }
  return python;
}

/** Runs every reference check and counts it; nothing to run counts nothing. */
export async function runReferenceChecks(): Promise<Tally> {
  const { pytest, scripts } = listReferenceChecks();
  let tally: Tally = { passed: 0, failed: 0 };
  if (pytest.length + scripts.length === 0) return tally;
  const python = await preparePython();
  if (!python) return tallyOf(false);
  if (pytest.length > 0) {
    const report = join(mkdtempSync(join(tmpdir(), 'underfoot-ci-')), 'junit.xml');
    const args = ['-m', 'pytest', '-p', 'no:cacheprovider', '-q', `--junitxml=${report}`];
    const { code } = await runCommand(python, [...args, ...pytest.map((name) => join(FOLDER, name))]);
    tally = addTallies(tally, tallyOfReport(readJunitReport(report), code));
  }
  for (const name of scripts) {
    const { code } = await runCommand(python, [join(FOLDER, name)]);
    console.log(`${name}: ${code === 0 ? 'passed' : 'FAILED'}`);
    tally = addTallies(tally, tallyOf(code === 0));
  }
  return tally;
}
