import { numberProblem, type Problem, recordProblem, show } from '../../internal/check.js';
import { runSpecProblems } from '../run/check-run-spec.js';
import type { RunSpec } from '../run/run.js';
import { shotSpecProblems } from '../shot/check-shot-spec.js';
import type { ShotSpec, ShotStretch } from '../shot/shot-spec.js';
import type { BodySpec, Side } from '../walk.js';

/** A part of a shot that is walked: stretches as `planShot` takes them. */
export interface WalkedPart {
  readonly walk: readonly ShotStretch[];
}

/** A part of a shot that is run, straight on and on level ground. */
export interface RunPart {
  /** Pace and dials, as `planRun` takes them. */
  readonly run: Omit<RunSpec, 'body' | 'gravity' | 'firstFoot'>;
  /** Landings of the run, whole, in [2, 10 000]; the last one is the step back to walking. */
  readonly steps: number;
}

/** What to plan: walked and run parts in turn, a walked one first and last. */
export interface RunShotSpec {
  readonly body?: BodySpec;
  /** Gravity in m/s², > 0. Default 9.80665. */
  readonly gravity?: number;
  /** How it begins and ends. Default `standing`. */
  readonly from?: ShotSpec['from'];
  readonly to?: ShotSpec['to'];
  /** The foot that steps first, or whose contact the shot begins with. Default `right`. */
  readonly firstFoot?: Side;
  /** Time in s of standing still before the first step and after the last, ≥ 0. Default 0. */
  readonly still?: ShotSpec['still'];
  readonly parts: readonly (WalkedPart | RunPart)[];
}

/** Whether a part is run. */
export function isRun(part: WalkedPart | RunPart): part is RunPart {
  return 'run' in part;
}

const FIELDS = ['body', 'gravity', 'from', 'to', 'firstFoot', 'still', 'parts'];

/** All that is wrong with the spec of a shot that runs; empty where it is valid. */
export function runShotProblems(spec: unknown): Problem[] {
  const shape = recordProblem('spec', spec, FIELDS);
  if (shape) return [shape];
  const { parts, ...rest } = spec as RunShotSpec;
  const rule = 'must be walked and run parts in turn, at least 3, a walked one first and last';
  if (!Array.isArray(parts)) return [{ field: 'parts', rule, got: show(parts), kind: 'type' }];
  // What is the whole's is told once, not for every part.
  const problems = [
    ...shotSpecProblems({ ...rest, stretches: [{ steps: 2 }] }),
    ...parts.flatMap((part, i) =>
      partProblems(`parts[${i}]`, part, { ...rest, to: i + 1 === parts.length ? rest.to : 'walking' }),
    ),
  ];
  if (problems.length > 0) return problems;
  const turns = parts.every((part, i) => isRun(part) === (i % 2 === 1));
  if (!turns || parts.length < 3 || parts.length % 2 === 0) {
    return [{ field: 'parts', rule, got: show(parts), kind: 'range' }];
  }
  return [];
}

/** What is wrong with a part by itself; `to` is how a walked one ends. */
function partProblems(
  field: string,
  part: unknown,
  { to, body }: Pick<RunShotSpec, 'to' | 'body'>,
): Problem[] {
  const named = recordProblem(field, part);
  if (named) return [named];
  const within = (problems: readonly Problem[], inner: string): Problem[] =>
    problems.map((problem) => ({ ...problem, field: `${field}.${inner}${problem.field}` }));
  if ('run' in (part as object)) {
    const shape = recordProblem(field, part, ['run', 'steps']);
    if (shape) return [shape];
    const { run, steps } = part as RunPart;
    const count = numberProblem(`${field}.steps`, steps, { min: 2, max: 10_000, whole: true });
    const strangers = recordProblem(`${field}.run`, run, [
      'pace',
      'stepFactor',
      'dutyFactor',
      'stepWidth',
      'lean',
    ]);
    if (strangers) return [strangers];
    return [...within(runSpecProblems(run), 'run.'), ...(count ? [count] : [])];
  }
  const shape = recordProblem(field, part, ['walk']);
  if (shape) return [shape];
  const { walk } = part as WalkedPart;
  if (walk === undefined)
    return [{ field: `${field}.walk`, rule: 'must be an array', got: 'undefined', kind: 'type' }];
  const problems = shotSpecProblems({ body, ...(ENDS.includes(to) ? { to } : {}), stretches: walk });
  return problems
    .filter((problem) => problem.field.startsWith('stretches'))
    .map((problem) => ({ ...problem, field: problem.field.replace(/^stretches/, `${field}.walk`) }));
}

/** What a walked part is checked to end in; anything else is told of the whole. */
const ENDS: readonly unknown[] = ['standing', 'walking'];

/** What `make` throws of the stretches that `planShot` took for a part's, told of that part. */
export function tellOfPart<T>(field: string, make: () => T): T {
  try {
    return make();
  } catch (error) {
    const found = error instanceof RangeError ? /^planShot: stretches(.*)$/s.exec(error.message) : null;
    throw found ? new RangeError(`planRunShot: ${field}.walk${found[1]}`) : error;
  }
}
