import { describe, expect, it } from 'vitest';
import { assertLaws, checkRigAdapter, formatReport } from '../../src/testing/index.js';
import { HARBOUR_MAPPING, makeHarbourTrial } from './harbour-host.js';
import { ALL_LAWS, PLANTED } from './planted-bugs.js';

/** Enough for every bug to be met by its law; `are named whatever the seed` asks for fewer still. */
const options = { mapping: HARBOUR_MAPPING, runs: 100 };

describe('planted bugs in an adapter', () => {
  it.each(PLANTED)('$bug is named by its law', ({ mistake, law, because = '' }) => {
    const report = checkRigAdapter(() => makeHarbourTrial(mistake), options);
    expect(report.broken?.law, formatReport(report)).toBe(law);
    expect(report.broken?.because).toContain(because);
    expect(() => assertLaws(report)).toThrow(law);
  });

  it.each([2])('are named whatever the seed: %d', (seed) => {
    for (const { bug, mistake, law } of PLANTED) {
      const report = checkRigAdapter(() => makeHarbourTrial(mistake), { ...options, seed, runs: 60 });
      expect(report.broken?.law, `${bug}\n${formatReport(report)}`).toBe(law);
    }
  });

  it('are of every kind that a law is for', () => {
    const report = checkRigAdapter(() => makeHarbourTrial(), { ...options, runs: 1 });
    expect(report.laws.map(({ law }) => law).sort()).toEqual([...ALL_LAWS].sort());
  });
});
