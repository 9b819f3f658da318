import { choiceProblem, numberProblem, type Problem, recordProblem } from '../internal/check.js';
import { bodyProblems } from './body.js';
import { paceProblems } from './pace.js';
import { STANCE_LIMITS } from './stance.js';
import type { WalkSpec } from './walk.js';

/** Limits of each plain number of a spec. */
const NUMBERS = {
  gravity: { above: 0, unit: 'm/s²' },
  stepFactor: { above: 0 },
  stanceFraction: STANCE_LIMITS,
  stepWidth: { min: 0, unit: 'm' },
} as const;

const FIELDS = ['pace', 'body', 'firstFoot', ...Object.keys(NUMBERS)];

/** All that is wrong with a walk spec, in the order of its fields; empty where it is valid. */
export function walkSpecProblems(spec: unknown): Problem[] {
  const shape = recordProblem('spec', spec, FIELDS);
  if (shape) return [shape];
  const given = spec as WalkSpec;
  const problems = [...paceProblems(given.pace), ...bodyProblems(given.body)];
  for (const [name, bounds] of Object.entries(NUMBERS)) {
    const value = given[name as keyof typeof NUMBERS];
    if (value === undefined) continue;
    const problem = numberProblem(name, value, bounds);
    if (problem) problems.push(problem);
  }
  if (given.firstFoot !== undefined) {
    const problem = choiceProblem('firstFoot', given.firstFoot, ['left', 'right']);
    if (problem) problems.push(problem);
  }
  return problems;
}

/**
 * Every problem of a walk spec at once, for tools that show a form; `planWalk` throws the first of them.
 *
 * @param spec - anything
 * @returns the problems in the order of the spec's fields, empty where `planWalk` would accept it
 *
 * @example
 * ```ts
 * import { checkWalkSpec } from 'underfoot';
 *
 * const problems = checkWalkSpec({ pace: { speed: -1 }, gravity: 0 });
 * console.log(problems.map((problem) => problem.field).join(', ')); // → pace.speed, gravity
 * ```
 */
export function checkWalkSpec(spec: unknown): readonly Problem[] {
  return walkSpecProblems(spec);
}
