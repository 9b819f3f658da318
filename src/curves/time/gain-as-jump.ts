import { errorOf } from '../../internal/check.js';
import type { Curve } from '../curve.js';
import { insertKey } from '../edit/insert-key.js';

/**
 * The same cycle without a gain: what it drops where a new one begins is a jump of the key there, which is
 * inserted if there is none. For a curve that does not travel; one without a gain is given back as it is.
 */
export function gainAsJump(where: string, curve: Curve): Curve {
  const { gain: dropped = 0, ...rest } = curve;
  if (dropped === 0) return curve;
  const { keys, start } = curve;
  const final = keys[keys.length - 1];
  const inside = keys[0].time > start;
  if (inside && (final.next ?? 'curve') === 'curve' && (keys[0].locked || final.locked)) {
    const field = final.locked ? `keys[${keys.length - 1}]` : 'keys[0]';
    const rule =
      'must not be locked: the gain is dropped inside the segment beside it, which needs a key there';
    throw errorOf(where, { field, rule, got: 'a locked key', kind: 'range' });
  }
  const [first, ...others] = (inside ? insertKey(curve, start) : curve).keys;
  return { ...rest, keys: [{ ...first, arrives: (first.arrives ?? first.value) + dropped }, ...others] };
}
