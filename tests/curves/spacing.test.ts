import { describe, expect, it } from 'vitest';
import { arcSpacing, type Curve } from '../../src/curves/index.js';
import { assertClose } from '../support/assert-close.js';

/** The promise of arcSpacing for smooth curves, and beside vertical tangents. */
const SMOOTH = 1e-9;
const VERTICAL = 2e-4;

const side = (span: number, slope = 0) => ({ span, slope });
const open = (keys: Curve['keys']): Curve => ({ keys, start: 0, before: 'holds', after: 'holds' });

describe('arcSpacing', () => {
  const wave = (phase: number): Curve =>
    open(
      Array.from({ length: 41 }, (_, i) => {
        const angle = (i * Math.PI) / 5 + phase;
        const tangent = side(1 / 3, (Math.PI / 5) * Math.cos(angle));
        return { time: i, value: Math.sin(angle), in: tangent, out: tangent };
      }),
    );
  const path = [wave(0), wave(1)];
  const sum = (list: readonly number[]): number => list.reduce((a, b) => a + b, 0);
  const steps = (n: number): number[] => Array.from({ length: n + 1 }, (_, i) => (40 * i) / n);

  it('gives the same way in one piece, in a few and in hundreds', () => {
    const whole = sum(arcSpacing(path, steps(40)));
    assertClose(sum(arcSpacing(path, [0, 40])), whole, { rel: SMOOTH });
    assertClose(sum(arcSpacing(path, steps(900))), whole, { rel: SMOOTH });
  });

  it('leaves out jumps, in whatever cycle, and beside a vertical tangent too', () => {
    // Up by 3, a jump down by 2, down by 1: four in a cycle.
    const flat = side(0);
    const saw: Curve = {
      keys: [
        { time: 0, value: 0, in: flat, out: flat, next: 'line' },
        { time: 0.5, value: 1, arrives: 3, in: flat, out: flat, next: 'line' },
      ],
      start: 0,
      period: 1,
      before: 'loops',
      after: 'loops',
    };
    assertClose(arcSpacing([saw], [0.1, 3.7])[0], 14.8, { rel: SMOOTH });
    assertClose(arcSpacing([saw], [5.1, 8.7])[0], 14.8, { rel: SMOOTH });
    assertClose(arcSpacing([saw], [-8.9, -5.3])[0], 14.8, { rel: SMOOTH });
    const wall = open([
      { time: 0, value: 0, in: flat, out: side(1) },
      { time: 1, value: 9, arrives: 1, in: flat, out: flat },
    ]);
    assertClose(arcSpacing([wall], [0, 1])[0], 1, { rel: VERTICAL });
    assertClose(arcSpacing([wall], [0, 2])[0], 1, { rel: VERTICAL });
  });

  it('refuses times that do not rise, by field', () => {
    expect(() => arcSpacing(path, [0, 0])).toThrow('arcSpacing: times[1] must be > 0 s, got 0');
    expect(() => arcSpacing(path, [0, 1, Number.NaN])).toThrow('arcSpacing: times[2] must be > 1 s, got NaN');
    expect(() => arcSpacing([], [0, 1])).toThrow('arcSpacing: curves must have at least 1 entry, got 0');
  });
});
