import { recordProblem, refuseAny, show } from '../internal/check.js';
import type { Motion } from './walk.js';

/**
 * The one door to a motion for everything downstream: throws unless `motion` is a planned motion.
 *
 * @throws TypeError where it is not an object, RangeError where its `kind` is unknown
 */
export function requireMotion(where: string, motion: unknown): Motion {
  refuseAny(where, [recordProblem('motion', motion)]);
  const { kind } = motion as { kind?: unknown };
  if (kind !== 'walk') {
    const rule = 'must be "walk", the kind of what planWalk returns';
    refuseAny(where, [{ field: 'motion.kind', rule, got: show(kind), kind: 'range' }]);
  }
  return motion as Motion;
}
