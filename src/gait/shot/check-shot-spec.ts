import {
  type Bounds,
  choiceProblem,
  isRecord,
  numberProblem,
  type Problem,
  positiveProblem,
  recordProblem,
  show,
} from '../../internal/check.js';
import { bodyProblems, resolveBody } from '../body.js';
import { WALK_FIELDS, walkSpecProblems } from '../check-walk-spec.js';
import { chosenProblems } from './check-contacts.js';
import type { ShotSpec, ShotStretch, StretchedSpec } from './shot-spec.js';

const FIELDS = [
  'body',
  'gravity',
  'carry',
  'from',
  'to',
  'firstFoot',
  'still',
  'wholeFrames',
  'variation',
  'stretches',
  'contacts',
  'dials',
];
const ENDS = ['standing', 'walking'];
const SIDES = ['left', 'right'];

/** The fields of a stretch that are not the walk's. */
const OWN = ['distance', 'duration', 'steps', 'turn', 'slope', 'stairs'];

/** Steps that vary more are no walk any more. */
const VARIATION = {
  seed: { min: 0, max: 2 ** 32 - 1, whole: true },
  time: { min: 0, max: 0.15 },
  length: { min: 0, max: 0.15 },
} as const;

/** Tightest turn in m, and most heading in rad that one stretch may turn by. */
const TURN = { least: 0.05, most: 100 } as const;

/** Treads in m. */
const STAIR = 1e3;

/** The highest riser that can be climbed on two feet, in leg lengths; taken downwards too. Warren 1984, from memory. */
const RISER = 0.88;

/** The fields of a walk that the whole shot gives. */
const SHARED = ['body', 'gravity', 'carry', 'firstFoot'] as const;

/** All fields of a stretch. */
const STRETCH = [...OWN, ...WALK_FIELDS.filter((name) => !SHARED.some((other) => other === name))];

/** Shots are at most this long, in s and in m, and have at most this many steps and stretches. */
const REACH = 1e5;
const MOST_STEPS = 10000;
const MOST_STRETCHES = 200;

/** All that is wrong with a shot spec, in the order of its fields; empty where it is valid. */
export function shotSpecProblems(spec: unknown): Problem[] {
  const shape = recordProblem('spec', spec, FIELDS);
  if (shape) return [shape];
  const given = spec as ShotSpec;
  const { body, gravity, carry } = given;
  const problems = walkSpecProblems({ pace: 'ordinary', body, gravity, carry });
  const choose = (field: string, value: unknown, choices: readonly string[]): void => {
    const problem = value === undefined ? undefined : choiceProblem(field, value, choices);
    if (problem) problems.push(problem);
  };
  choose('from', given.from, ENDS);
  choose('to', given.to, ENDS);
  choose('firstFoot', given.firstFoot, SIDES);
  problems.push(
    ...numbersIn('still', given.still, {
      before: { min: 0, max: REACH, unit: 's' },
      after: { min: 0, max: REACH, unit: 's' },
    }),
    ...numbersIn('wholeFrames', given.wholeFrames, { fps: { above: 0, max: 1e4, unit: 'Hz' } }, 'fps'),
    ...numbersIn('variation', given.variation, VARIATION, 'seed'),
  );
  if (given.variation !== undefined && given.wholeFrames !== undefined) {
    const rule = 'must not be given together with wholeFrames';
    problems.push({ field: 'variation', rule, got: 'an object', kind: 'range' });
  }
  if ((given.stretches === undefined) === (given.contacts === undefined)) {
    const got = given.stretches === undefined ? 'neither' : 'both';
    const rule = 'must have exactly one of stretches and contacts';
    return [...problems, { field: 'spec', rule, got, kind: 'range' }];
  }
  if (given.contacts !== undefined) return [...problems, ...chosenProblems(given)];
  if (given.dials !== undefined) {
    const rule = 'must be left out beside stretches, which have dials of their own';
    problems.push({ field: 'dials', rule, got: show(given.dials), kind: 'range' });
  }
  if (!Array.isArray(given.stretches)) {
    const got = show(given.stretches);
    return [...problems, { field: 'stretches', rule: 'must be an array', got, kind: 'type' }];
  }
  return [...problems, ...stretchListProblems(given as StretchedSpec)];
}

/** All that is wrong with an optional record of numbers, of which one may be required. */
function numbersIn(
  field: string,
  given: unknown,
  bounds: Readonly<Record<string, Bounds>>,
  required?: string,
): Problem[] {
  if (given === undefined) return [];
  const shape = recordProblem(field, given, Object.keys(bounds));
  if (shape) return [shape];
  const values = given as Record<string, unknown>;
  return Object.entries(bounds)
    .filter(([name]) => values[name] !== undefined || name === required)
    .map(([name, bound]) => numberProblem(`${field}.${name}`, values[name], bound))
    .filter((problem) => problem !== undefined);
}

function stretchListProblems({ stretches, body, to = 'standing' }: StretchedSpec): Problem[] {
  const count = stretches.length;
  if (count < 1 || count > MOST_STRETCHES) {
    const rule = `must have from 1 to ${MOST_STRETCHES} entries`;
    return [{ field: 'stretches', rule, got: String(count), kind: 'range' }];
  }
  const leg = bodyProblems(body).length > 0 ? Number.POSITIVE_INFINITY : resolveBody(body).legLength;
  const problems = stretches.flatMap((stretch, k) => stretchProblems(stretch, `stretches[${k}]`, leg));
  if (problems.length > 0 || to !== 'standing' || count > 1 || stretches[0].steps !== 1) return problems;
  const rule = 'must be >= 2 where the shot ends standing: one step, and one that closes';
  return [{ field: 'stretches[0].steps', rule, got: '1', kind: 'range' }];
}

