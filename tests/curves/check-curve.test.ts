import { describe, expect, it } from 'vitest';
import {
  blendCurves,
  type Curve,
  checkCurve,
  evaluate,
  evaluateJet,
  findExtremes,
} from '../../src/curves/index.js';

const flat = { span: 0.1, slope: 0 };
const key = (time: number, more = {}) => ({ time, value: 1, in: flat, out: flat, ...more });
const open = (keys: readonly unknown[]): Curve =>
  ({ keys, start: 0, before: 'holds', after: 'holds' }) as unknown as Curve;

describe('checkCurve', () => {
  it('names everything that is wrong at once, unknown fields and holes among the rest', () => {
    const sparse = [key(0)];
    sparse[2] = key(1, { value: 'x', colour: 1, in: { span: -1, slope: null, weight: 1 } }) as never;
    const found = checkCurve({ ...open(sparse), start: Number.NaN, speed: 2 });
    expect(found.map(({ field, kind }) => `${field} ${kind}`)).toEqual([
      'curve type',
      'start range',
      'keys[1] type',
      'keys[2] type',
      'keys[2].value type',
      'keys[2].in type',
      'keys[2].in.span range',
      'keys[2].in.slope type',
    ]);
  });

  it('speaks of the argument that the caller gave', () => {
    const good = open([key(0), key(1)]);
    expect(() => blendCurves({ ...good, colour: 1 } as never, good, 0)).toThrow(
      'blendCurves: first must have no fields but keys',
    );
    expect(() => blendCurves(good, 3 as never, 0)).toThrow('blendCurves: second must be an object, got 3');
    expect(() => findExtremes(open([undefined]))).toThrow(
      'findExtremes: keys[0] must be an object, got undefined',
    );
  });

  it('refuses numbers so large, or keys so near, that something would overflow, and nothing smaller', () => {
    const most = 1e60;
    const steep = { span: 1 / 3, slope: most };
    const widest = [key(0, { value: -most, out: steep }), key(1, { value: most, in: steep })];
    expect(checkCurve(open(widest))).toEqual([]);
    for (let i = 0; i <= 20; i++) {
      const { value, velocity, acceleration } = evaluateJet(open(widest), i / 20);
      expect([value, velocity, acceleration].every(Number.isFinite)).toBe(true);
    }
    const near = [
      key(0, { in: { span: 0, slope: 0 }, out: { span: 0, slope: 0 } }),
      key(1.1e-60, { value: most }),
    ];
    near[1].in = { span: 0, slope: 0 };
    expect(Number.isFinite(evaluateJet(open(near), 5e-61).acceleration)).toBe(true);
    expect(Number.isFinite(evaluate(open(near), 5e-61))).toBe(true);
    for (const more of [
      { value: 1e61 },
      { time: 1e61 },
      { arrives: -1e61 },
      { out: { span: 0, slope: 1e61 } },
    ]) {
      expect(checkCurve(open([key(0), { ...key(1), ...more }]))[0].rule).toMatch(
        /^must be in \[-1e\+60, 1e\+60\]/,
      );
    }
    expect(checkCurve(open([key(0), key(1e-61)]))[0].rule).toBe(
      'must be 1e-60 s or more past the key before it',
    );
    expect(checkCurve({ ...open([key(0)]), period: 1e-61 })[0].field).toBe('period');
  });

  const side = (span: number) => ({ span, slope: 0 });
  const loop = (keys: readonly unknown[], more = {}): Curve =>
    ({ ...open(keys), period: 1, before: 'loops', after: 'loops', ...more }) as Curve;
  const only = (curve: unknown): string => {
    const problems = checkCurve(curve);
    expect(problems.length).toBe(1);
    return `${problems[0].field} ${problems[0].rule}, ${problems[0].got}, ${problems[0].kind}`;
  };

  it('refuses handles with which time would run backwards, naming the longer one, and takes rounded ones', () => {
    const pair = (out: number, into: number) =>
      open([key(0, { out: side(out) }), key(1, { in: side(into) })]);
    const rule =
      'must be in [0, 1] s, the length of its segment, or short enough for time not to run backwards';
    expect(only(pair(1.004, 1.003))).toBe(`keys[0].out.span ${rule}, 1.004, range`);
    expect(only(pair(0.9, 1.2))).toBe(`keys[1].in.span ${rule}, 1.2, range`);
    expect(checkCurve(pair(1 + 1e-10, 1 + 1e-10))).toEqual([]);
    expect(checkCurve(pair(0.1, 1.2))).toEqual([]);
    const line = open([key(0, { out: side(9), next: 'line' }), key(1, { in: side(9) })]);
    expect(checkCurve(line)).toEqual([]);
  });

  it('looks at the segment across the seam of a cycle as at any other', () => {
    const keys = [key(0), key(0.75, { in: side(0), out: side(0.3), next: 'curve' })];
    expect(only(loop([{ ...keys[0], in: side(0.2) }, keys[1]]))).toMatch(
      /^keys\[1\]\.out\.span must be in \[0, 0\.25\] s/,
    );
    expect(
      only(
        loop([
          { ...keys[0], in: side(0.6) },
          { ...keys[1], out: side(0.2) },
        ]),
      ),
    ).toMatch(/^keys\[0\]\.in\.span must be in \[0, 0\.25\] s/);
    expect(only(loop([key(0), key(1)]))).toBe('keys[1].time must be < 1 s, where the cycle ends, 1, range');
    expect(only({ ...open([key(0)]), start: 0.5 })).toBe('keys[0].time must be >= start, 0.5 s, 0, range');
  });

  it('refuses what only a cycle has on a curve without a period', () => {
    expect(only({ ...open([key(0)]), gain: 1 })).toBe('gain must be 0 on a curve without a period, 1, range');
    expect(checkCurve({ ...open([key(0)]), gain: 0 })).toEqual([]);
    for (const kind of ['loops', 'travels']) {
      for (const which of ['before', 'after']) {
        expect(only({ ...open([key(0)]), [which]: kind })).toBe(
          `${which} must be "holds" or "straight" on a curve without a period, "${kind}", range`,
        );
      }
    }
  });

  it('refuses words, metadata and locks that are none', () => {
    expect(only({ ...open([key(0)]), of: 'hand' })).toBe(
      'of must be one of "centreOfMass", "root", "hand", range',
    );
    expect(only({ ...open([key(0)]), meta: 1 })).toBe('meta must be an object, 1, type');
    expect(only(open([key(0, { meta: [] })]))).toBe('keys[0].meta must be an object, an array of 0, type');
    expect(only(open([key(0, { locked: 1 })]))).toBe('keys[0].locked must be true or false, 1, type');
    expect(only(open([key(0, { next: 'step' })]))).toBe(
      'keys[0].next must be one of "curve", "line", "hold", "step", range',
    );
    expect(only(open([key(0, { in: side(1e61) })]))).toBe(
      'keys[0].in.span must be in [-1e+60, 1e+60] s, 1e+61, range',
    );
  });
});
