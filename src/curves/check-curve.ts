/** What is wrong with a curve: everything at once for tools, the first thing thrown at a boundary. */
import {
  choiceProblem,
  errorOf,
  isRecord,
  numberProblem,
  type Problem,
  recordProblem,
  show,
} from '../internal/check.js';
import type { Curve } from './curve.js';

const OUTSIDE = ['holds', 'straight', 'loops', 'travels'];
const CURVE_FIELDS = ['keys', 'start', 'period', 'gain', 'before', 'after', 'of', 'meta'];
const KEY_FIELDS = ['time', 'value', 'in', 'out', 'next', 'locked', 'arrives', 'meta'];

/** Largest size of a number, and least length of a segment in s, so that no derivative overflows. */
export const REACH = 1e60;
const SHORTEST = 1e-60;

/** Room for rounded times in the rule that time must not run backwards, as a fraction of the segment. */
const ROUNDING = 1e-9;

/** A finite number of a size with which nothing overflows. */
const usable = (field: string, value: unknown, unit = ''): Problem | undefined =>
  numberProblem(field, value, { unit }) ?? numberProblem(field, value, { min: -REACH, max: REACH, unit });

const periodProblem = (period: unknown): Problem | undefined =>
  numberProblem('period', period, { above: 0, unit: 's' }) ??
  numberProblem('period', period, { min: SHORTEST, max: REACH, unit: 's' });

const present = <T>(items: readonly (T | undefined)[]): T[] => items.filter((x) => x !== undefined) as T[];

function tangentProblems(field: string, tangent: unknown): Problem[] {
  const shape = recordProblem(field, tangent, ['span', 'slope']);
  if (!isRecord(tangent)) return present([shape]);
  const { span, slope } = tangent;
  return present([
    shape,
    numberProblem(`${field}.span`, span, { min: 0, unit: 's' }) ?? usable(`${field}.span`, span, 's'),
    usable(`${field}.slope`, slope),
  ]);
}

/** What is wrong with a key by itself, at the path `field`. */
export function keyProblems(field: string, key: unknown): Problem[] {
  const shape = recordProblem(field, key, KEY_FIELDS);
  if (!isRecord(key)) return present([shape]);
  const k = key;
  const problems = present([
    shape,
    usable(`${field}.time`, k.time, 's'),
    usable(`${field}.value`, k.value),
    k.next === undefined ? undefined : choiceProblem(`${field}.next`, k.next, ['curve', 'line', 'hold']),
    k.arrives === undefined ? undefined : usable(`${field}.arrives`, k.arrives),
    k.meta === undefined ? undefined : recordProblem(`${field}.meta`, k.meta),
  ]);
  if (k.locked !== undefined && typeof k.locked !== 'boolean') {
    problems.push({
      field: `${field}.locked`,
      rule: 'must be true or false',
      got: show(k.locked),
      kind: 'type',
    });
  }
  problems.push(...tangentProblems(`${field}.in`, k.in), ...tangentProblems(`${field}.out`, k.out));
  return problems;
}

