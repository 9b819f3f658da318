import { describe, expect, it } from 'vitest';
import { evaluate } from '../../src/curves/index.js';
import { assertLaws, checkCurveEngine, formatReport } from '../../src/testing/index.js';
import { PLANTED_IN_ENGINES } from './planted-engine-bugs.js';

/** Cases for each law; more with FAST_CHECK_RUNS in the environment. */
const RUNS = Number(process.env.FAST_CHECK_RUNS ?? 300);

describe('planted bugs in an evaluator of curves', () => {
  it.each(PLANTED_IN_ENGINES)('%s: named by its law', (_, engine, law) => {
    for (const seed of [1, 2]) {
      const report = checkCurveEngine(engine, { seed, runs: 60 });
      expect(report.broken?.law, formatReport(report)).toBe(law);
    }
  });
});

describe('the check of an evaluator', () => {
  it('finds nothing wrong with ours', { timeout: 300_000 }, () => {
    assertLaws(checkCurveEngine(evaluate, { runs: RUNS }));
  });

  it('refuses what is no function, and options it does not know', () => {
    expect(() => checkCurveEngine(3 as never)).toThrow('checkCurveEngine: engine must be a function, got 3');
    expect(() => checkCurveEngine(evaluate, { tolerance: 0 })).toThrow(
      'tolerance must be in (0, 0.1], got 0',
    );
    expect(() => checkCurveEngine(evaluate, { cases: 3 } as never)).toThrow(
      'options must have no fields but',
    );
  });
});
