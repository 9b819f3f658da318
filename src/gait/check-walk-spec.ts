import {
  choiceProblem,
  numberProblem,
  type Problem,
  positiveProblem,
  recordProblem,
} from '../internal/check.js';
import { bodyProblems } from './body.js';
import { paceProblems } from './pace.js';
import { STANCE_LIMITS } from './stance.js';
import type { WalkSpec } from './walk.js';

/** Gravity and step factor are within this factor of 1. */
const REACH = 1e6;

/** The test of each plain number of a spec. */
const NUMBERS: Readonly<Record<string, (name: string, value: unknown) => Problem | undefined>> = {
  gravity: (name, value) => positiveProblem(name, value, 'm/s²', REACH),
  stepFactor: (name, value) => positiveProblem(name, value, '', REACH),
  stanceFraction: (name, value) => numberProblem(name, value, STANCE_LIMITS),
  stepWidth: (name, value) => numberProblem(name, value, { min: 0, max: REACH, unit: 'm' }),
};

const FIELDS = ['pace', 'body', 'firstFoot', ...Object.keys(NUMBERS)];

/** All that is wrong with a walk spec, in the order of its fields; empty where it is valid. */
export function walkSpecProblems(spec: unknown): Problem[] {
  const shape = recordProblem('spec', spec, FIELDS);
  if (shape) return [shape];
  const given = spec as WalkSpec;
  const problems = [...paceProblems(given.pace), ...bodyProblems(given.body)];
  for (const [name, problemOf] of Object.entries(NUMBERS)) {
    const value = given[name as keyof WalkSpec];
    if (value === undefined) continue;
    const problem = problemOf(name, value);
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
