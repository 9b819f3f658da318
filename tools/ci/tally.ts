import { existsSync, readFileSync } from 'node:fs';

/** How many checks passed and failed. */
export interface Tally {
  readonly passed: number;
  readonly failed: number;
  /** What failed and why, as far as the runner says. */
  readonly failures?: readonly string[];
}

/** One check that passed or failed as a whole. */
export function tallyOf(ok: boolean): Tally {
  return ok ? { passed: 1, failed: 0 } : { passed: 0, failed: 1 };
}

export function addTallies(a: Tally, b: Tally): Tally {
  const failures = [...(a.failures ?? []), ...(b.failures ?? [])];
  const counts = { passed: a.passed + b.passed, failed: a.failed + b.failed };
  return failures.length > 0 ? { ...counts, failures } : counts;
}

/**
 * The tests in a report, given how the runner ended. A runner that failed counts as a failure even where
 * its report names none (a file that does not load, say), and so does one that ran nothing.
 */
export function tallyOfReport(counts: Tally | undefined, code: number | null): Tally {
  if (!counts || counts.passed + counts.failed === 0) return tallyOf(false);
  return code !== 0 && counts.failed === 0 ? { ...counts, failed: 1 } : counts;
}

/** Characters of one failure that are shown again at the end: enough for a seed and a counterexample. */
const LONGEST = 1500;

/** The part of vitest's JSON report that names failures. */
interface VitestFile {
  readonly assertionResults: readonly {
    readonly status: string;
    readonly fullName: string;
    readonly failureMessages: readonly string[];
  }[];
}

/** Counts and failures of vitest's JSON report. */
export function readVitestReport(file: string): Tally | undefined {
  if (!existsSync(file)) return undefined;
  const { numPassedTests, numFailedTests, testResults = [] } = JSON.parse(readFileSync(file, 'utf8'));
  const failures = (testResults as VitestFile[]).flatMap(({ assertionResults }) =>
    assertionResults
      .filter(({ status }) => status === 'failed')
      .map(({ fullName, failureMessages }) => `${fullName}\n${failureMessages.join('\n').slice(0, LONGEST)}`),
  );
  const counts = { passed: numPassedTests, failed: numFailedTests };
  return failures.length > 0 ? { ...counts, failures } : counts;
}

/** Counts of a JUnit report, as pytest writes it. */
export function readJunitReport(file: string): Tally | undefined {
  if (!existsSync(file)) return undefined;
  const head = /<testsuite\b[^>]*>/.exec(readFileSync(file, 'utf8'))?.[0];
  if (!head) return undefined;
  const count = (name: string) => Number(new RegExp(`\\b${name}="(\\d+)"`).exec(head)?.[1] ?? 0);
  const failed = count('failures') + count('errors');
  return { passed: count('tests') - failed - count('skipped'), failed };
}
