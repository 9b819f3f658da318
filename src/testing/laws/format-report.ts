import type { LawReport } from './law.js';

const MARKS = { holds: 'holds     ', broken: 'BROKEN    ', 'not judged': 'not judged' } as const;

/** A report as lines of text: one for each law, and under the broken one what is wrong. */
export function formatReport(report: LawReport): string {
  const lines = report.laws.flatMap(({ verdict, law, runs, because }) => [
    `  ${MARKS[verdict]}  ${law}${verdict === 'not judged' ? '' : ` (${runs})`}`,
    ...(because === undefined ? [] : [`              ${because}`]),
  ]);
  return [`${report.subject}, seed ${report.seed}:`, ...lines].join('\n');
}

/**
 * Throws where a law is broken, with the whole report as its message: for any test runner.
 *
 * @param report - as a check gives it
 * @throws Error where a law is broken
 */
export function assertLaws(report: LawReport): void {
  if (!report.holds) throw new Error(`${report.broken?.law}\n${formatReport(report)}`);
}
