import { describe, expect, it } from 'vitest';
import { createFollower, planWalk } from '../../src/index.js';
import { ownExp, ROOTS } from '../../src/secondary/own-math.js';

describe('importing the library', () => {
  it('fills no tables; the first use does', () => {
    expect(typeof createFollower).toBe('function');
    expect(planWalk({ pace: 'ordinary' }).kind).toBe('walk');
    expect(ROOTS[0]).toBe(0);
    expect(ownExp(0)).toBe(1);
    expect(ROOTS[0]).toBe(1);
  });
});
