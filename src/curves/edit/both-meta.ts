import type { Curve } from '../curve.js';

interface WithMeta {
  readonly meta?: Curve['meta'];
}

/** Every field of two metadata, the first's where both have one; nothing where neither has any. */
export const bothMeta = (a: WithMeta, b: WithMeta): WithMeta =>
  a.meta || b.meta ? { meta: { ...b.meta, ...a.meta } } : {};
