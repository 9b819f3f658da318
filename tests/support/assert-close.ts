import { expect } from 'vitest';

/** How far apart two numbers may lie: `abs` in the numbers' own unit, `rel` as a fraction of the expected one. */
export interface Tolerance {
  readonly abs?: number;
  readonly rel?: number;
}

/** Fails unless `actual` lies within `abs + rel · |expected|` of `expected`; NaN always fails. */
export function assertClose(
  actual: number,
  expected: number,
  { abs = 0, rel = 0 }: Tolerance,
  what = '',
): void {
  const bound = abs + rel * Math.abs(expected);
  const gap = Math.abs(actual - expected);
  if (!(gap <= bound)) {
    expect.fail(`${what ? `${what}: ` : ''}${actual} is ${gap} away from ${expected}, more than ${bound}`);
  }
}
