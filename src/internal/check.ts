/**
 * The one grammar in which bad input is refused:
 * `RangeError: planWalk: pace.strideLength must be > 0 m, got -1`.
 *
 * `numberProblem` and its kin describe a problem without throwing, so that a checker can list all of
 * them; `requireNumber` and its kin throw the first one. Nothing past the public boundary checks again.
 */

/** One thing wrong with an input, in parts. */
export interface Problem {
  /** Path of the field, for example `pace.strideLength`; the argument's own name at top level. */
  readonly field: string;
  /** What the field has to satisfy, for example `must be > 0 m`. */
  readonly rule: string;
  /** The value that was given, printed short. */
  readonly got: string;
  /** `type` becomes a `TypeError`, `range` a `RangeError`. */
  readonly kind: 'type' | 'range';
}

/** Limits of a number; each is optional and printed in the rule. */
export interface Bounds {
  /** Exclusive lower limit. */
  readonly above?: number;
  /** Inclusive lower limit. */
  readonly min?: number;
  /** Exclusive upper limit. */
  readonly below?: number;
  /** Inclusive upper limit. */
  readonly max?: number;
  /** Unit printed after the limits, for example `m/s`. */
  readonly unit?: string;
  /** Whether the number has to be whole. */
  readonly whole?: boolean;
}

/** Prints any value short, on one line, without calling into it. */
export function show(value: unknown): string {
  if (value === null) return 'null';
  switch (typeof value) {
    case 'string': {
      const text = value.length > 40 ? `${value.slice(0, 37)}...` : value;
      return JSON.stringify(text);
    }
    case 'number':
    case 'boolean':
    case 'undefined':
    case 'bigint':
      return String(value);
    case 'symbol':
      return 'a symbol';
    case 'function':
      return 'a function';
    default:
      return Array.isArray(value) ? `an array of ${value.length}` : 'an object';
  }
}

function ruleOf(bounds: Bounds): string {
  const unit = bounds.unit ? ` ${bounds.unit}` : '';
  const { above, min, below, max } = bounds;
  const low = above ?? min;
  const high = below ?? max;
  const noun = bounds.whole ? 'a whole number ' : '';
  if (low !== undefined && high !== undefined) {
    return `must be ${noun}in ${above !== undefined ? '(' : '['}${low}, ${high}${below !== undefined ? ')' : ']'}${unit}`;
  }
  if (low !== undefined) return `must be ${noun}${above !== undefined ? '>' : '>='} ${low}${unit}`;
  if (high !== undefined) return `must be ${noun}${below !== undefined ? '<' : '<='} ${high}${unit}`;
  return bounds.whole ? 'must be a whole number' : `must be a finite number${unit && ` in${unit}`}`;
}

/** What is wrong with a number, or nothing. */
export function numberProblem(field: string, value: unknown, bounds: Bounds = {}): Problem | undefined {
  const rule = ruleOf(bounds);
  // A number in quotes shows as one: what is wrong with it has to be said.
  if (typeof value === 'string') {
    const named = /number/.test(rule) ? rule : rule.replace('must be', 'must be a number');
    return { field, rule: named, got: show(value), kind: 'type' };
  }
  if (typeof value !== 'number') return { field, rule, got: show(value), kind: 'type' };
  const fits =
    Number.isFinite(value) &&
    (bounds.above === undefined || value > bounds.above) &&
    (bounds.min === undefined || value >= bounds.min) &&
    (bounds.below === undefined || value < bounds.below) &&
    (bounds.max === undefined || value <= bounds.max) &&
    (!bounds.whole || Number.isInteger(value));
  return fits ? undefined : { field, rule, got: show(value), kind: 'range' };
}

/**
 * What is wrong with a quantity that has to be positive and of a size that nothing overflows with: within
 * a factor `reach` of 1 in its unit. A wrong sign is told before a wrong size.
 */
export function positiveProblem(
  field: string,
  value: unknown,
  unit: string,
  reach: number,
): Problem | undefined {
  return (
    numberProblem(field, value, { above: 0, unit }) ??
    numberProblem(field, value, { min: 1 / reach, max: reach, unit })
  );
}

/** What is wrong with a choice among strings, or nothing. */
export function choiceProblem(
  field: string,
  value: unknown,
  choices: readonly string[],
): Problem | undefined {
  if (typeof value === 'string' && choices.includes(value)) return undefined;
  const rule = `must be one of ${choices.map((choice) => JSON.stringify(choice)).join(', ')}`;
  return { field, rule, got: show(value), kind: typeof value === 'string' ? 'range' : 'type' };
}

/** Whether a value is an object literal or the like: not null, not an array, not a function. */
export function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** What is wrong with an object and the names of its fields, or nothing. */
export function recordProblem(field: string, value: unknown, known?: readonly string[]): Problem | undefined {
  if (!isRecord(value)) return { field, rule: 'must be an object', got: show(value), kind: 'type' };
  if (!known) return undefined;
  const stranger = Object.keys(value).find((key) => value[key] !== undefined && !known.includes(key));
  if (stranger === undefined) return undefined;
  const rule = `must have no fields but ${known.join(', ')}`;
  return { field, rule, got: show(stranger), kind: 'type' };
}

/** The error that a problem becomes at the boundary of `where`. */
export function errorOf(where: string, problem: Problem): Error {
  const text = `${where}: ${problem.field} ${problem.rule}, got ${problem.got}`;
  return problem.kind === 'type' ? new TypeError(text) : new RangeError(text);
}

/** Throws the first of the problems, if there is one. */
export function refuseAny(where: string, problems: readonly (Problem | undefined)[]): void {
  const first = problems.find((problem) => problem !== undefined);
  if (first) throw errorOf(where, first);
}

/** The number, or the error that names function, field, rule and value. */
export function requireNumber(where: string, field: string, value: unknown, bounds: Bounds = {}): number {
  refuseAny(where, [numberProblem(field, value, bounds)]);
  return value as number;
}

/** The choice, or the error that names function, field, rule and value. */
export function requireChoice<T extends string>(
  where: string,
  field: string,
  value: unknown,
  choices: readonly T[],
): T {
  refuseAny(where, [choiceProblem(field, value, choices)]);
  return value as T;
}

/** The object, or the error that names function, field, rule and value. */
export function requireRecord(
  where: string,
  field: string,
  value: unknown,
  known?: readonly string[],
): Record<string, unknown> {
  refuseAny(where, [recordProblem(field, value, known)]);
  return value as Record<string, unknown>;
}

/** The array, or the error that names function, field, rule and value. */
export function requireArray(where: string, field: string, value: unknown, least = 0): readonly unknown[] {
  if (!Array.isArray(value)) {
    throw errorOf(where, { field, rule: 'must be an array', got: show(value), kind: 'type' });
  }
  if (value.length < least) {
    throw errorOf(where, {
      field,
      rule: `must have at least ${least} ${least === 1 ? 'entry' : 'entries'}`,
      got: `${value.length}`,
      kind: 'range',
    });
  }
  return value;
}
