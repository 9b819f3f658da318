import fc from 'fast-check';

/** A sentence that has to be true, the cases it is tried on, and what is wrong where it is not. */
export interface Law<Case> {
  readonly name: string;
  readonly cases: fc.Arbitrary<Case>;
  /** Most runs that make sense, where every case is the same. */
  readonly most?: number;
  /** What is wrong with this case, or nothing. */
  wrong(given: Case): string | undefined;
}

/** A law whose cases are its own business. */
export interface AnyLaw {
  readonly name: string;
  check(runs: number, seed: number): LawResult;
}

/** What became of one law. */
export interface LawResult {
  /** The law, as a sentence. */
  readonly law: string;
  /** `not judged`: a law before it is broken, and it would only say so again. */
  readonly verdict: 'holds' | 'broken' | 'not judged';
  /** Cases that were tried. */
  readonly runs: number;
  /** What is wrong, with numbers. */
  readonly because?: string;
}

/** What became of all laws, in order. */
export interface LawReport {
  /** What was judged. */
  readonly subject: string;
  /** Whether every law holds. */
  readonly holds: boolean;
  readonly laws: readonly LawResult[];
  /** The law that is broken, if one is. */
  readonly broken?: LawResult;
  /** Gives the same cases again. */
  readonly seed: number;
}

/** How much to try. */
export interface LawRuns {
  /** Cases for each law, whole, > 0. Default 200. */
  readonly runs?: number;
  /** Seed of the cases; the same one gives the same cases. Default 1. */
  readonly seed?: number;
}

/** The law with its cases put away. */
export function asLaw<Case>(law: Law<Case>): AnyLaw {
  return {
    name: law.name,
    check(runs, seed) {
      const property = fc.property(law.cases, (given) => {
        const wrong = law.wrong(given);
        if (wrong !== undefined) throw new Error(wrong);
      });
      const numRuns = Math.min(runs, law.most ?? runs);
      const details = fc.check(property, { numRuns, seed });
      if (!details.failed) return { law: law.name, verdict: 'holds', runs: details.numRuns };
      return {
        law: law.name,
        verdict: 'broken',
        runs: details.numRuns,
        because: wordsOf(details.errorInstance),
      };
    },
  };
}

/** What an error says, and what its cause says. */
function wordsOf(error: unknown): string {
  if (!(error instanceof Error)) return 'unknown';
  return error.cause instanceof Error ? `${error.message}: ${error.cause.message}` : error.message;
}

/** Tries the laws in order up to the first that is broken: each takes for granted what those before it showed. */
export function judge(subject: string, laws: readonly AnyLaw[], runs: number, seed: number): LawReport {
  const results: LawResult[] = [];
  let broken: LawResult | undefined;
  for (const law of laws) {
    if (broken) results.push({ law: law.name, verdict: 'not judged', runs: 0 });
    else {
      const result = law.check(runs, seed);
      results.push(result);
      if (result.verdict === 'broken') broken = result;
    }
  }
  return { subject, holds: !broken, laws: results, seed, ...(broken ? { broken } : {}) };
}
