import fc from 'fast-check';

/** Finite numbers of a range. */
export function between(min: number, max: number): fc.Arbitrary<number> {
  return fc.double({ min, max, noNaN: true, noDefaultInfinity: true });
}

/** Log-uniform numbers of a range above 0, so that small and large are met alike. */
export function spread(min: number, max: number): fc.Arbitrary<number> {
  return between(Math.log(min), Math.log(max)).map(Math.exp);
}

/** Evenly spread over [min, max] in a million steps: `fc.double` spends most of its draws next to zero. */
export function evenly(min: number, max: number): fc.Arbitrary<number> {
  return fc.integer({ min: 0, max: 1_000_000 }).map((n) => min + ((max - min) * n) / 1_000_000);
}
