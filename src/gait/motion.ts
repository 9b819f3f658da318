import { recordProblem, refuseAny, show } from '../internal/check.js';
import type { Shot } from './shot/shot.js';
import type { Motion, Walk } from './walk.js';

/**
 * The one door to a motion for everything downstream: throws unless `motion` is a planned motion.
 *
 * @throws TypeError where it is not an object, RangeError where its `kind` is unknown
 */
export function requireMotion(where: string, motion: unknown): Motion {
  refuseAny(where, [recordProblem('motion', motion)]);
  const { kind } = motion as { kind?: unknown };
  if (kind !== 'walk' && kind !== 'shot' && kind !== 'run') {
    const rule = 'must be "walk", "shot" or "run", the kinds of what planWalk, planShot and planRun return';
    refuseAny(where, [{ field: 'motion.kind', rule, got: show(kind), kind: 'range' }]);
  }
  return motion as Motion;
}

/**
 * The same for what needs a motion that repeats, such as an exact series: throws unless it is a walk.
 *
 * @throws TypeError where it is not an object, RangeError where it is not a walk
 */
export function requireWalk(where: string, motion: unknown): Walk {
  return requireKind(where, motion, 'walk', 'planWalk') as Walk;
}

/**
 * The same for what only a motion that begins and ends has.
 *
 * @throws TypeError where it is not an object, RangeError where it is not a shot
 */
export function requireShot(where: string, motion: unknown): Shot {
  return requireKind(where, motion, 'shot', 'planShot') as Shot;
}

function requireKind(where: string, motion: unknown, kind: Motion['kind'], maker: string): Motion {
  const given = requireMotion(where, motion);
  if (given.kind !== kind) {
    const rule = `must be ${show(kind)}, the kind of what ${maker} returns`;
    refuseAny(where, [{ field: 'motion.kind', rule, got: show(given.kind), kind: 'range' }]);
  }
  return given;
}
