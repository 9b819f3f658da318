import { isRecord, type Problem, recordProblem } from '../internal/check.js';

/** What is wrong with the names of a part's fields; a preset given whole is told apart. */
export function partProblem(part: unknown, fields: readonly string[]): Problem | undefined {
  if (isRecord(part) && isRecord(part.part)) {
    const rule = 'must be the part alone: of a preset, its `.part`';
    return { field: 'part', rule, got: 'a whole preset', kind: 'type' };
  }
  return recordProblem('part', part, fields);
}
