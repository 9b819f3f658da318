import { requireCurve } from '../check-curve.js';
import type { Curve, Key } from '../curve.js';
import { piecesOf } from '../pieces.js';

/**
 * A curve whose keys moved in time, as a valid one: where the rounding of times made a segment so short that
 * time would run backwards in it, its two handles shrink by what is missing. Throws where keys fell on one time.
 */
export function settle(where: string, curve: Curve): Curve {
  const keys: Key[] = [...curve.keys];
  let changed = false;
  for (const { index, left, right, length } of piecesOf(curve)) {
    if ((left.next ?? 'curve') !== 'curve' || !(length > 0)) continue;
    const p = left.out.span / length;
    const q = right.in.span / length;
    // Both handles times k are short enough where k (p + q − √(p q)) ≤ 1.
    const excess = p + q - Math.sqrt(p * q);
    if (!(excess > 1 + 1e-9)) continue;
    const next = (index + 1) % keys.length;
    keys[index] = { ...keys[index], out: { ...left.out, span: left.out.span / excess } };
    keys[next] = { ...keys[next], in: { ...right.in, span: right.in.span / excess } };
    changed = true;
  }
  return requireCurve(where, changed ? { ...curve, keys } : curve);
}
