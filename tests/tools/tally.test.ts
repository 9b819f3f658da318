import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { addTallies, readJunitReport, readVitestReport, tallyOfReport } from '../../tools/ci/tally.js';

const folder = mkdtempSync(join(tmpdir(), 'underfoot-tally-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function write(name: string, text: string): string {
  const file = join(folder, name);
  writeFileSync(file, text);
  return file;
}

describe('counting checks', () => {
  it('adds what passed and what failed', () => {
    expect(addTallies({ passed: 3, failed: 0 }, { passed: 1, failed: 2 })).toEqual({ passed: 4, failed: 2 });
  });

  it('takes the counts of a report', () => {
    expect(tallyOfReport({ passed: 5, failed: 0 }, 0)).toEqual({ passed: 5, failed: 0 });
    expect(tallyOfReport({ passed: 5, failed: 2 }, 1)).toEqual({ passed: 5, failed: 2 });
  });

  it('counts a runner that failed although none of its tests did', () => {
    expect(tallyOfReport({ passed: 5, failed: 0 }, 1)).toEqual({ passed: 5, failed: 1 });
    expect(tallyOfReport({ passed: 5, failed: 0 }, null)).toEqual({ passed: 5, failed: 1 });
  });

  it('counts a runner that ran nothing as a failure', () => {
    expect(tallyOfReport({ passed: 0, failed: 0 }, 0)).toEqual({ passed: 0, failed: 1 });
    expect(tallyOfReport(undefined, 0)).toEqual({ passed: 0, failed: 1 });
  });

  it('reads the report of vitest', () => {
    const file = write(
      'report.json',
      JSON.stringify({ numPassedTests: 7, numFailedTests: 1, numPendingTests: 2 }),
    );
    expect(readVitestReport(file)).toEqual({ passed: 7, failed: 1 });
  });

  it('keeps what failed and why, to be shown again at the end', () => {
    const failed = { status: 'failed', fullName: 'laws hold', failureMessages: ['Error: seed 7'] };
    const passed = { status: 'passed', fullName: 'sums add up', failureMessages: [] };
    const testResults = [{ assertionResults: [failed, passed] }];
    const file = write('failed.json', JSON.stringify({ numPassedTests: 1, numFailedTests: 1, testResults }));
    const report = readVitestReport(file);
    expect(report?.failures).toEqual(['laws hold\nError: seed 7']);
    expect(addTallies({ passed: 1, failed: 0 }, tallyOfReport(report, 1)).failures).toEqual(report?.failures);
  });

  it('reads the report of pytest, skipped tests counting neither way', () => {
    const suite = '<testsuite name="pytest" errors="1" failures="2" skipped="3" tests="10" time="1">';
    const file = write(
      'junit.xml',
      `<?xml version="1.0"?><testsuites name="x">${suite}</testsuite></testsuites>`,
    );
    expect(readJunitReport(file)).toEqual({ passed: 4, failed: 3 });
  });

  it('has nothing to say of a report that was not written', () => {
    expect(readVitestReport(join(folder, 'none.json'))).toBeUndefined();
    expect(readJunitReport(join(folder, 'none.xml'))).toBeUndefined();
  });
});
