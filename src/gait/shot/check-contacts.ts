import {
  choiceProblem,
  isRecord,
  numberProblem,
  type Problem,
  recordProblem,
  show,
} from '../../internal/check.js';
import { walkSpecProblems } from '../check-walk-spec.js';
import type { ChosenContact, ShotSpec } from './shot-spec.js';

/** Places and times of contacts, in m and s. */
const REACH = 1e5;

/** Fewest and most contacts: two that are down, and two more. */
const COUNT = { min: 4, max: 10000 } as const;

/** Least time in s between two landings, and by which a lift comes after one and before the next. */
const LEAST_TIME = 0.01;

/** What does not go with chosen contacts. */
const ELSEWHERE = ['firstFoot', 'wholeFrames', 'variation'] as const;

/** All that is wrong with the contacts of a spec. */
export function chosenProblems(spec: ShotSpec): Problem[] {
  const problems: Problem[] = ELSEWHERE.filter((name) => spec[name] !== undefined).map((name) => ({
    field: name,
    rule: 'must be left out beside contacts, which are kept as they are',
    got: show(spec[name]),
    kind: 'range',
  }));
  if (spec.still?.before !== undefined) {
    const rule = 'must be left out beside contacts, which have their times';
    problems.push({ field: 'still.before', rule, got: show(spec.still.before), kind: 'range' });
  }
  problems.push(...dialProblems(spec.dials));
  const contacts: unknown = spec.contacts;
  if (!Array.isArray(contacts)) {
    return [...problems, { field: 'contacts', rule: 'must be an array', got: show(contacts), kind: 'type' }];
  }
  const { min, max } = COUNT;
  if (contacts.length < min || contacts.length > max) {
    const rule = `must have from ${min} to ${max} entries`;
    return [...problems, { field: 'contacts', rule, got: String(contacts.length), kind: 'range' }];
  }
  const shapes = contacts.flatMap((contact, i) => contactProblems(contact, `contacts[${i}]`));
  return [...problems, ...(shapes.length > 0 ? shapes : orderProblems(contacts, spec))];
}

/** The dials that go with contacts are the walk's, but for what the contacts say already. */
function dialProblems(dials: unknown): Problem[] {
  if (dials === undefined) return [];
  if (!isRecord(dials))
    return [{ field: 'dials', rule: 'must be an object', got: show(dials), kind: 'type' }];
  const told = ['pace', 'body', 'gravity', 'firstFoot', 'carry', 'stepWidth', 'stepFactor', 'uneven'].find(
    (name) => dials[name] !== undefined,
  );
  if (told) {
    const rule = `must have no ${told}, which the contacts or the shot give`;
    return [{ field: 'dials', rule, got: show(dials[told]), kind: 'type' }];
  }
  return walkSpecProblems({ ...dials, pace: 'ordinary' }).map((problem) => ({
    ...problem,
    field: problem.field === 'spec' ? 'dials' : `dials.${problem.field}`,
  }));
}

function contactProblems(contact: unknown, at: string): Problem[] {
  const shape = recordProblem(at, contact, ['foot', 'land', 'lift', 'plant']);
  if (shape) return [shape];
  const { foot, land, lift, plant } = contact as Record<string, unknown>;
  const time = { min: -REACH, max: REACH, unit: 's' };
  const length = { min: -REACH, max: REACH, unit: 'm' };
  const angle = { min: -100, max: 100, unit: 'rad' };
  const problems = [
    choiceProblem(`${at}.foot`, foot, ['left', 'right']),
    numberProblem(`${at}.land`, land, time),
    lift === undefined ? undefined : numberProblem(`${at}.lift`, lift, time),
    recordProblem(`${at}.plant`, plant, ['forward', 'side', 'height', 'heading', 'pitch']),
  ];
  if (isRecord(plant)) {
    const optional = (name: string, bounds: typeof length) =>
      plant[name] === undefined ? undefined : numberProblem(`${at}.plant.${name}`, plant[name], bounds);
    problems.push(
      numberProblem(`${at}.plant.forward`, plant.forward, length),
      numberProblem(`${at}.plant.side`, plant.side, length),
      optional('height', length),
      optional('heading', angle),
      optional('pitch', angle),
    );
  }
  return problems.filter((problem) => problem !== undefined);
}

/** What is wrong between contacts: feet in turn, times in order, both ends as they are asked for. */
function orderProblems(
  contacts: readonly ChosenContact[],
  { from = 'standing', to = 'standing' }: ShotSpec,
): Problem[] {
  const problems: Problem[] = [];
  const refuse = (i: number, name: keyof ChosenContact, rule: string): void => {
    const got = show(contacts[i][name]);
    problems.push({ field: `contacts[${i}].${name}`, rule, got, kind: 'range' });
  };
  const last = contacts.length - 1;
  const standing = from === 'standing';
  if (standing && contacts[0].land !== 0) refuse(0, 'land', 'must be 0 s where the shot begins standing');
  if (contacts[1].land !== 0) refuse(1, 'land', 'must be 0 s, when the shot begins');
  contacts.forEach(({ foot, land, lift }, i) => {
    if (i > 0 && foot === contacts[i - 1].foot) refuse(i, 'foot', 'must be the other foot than before');
    if (i > (standing ? 1 : 0) && !(land >= contacts[i - 1].land + LEAST_TIME)) {
      refuse(i, 'land', `must be at least ${LEAST_TIME} s after the landing before`);
    }
    if (lift === undefined) return;
    if (to === 'standing' && i >= last - 1) {
      refuse(i, 'lift', 'must be left out: the foot stands on');
      return;
    }
    const first = standing && i === 0;
    const least = (first ? 0 : (contacts[i + 1]?.land ?? land)) + LEAST_TIME;
    const most = (contacts[i + 2]?.land ?? Number.POSITIVE_INFINITY) - LEAST_TIME;
    if (!(lift >= least && lift <= most)) {
      const rule = `must be at least ${LEAST_TIME} s after the other foot lands and before this one lands again`;
      refuse(i, 'lift', rule);
    }
  });
  return problems;
}