function orderProblems({ keys, start, period }: Curve): Problem[] {
  const problems: Problem[] = [];
  const refuse = (field: string, rule: string, got: number): void => {
    problems.push({ field, rule, got: String(got), kind: 'range' });
  };
  if (keys[0].time < start) refuse('keys[0].time', `must be >= start, ${start} s`, keys[0].time);
  for (let i = 1; i < keys.length; i++) {
    if (!(keys[i].time > keys[i - 1].time)) {
      refuse(`keys[${i}].time`, `must be > ${keys[i - 1].time} s, the key before it`, keys[i].time);
    } else if (keys[i].time - keys[i - 1].time < SHORTEST) {
      refuse(`keys[${i}].time`, `must be ${SHORTEST} s or more past the key before it`, keys[i].time);
    }
  }
  const last = keys[keys.length - 1];
  if (period !== undefined && !(last.time < start + period)) {
    refuse(`keys[${keys.length - 1}].time`, `must be < ${start + period} s, where the cycle ends`, last.time);
  }
  if (problems.length > 0) return problems;
  const segments = period === undefined ? keys.length - 1 : keys.length;
  for (let i = 0; i < segments; i++) {
    const j = (i + 1) % keys.length;
    if ((keys[i].next ?? 'curve') !== 'curve') continue;
    const length = j > i ? keys[j].time - keys[i].time : keys[0].time + (period ?? 0) - last.time;
    const p = keys[i].out.span / length;
    const q = keys[j].in.span / length;
    if (p + q - 1 <= Math.sqrt(p * q) + ROUNDING) continue;
    const rule = `must be in [0, ${length}] s, the length of its segment, or short enough for time not to run backwards`;
    if (p >= q) refuse(`keys[${i}].out.span`, rule, keys[i].out.span);
    else refuse(`keys[${j}].in.span`, rule, keys[j].in.span);
  }
  return problems;
}

/**
 * Everything that is wrong with a curve, as a list that is empty where nothing is.
 *
 * Fields are read one by one, then the keys' order, then each handle against the length of its segment.
 *
 * @param curve - anything; what is not a curve is described, never thrown at
 * @returns field, rule and value of each problem; paths are relative to the curve, for example `keys[1].time`
 * @example
 * import { checkCurve } from 'underfoot/curves';
 * const flat = { span: 0.1, slope: 0 };
 * const key = { time: 0, value: Number.NaN, in: flat, out: flat };
 * const problems = checkCurve({ keys: [key], start: 0, before: 'holds', after: 'holds' });
 * console.log(problems[0].field, problems[0].rule); // → keys[0].value must be a finite number
 */
export function checkCurve(curve: unknown): Problem[] {
  const shape = recordProblem('curve', curve, CURVE_FIELDS);
  if (!isRecord(curve)) return present([shape]);
  const c = curve;
  const cyclic = c.period !== undefined;
  const problems = present([
    shape,
    usable('start', c.start, 's'),
    cyclic ? periodProblem(c.period) : undefined,
    c.gain === undefined ? undefined : usable('gain', c.gain),
    choiceProblem('before', c.before, OUTSIDE),
    choiceProblem('after', c.after, OUTSIDE),
    c.of === undefined ? undefined : choiceProblem('of', c.of, ['centreOfMass', 'root']),
    c.meta === undefined ? undefined : recordProblem('meta', c.meta),
  ]);
  for (const side of ['before', 'after']) {
    if (!cyclic && (c[side] === 'loops' || c[side] === 'travels')) {
      const rule = 'must be "holds" or "straight" on a curve without a period';
      problems.push({ field: side, rule, got: show(c[side]), kind: 'range' });
    }
  }
  if (!cyclic && c.gain !== undefined && c.gain !== 0) {
    problems.push({
      field: 'gain',
      rule: 'must be 0 on a curve without a period',
      got: show(c.gain),
      kind: 'range',
    });
  }
  if (!Array.isArray(c.keys)) {
    problems.push({ field: 'keys', rule: 'must be an array', got: show(c.keys), kind: 'type' });
    return problems;
  }
  if (c.keys.length === 0) {
    problems.push({ field: 'keys', rule: 'must have at least 1 entry', got: '0', kind: 'range' });
  }
  // A spread also visits the holes of an array.
  [...c.keys].forEach((key, i) => {
    problems.push(...keyProblems(`keys[${i}]`, key));
  });
  return problems.length > 0 ? problems : orderProblems(curve as unknown as Curve);
}

/** The curve, or the error that names function, field, rule and value. */
export function requireCurve(where: string, curve: unknown, field = ''): Curve {
  const problem = checkCurve(curve)[0];
  if (!problem) return curve as Curve;
  if (problem.field === 'curve') throw errorOf(where, { ...problem, field: field || 'curve' });
  throw errorOf(where, field ? { ...problem, field: `${field}.${problem.field}` } : problem);
}
