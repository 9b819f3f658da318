import fc from 'fast-check';
import type { BouncePart } from '../../secondary/bounce-part.js';
import type { ClothPart } from '../../secondary/cloth-part.js';
import type { StrandPart } from '../../secondary/strand-part.js';
import { between, spread } from './numbers.js';

const dampedBy = fc.constantFrom('parent' as const, 'air' as const);

/** Damping ratios about the seams: none to speak of, critical to the last digits, and far past it. */
const damping = fc.oneof(fc.constantFrom(0.01, 1, 1 - 1e-9, 1 + 1e-9), spread(0.01, 5));

/** Heights, fore and aft and sides of their own, or one number for the height alone. */
const axes = (number: fc.Arbitrary<number>) =>
  fc.oneof(
    number,
    fc.record({ height: number, forward: number, side: number }, { requiredKeys: ['height'] }),
  );

/**
 * Parts that bounce, slow to quick, barely damped to far past critical, on one axis or several. Without
 * stops, so that the answer on a loop is exact.
 *
 * @example
 * ```ts
 * import fc from 'fast-check';
 * import { followBounce, planWalk } from 'underfoot';
 * import { bounceParts } from 'underfoot/testing';
 *
 * const walk = planWalk({ pace: 'ordinary' });
 * const sags = fc.property(bounceParts, (part) => followBounce(walk, part).sag <= 0);
 * console.log(fc.check(sags, { numRuns: 50 }).failed); // → false
 * ```
 */
export const bounceParts: fc.Arbitrary<BouncePart> = fc.record(
  { frequencyHz: axes(spread(0.3, 30)), dampingRatio: damping, dampedBy },
  { requiredKeys: ['frequencyHz', 'dampingRatio'] },
);

const links = fc.integer({ min: 1, max: 8 });

/** Strands that hang plumb, from a lash to a bell rope: any length, taper, weight at the tip and damping. */
export const strandParts: fc.Arbitrary<StrandPart> = fc.record(
  {
    length: spread(0.02, 3),
    links,
    taper: fc.oneof(fc.constant(1), spread(0.05, 20)),
    tipMass: fc.oneof(fc.constant(0), spread(0.01, 5)),
    dampingRatio: fc.oneof(fc.constantFrom(0.05, 1), spread(0.05, 3)),
    dampedBy,
  },
  { requiredKeys: ['length', 'links', 'dampingRatio'] },
);

/** Skirts and panels that hang plumb. */
export const clothParts: fc.Arbitrary<ClothPart> = fc
  .record({
    length: spread(0.1, 1.5),
    links: fc.integer({ min: 1, max: 4 }),
    dampingRatio: between(0.1, 1),
    strands: fc.integer({ min: 2, max: 8 }),
    ring: fc.boolean(),
    radius: spread(0.02, 1),
    rippleHz: fc.oneof(fc.constant(0), between(0.5, 6)),
  })
  .filter(({ ring, strands }) => !ring || strands > 2);
