import {
  choiceProblem,
  numberProblem,
  type Problem,
  positiveProblem,
  recordProblem,
  show,
} from '../../internal/check.js';
import { bodyProblems } from '../body.js';
import { LEAN_LIMITS } from '../lean.js';
import { paceProblems } from '../pace.js';
import type { RunSpec } from './run.js';
import { DUTY_LIMITS } from './run-pace.js';

/** Gravity and step factor are within this factor of 1. */
const REACH = 1e6;

const TESTS: Readonly<Record<string, (value: unknown) => Problem | undefined>> = {
  gravity: (value) => positiveProblem('gravity', value, 'm/s²', REACH),
  stepFactor: (value) => positiveProblem('stepFactor', value, '', REACH),
  dutyFactor: (value) => numberProblem('dutyFactor', value, DUTY_LIMITS),
  stepWidth: (value) => numberProblem('stepWidth', value, { min: 0, max: REACH, unit: 'm' }),
  firstFoot: (value) => choiceProblem('firstFoot', value, ['left', 'right']),
  lean: (value) => numberProblem('lean', value, LEAN_LIMITS),
};

/** All that is wrong with a run spec, in the order of its fields; empty where it is valid. */
export function runSpecProblems(spec: unknown): Problem[] {
  const shape = recordProblem('spec', spec, ['pace', 'body', ...Object.keys(TESTS)]);
  if (shape) return [shape];
  const given = spec as RunSpec & Record<string, unknown>;
  const named: Problem[] =
    typeof given.pace === 'string'
      ? [{ field: 'pace', rule: 'must be an object of numbers', got: show(given.pace), kind: 'type' }]
      : paceProblems(given.pace);
  const rest = Object.keys(TESTS)
    .filter((name) => given[name] !== undefined)
    .map((name) => TESTS[name](given[name]))
    .filter((problem) => problem !== undefined);
  return [...named, ...bodyProblems(given.body), ...rest];
}

/**
 * Every problem of a run spec at once, for tools that show a form; `planRun` throws the first of them.
 *
 * @param spec - anything
 * @returns the problems in the order of the spec's fields, empty where `planRun` would accept it
 *
 * @example
 * ```ts
 * import { checkRunSpec } from 'underfoot';
 *
 * const problems = checkRunSpec({ pace: { speed: 3 }, dutyFactor: 0.5 });
 * console.log(problems[0].field, problems[0].rule); // → dutyFactor must be in [0.1, 0.49]
 * ```
 */
export function checkRunSpec(spec: unknown): readonly Problem[] {
  return runSpecProblems(spec);
}
