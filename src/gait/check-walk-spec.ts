import {
  choiceProblem,
  numberProblem,
  type Problem,
  positiveProblem,
  recordProblem,
  show,
} from '../internal/check.js';
import { bodyProblems } from './body.js';
import { LEAN_LIMITS } from './lean.js';
import { paceProblems } from './pace.js';
import { STANCE_LIMITS } from './stance.js';
import type { CarryPlace, Side, UnevenSpec, WalkSpec } from './walk.js';

type ProblemOf = (name: string, value: unknown) => Problem | undefined;

/** Gravity and step factor are within this factor of 1. */
const REACH = 1e6;

const fraction: ProblemOf = (name, value) => numberProblem(name, value, { min: 0, max: 1 });

/** The test of each plain number of a spec. */
const NUMBERS: Readonly<Record<string, ProblemOf>> = {
  gravity: (name, value) => positiveProblem(name, value, 'm/s²', REACH),
  stepFactor: (name, value) => positiveProblem(name, value, '', REACH),
  stanceFraction: (name, value) => numberProblem(name, value, STANCE_LIMITS),
  stepWidth: (name, value) => numberProblem(name, value, { min: 0, max: REACH, unit: 'm' }),
  heft: fraction,
  swing: (name, value) => numberProblem(name, value, { min: 0, max: 10 }),
  linger: fraction,
  recovery: fraction,
  bob: (name, value) => numberProblem(name, value, { min: 0, max: REACH, unit: 'm' }),
  poseTiming: fraction,
  crouch: fraction,
  lean: (name, value) => numberProblem(name, value, LEAN_LIMITS),
};

/** The test of each number that sets a side apart. */
const UNEVEN: Readonly<Record<keyof UnevenSpec, ProblemOf>> = {
  stanceFraction: (name, value) => numberProblem(name, value, STANCE_LIMITS),
  stepLength: (name, value) => numberProblem(name, value, { above: 0, below: 2 }),
  stepTime: (name, value) => numberProblem(name, value, { above: 0.5, below: 1.5 }),
  loadShare: (name, value) => numberProblem(name, value, { min: 0.3, max: 0.7 }),
};

const PLACES: readonly CarryPlace[] = ['back', 'front', 'left', 'right', 'head'];
const SIDES: readonly Side[] = ['left', 'right'];

/** The names of a walk spec's fields. */
export const WALK_FIELDS: readonly string[] = [
  'pace',
  'body',
  'firstFoot',
  'carry',
  'uneven',
  ...Object.keys(NUMBERS),
];

/** How far the two sides' numbers may be from adding up: rounding, not disagreement. */
const AGREEMENT = 1e-9;

/** All that is wrong with a walk spec, in the order of its fields; empty where it is valid. */
export function walkSpecProblems(spec: unknown): Problem[] {
  const shape = recordProblem('spec', spec, WALK_FIELDS);
  if (shape) return [shape];
  const given = spec as WalkSpec;
  const problems = [
    ...paceProblems(given.pace),
    ...bodyProblems(given.body),
    ...numberProblems('', given as unknown as Record<string, unknown>, NUMBERS),
  ];
  if (given.firstFoot !== undefined) {
    const problem = choiceProblem('firstFoot', given.firstFoot, SIDES);
    if (problem) problems.push(problem);
  }
  if (given.bob !== undefined && given.swing !== undefined) {
    problems.push({
      field: 'bob',
      rule: 'must not be given together with swing',
      got: show(given.bob),
      kind: 'range',
    });
  }
  return [...problems, ...carryProblems(given.carry), ...unevenProblems(given.uneven)];
}

function numberProblems(
  path: string,
  given: Record<string, unknown>,
  tests: Readonly<Record<string, ProblemOf>>,
): Problem[] {
  return Object.entries(tests)
    .filter(([name]) => given[name] !== undefined)
    .map(([name, problemOf]) => problemOf(path + name, given[name]))
    .filter((problem) => problem !== undefined);
}

function carryProblems(carry: unknown): Problem[] {
  if (carry === undefined) return [];
  const shape = recordProblem('carry', carry, ['mass', 'where']);
  if (shape) return [shape];
  const { mass, where } = carry as Record<string, unknown>;
  return [
    numberProblem('carry.mass', mass, { min: 0, max: REACH, unit: 'kg' }),
    choiceProblem('carry.where', where, PLACES),
  ].filter((problem) => problem !== undefined);
}

function unevenProblems(uneven: unknown): Problem[] {
  if (uneven === undefined) return [];
  const shape = recordProblem('uneven', uneven, SIDES);
  if (shape) return [shape];
  const problems: Problem[] = [];
  const sides = uneven as Record<Side, unknown>;
  for (const side of SIDES) {
    if (sides[side] === undefined) continue;
    const inner = recordProblem(`uneven.${side}`, sides[side], Object.keys(UNEVEN));
    problems.push(
      ...(inner
        ? [inner]
        : numberProblems(`uneven.${side}.`, sides[side] as Record<string, unknown>, UNEVEN)),
    );
  }
  if (problems.length > 0) return problems;
  const { left, right } = uneven as NonNullable<WalkSpec['uneven']>;
  for (const [name, sum] of [
    ['stepLength', 2],
    ['stepTime', 2],
    ['loadShare', 1],
  ] as const) {
    const [a, b] = [left?.[name], right?.[name]];
    if (a === undefined || b === undefined || Math.abs(a + b - sum) <= AGREEMENT) continue;
    const rule = `must add to ${sum} over both sides`;
    problems.push({ field: `uneven.*.${name}`, rule, got: `${a} and ${b}`, kind: 'range' });
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
