import { errorOf, recordProblem, refuseAny, show } from '../internal/check.js';
import type { Shot } from './shot/shot.js';
import type { Motion, Walk } from './walk.js';

type Kind = Motion['kind'];

/** What makes each kind of motion, and what of it everything reads. */
const KINDS: Readonly<Record<Kind, { readonly maker: string; readonly parts: readonly string[] }>> = {
  walk: { maker: 'planWalk', parts: ['body', 'pace', 'stance', 'total', 'centre', 'root'] },
  shot: { maker: 'planShot', parts: ['body', 'cycles', 'steps', 'handOvers', 'line', 'base', 'layers'] },
  run: { maker: 'planRun', parts: ['body', 'pace', 'stance', 'total', 'centre', 'root'] },
};
const ALL: readonly Kind[] = ['walk', 'shot', 'run'];

/** A list in words, such as `a, b and c`. */
const list = (words: readonly string[], last: string): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} ${last} ${words[words.length - 1]}`;

/**
 * The one door to a motion for everything downstream: throws unless `motion` is a planned motion.
 *
 * @throws TypeError where it is not an object or not a whole motion, RangeError where its `kind` is unknown
 */
export function requireMotion(where: string, motion: unknown): Motion {
  return requireKind(where, motion, ALL);
}

/** The same for what takes no run. */
export function requireWalkOrShot(where: string, motion: unknown): Walk | Shot {
  return requireKind(where, motion, ['walk', 'shot']) as Walk | Shot;
}

/**
 * The same for what needs a motion that repeats, such as an exact series: throws unless it is a walk.
 *
 * @throws TypeError where it is not an object or not a whole walk, RangeError where it is not a walk
 */
export function requireWalk(where: string, motion: unknown): Walk {
  return requireKind(where, motion, ['walk']) as Walk;
}

/**
 * The same for what only a motion that begins and ends has.
 *
 * @throws TypeError where it is not an object or not a whole shot, RangeError where it is not a shot
 */
export function requireShot(where: string, motion: unknown): Shot {
  return requireKind(where, motion, ['shot']) as Shot;
}

function requireKind(where: string, motion: unknown, kinds: readonly Kind[]): Motion {
  refuseAny(where, [recordProblem('motion', motion)]);
  const given = motion as Readonly<Record<string, unknown>>;
  const kind = kinds.find((one) => one === given.kind);
  if (kind === undefined) {
    const makers = list(
      kinds.map((one) => KINDS[one].maker),
      'and',
    );
    const named = list(
      kinds.map((one) => show(one)),
      'or',
    );
    const rule = `must be ${named}, the ${kinds.length > 1 ? 'kinds' : 'kind'} of what ${makers} ${kinds.length > 1 ? 'return' : 'returns'}`;
    throw errorOf(where, { field: 'motion.kind', rule, got: show(given.kind), kind: 'range' });
  }
  const { maker, parts } = KINDS[kind];
  for (const name of parts) {
    const part = given[name];
    if (typeof part === 'object' && part !== null) continue;
    const rule = `must be there, as in what ${maker} returns`;
    throw errorOf(where, { field: `motion.${name}`, rule, got: show(part), kind: 'type' });
  }
  return motion as Motion;
}