/** What is wrong with a stretch; `leg` is the leg's length in m, where it is known. */
function stretchProblems(stretch: unknown, at: string, leg: number): Problem[] {
  if (!isRecord(stretch)) return [{ field: at, rule: 'must be an object', got: show(stretch), kind: 'type' }];
  const shared = SHARED.find((name) => stretch[name] !== undefined);
  if (shared) {
    const rule = `must have no ${shared}, which is the shot's`;
    return [{ field: at, rule, got: show(stretch[shared]), kind: 'type' }];
  }
  const stranger = recordProblem(at, stretch, STRETCH);
  if (stranger) return [stranger];
  const dials: Record<string, unknown> = { pace: 'ordinary' };
  for (const [name, value] of Object.entries(stretch)) {
    if (value !== undefined && !OWN.includes(name)) dials[name] = value;
  }
  const problems = walkSpecProblems(dials).map((problem) => ({
    ...problem,
    field: `${at}.${problem.field}`,
  }));
  const given = stretch as unknown as ShotStretch;
  return [
    ...problems,
    ...extentProblems(given, at),
    ...turnProblems(given.turn, at),
    ...floorProblems(given, at, leg),
  ];
}

function turnProblems(turn: unknown, at: string): Problem[] {
  if (turn === undefined) return [];
  const shape = recordProblem(`${at}.turn`, turn, ['radius', 'by']);
  if (shape) return [shape];
  const { radius, by } = turn as Record<string, unknown>;
  if ((radius === undefined) === (by === undefined)) {
    const got = radius === undefined ? 'neither' : 'both';
    return [{ field: `${at}.turn`, rule: 'must have exactly one of radius and by', got, kind: 'range' }];
  }
  const problem =
    radius === undefined
      ? numberProblem(`${at}.turn.by`, by, { min: -TURN.most, max: TURN.most, unit: 'rad' })
      : numberProblem(`${at}.turn.radius`, radius, { min: -REACH, max: REACH, unit: 'm' });
  if (problem) return [problem];
  if (radius === undefined || Math.abs(radius as number) >= TURN.least) return [];
  const rule = `must be at least ${TURN.least} m to either side`;
  return [{ field: `${at}.turn.radius`, rule, got: String(radius), kind: 'range' }];
}

function floorProblems(
  { slope, stairs, steps, pace, uneven }: ShotStretch,
  at: string,
  leg: number,
): Problem[] {
  const problems = [
    slope === undefined ? undefined : numberProblem(`${at}.slope`, slope, { min: -1, max: 1 }),
  ];
  if (stairs === undefined) return problems.filter((problem) => problem !== undefined);
  const refuse = (field: string, rule: string, got: unknown): Problem => ({
    field: `${at}.${field}`,
    rule,
    got: show(got),
    kind: 'range',
  });
  if (slope !== undefined) problems.push(refuse('slope', 'must not be given together with stairs', slope));
  const shape = recordProblem(`${at}.stairs`, stairs, ['riser', 'tread']);
  if (shape) problems.push(shape);
  else {
    problems.push(
      numberProblem(`${at}.stairs.riser`, stairs.riser, { unit: 'm' }),
      positiveProblem(`${at}.stairs.tread`, stairs.tread, 'm', STAIR),
    );
    if (Number.isFinite(stairs.riser) && Math.abs(stairs.riser) > RISER * leg) {
      const rule = `must be at most ${RISER} of the leg up or down, ${(RISER * leg).toFixed(2)} m`;
      problems.push(refuse('stairs.riser', rule, stairs.riser));
    }
  }
  if (steps === undefined) problems.push(refuse('steps', 'must be given on stairs', steps));
  if (isRecord(pace) && pace.strideLength !== undefined) {
    const rule = 'must be left out on stairs, where a step is as long as the tread';
    problems.push(refuse('pace.strideLength', rule, pace.strideLength));
  }
  if (uneven !== undefined) problems.push(refuse('uneven', 'must be left out on stairs', uneven));
  return problems.filter((problem) => problem !== undefined);
}

function extentProblems(stretch: ShotStretch, at: string): Problem[] {
  const { distance, duration, steps } = stretch;
  const given = [distance, duration, steps].filter((value) => value !== undefined);
  if (given.length !== 1) {
    const rule = 'must have exactly one of distance, duration and steps';
    return [{ field: at, rule, got: String(given.length), kind: 'range' }];
  }
  return [
    distance === undefined
      ? undefined
      : numberProblem(`${at}.distance`, distance, { above: 0, max: REACH, unit: 'm' }),
    duration === undefined
      ? undefined
      : numberProblem(`${at}.duration`, duration, { above: 0, max: REACH, unit: 's' }),
    steps === undefined
      ? undefined
      : numberProblem(`${at}.steps`, steps, { min: 1, max: MOST_STEPS, whole: true }),
  ].filter((problem) => problem !== undefined);
}

/**
 * Every problem of a shot spec at once, for tools that show a form; `planShot` throws the first of them.
 *
 * @param spec - anything
 * @returns the problems in the order of the spec's fields, empty where the spec is well formed
 *
 * @example
 * ```ts
 * import { checkShotSpec } from 'underfoot';
 *
 * const problems = checkShotSpec({ from: 'sitting', stretches: [{ steps: 0 }] });
 * console.log(problems.map(({ field }) => field).join(', ')); // → from, stretches[0].steps
 * ```
 */
export function checkShotSpec(spec: unknown): readonly Problem[] {
  return shotSpecProblems(spec);
}
