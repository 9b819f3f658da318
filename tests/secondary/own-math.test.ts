import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ownExp, ownSinCos } from '../../src/secondary/own-math.js';
import { assertClose } from '../support/assert-close.js';

// Two and a half units in the last place.
const LAST_PLACES = { rel: 5e-16, abs: 0 };
const SINE = { abs: 4e-16 };

describe('the exponential of our own', () => {
  it('agrees with the engine to the last places', () => {
    fc.assert(
      fc.property(fc.double({ min: -700, max: 700, noNaN: true }), (x) =>
        assertClose(ownExp(x), Math.exp(x), LAST_PLACES),
      ),
    );
  });

  it('is 1 at 0 and 0 far down, never negative or not a number', () => {
    expect(ownExp(0)).toBe(1);
    expect(ownExp(-709)).toBe(0);
    expect(ownExp(-1e9)).toBe(0);
    expect(ownExp(-707.9)).toBeGreaterThan(0);
  });
});

describe('sine and cosine of our own', () => {
  it('agree with the engine up to a million radians', () => {
    const out = new Float64Array(2);
    const near = fc.integer({ min: -600_000, max: 600_000 }).map((n) => (n * Math.PI) / 2);
    const anywhere = fc.double({ min: -1e6, max: 1e6, noNaN: true });
    fc.assert(
      fc.property(fc.oneof(near, anywhere, fc.double({ min: -1, max: 1, noNaN: true })), (x) => {
        ownSinCos(x, out);
        assertClose(out[0], Math.sin(x), SINE);
        assertClose(out[1], Math.cos(x), SINE);
      }),
    );
  });
});
