import { type Problem, positiveProblem, recordProblem, show } from '../internal/check.js';
import type { Body, BodySpec } from './walk.js';

/** Standard gravity in m/s² (CGPM 1901). */
export const STANDARD_GRAVITY = 9.80665;

/** Hip joint to floor over stature; populations differ by ±7 %. */
export const LEG_PER_STATURE = 0.53;

/** Leg length in m of the adult that the published speeds are stated for. */
export const ADULT_LEG = 0.9;

/** Mass in kg where none is given; it scales newtons only. */
export const ADULT_MASS = 70;

/** Bodies are within this factor of 1 in each unit: from grains to mountains, and far from overflow. */
const REACH = 1e6;

const UNITS = { mass: 'kg', legLength: 'm', stature: 'm' } as const;

/** All that is wrong with a body. */
export function bodyProblems(body: unknown): Problem[] {
  if (body === undefined) return [];
  const names = Object.keys(UNITS) as (keyof BodySpec)[];
  const shape = recordProblem('body', body, names);
  if (shape) return [shape];
  const given = body as BodySpec;
  const problems = names
    .filter((name) => given[name] !== undefined)
    .map((name) => positiveProblem(`body.${name}`, given[name], UNITS[name], REACH))
    .filter((problem) => problem !== undefined);
  const { legLength, stature } = given;
  if (problems.length === 0 && legLength !== undefined && stature !== undefined && stature <= legLength) {
    const rule = `must be > body.legLength, ${legLength} m`;
    problems.push({ field: 'body.stature', rule, got: show(stature), kind: 'range' });
  }
  return problems;
}

/** The whole body from what was given of it. */
export function resolveBody(body: BodySpec = {}, carried = 0): Body {
  const { mass = ADULT_MASS, stature } = body;
  const legLength = body.legLength ?? (stature === undefined ? ADULT_LEG : LEG_PER_STATURE * stature);
  return { mass, carried, legLength, stature: stature ?? legLength / LEG_PER_STATURE };
}
