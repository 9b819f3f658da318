/** Evaluators that are wrong in one way each, and the law that has to name it. */
import { type Curve, evaluate, type Key } from '../../src/curves/index.js';
import { bezierAt, segmentsOf } from '../../src/testing/engine/segments.js';
import type { CurveEngine } from '../../src/testing/index.js';

const keyed =
  (change: (key: Key, i: number, keys: readonly Key[]) => Key): CurveEngine =>
  (curve, t) =>
    evaluate(trusting({ ...curve, keys: curve.keys.map(change) }), t);

/** Handles that would run backwards are shortened, so that a wrong engine still gives some answer. */
function trusting(curve: Curve): Curve {
  const { keys, period = 0 } = curve;
  const lengthAfter = (i: number): number =>
    i + 1 < keys.length ? keys[i + 1].time - keys[i].time : keys[0].time + period - keys[i].time || 1;
  return {
    ...curve,
    keys: keys.map((key, i) => {
      const before = i > 0 ? lengthAfter(i - 1) : lengthAfter(keys.length - 1);
      return {
        ...key,
        in: { ...key.in, span: Math.min(key.in.span, Math.abs(before)) },
        out: { ...key.out, span: Math.min(key.out.span, Math.abs(lengthAfter(i))) },
      };
    }),
  };
}

/** Takes something else for the parameter at a time. */
function bySolving(
  solve: (time: readonly [number, number, number, number], t: number) => number,
): CurveEngine {
  return (curve, t) => {
    const segment = segmentsOf(curve).find(({ time }) => t > time[0] && t < time[3]);
    if (segment?.kind !== 'curve') return evaluate(curve, t);
    return bezierAt(segment.value, solve(segment.time, t));
  };
}

const share = (time: readonly [number, number, number, number], t: number): number =>
  (t - time[0]) / (time[3] - time[0]);

const newton = ([a, b, c, d]: readonly [number, number, number, number], t: number): number => {
  let s = share([a, b, c, d], t);
  for (let i = 0; i < 5; i++) {
    const r = 1 - s;
    const slope = 3 * (r * r * (b - a) + 2 * r * s * (c - b) + s * s * (d - c));
    s -= (bezierAt([a, b, c, d], s) - t) / slope;
  }
  return s;
};

/** What is wrong, an evaluator that does it, and the law that has to name it. */
export const PLANTED_IN_ENGINES: readonly (readonly [string, CurveEngine, string])[] = [
  [
    'slopes three times too steep',
    keyed((key) => ({
      ...key,
      in: { ...key.in, slope: key.in.slope * 3 },
      out: { ...key.out, slope: key.out.slope * 3 },
    })),
    'A slope rises alike on both sides of its key.',
  ],
  [
    'the in slope with the other sign',
    keyed((key) => ({ ...key, in: { ...key.in, slope: -key.in.slope } })),
    'A slope rises alike on both sides of its key.',
  ],
  [
    'in and out swapped',
    keyed((key) => ({ ...key, in: key.out, out: key.in })),
    'Each side of a key keeps its own slope.',
  ],
  [
    'one slope for both sides',
    keyed((key) => ({ ...key, in: { ...key.in, slope: key.out.slope } })),
    'Each side of a key keeps its own slope.',
  ],
  [
    'every handle a third',
    keyed((key, i, keys) => ({
      ...key,
      in: { ...key.in, span: i > 0 ? (key.time - keys[i - 1].time) / 3 : key.in.span },
      out: { ...key.out, span: i + 1 < keys.length ? (keys[i + 1].time - key.time) / 3 : key.out.span },
    })),
    'A handle keeps its width.',
  ],
  ['the parameter taken for the time', bySolving(share), 'A handle keeps its width.'],
  ['time solved by a few Newton steps', bySolving(newton), 'A handle keeps its width.'],
  [
    'long handles cut at nine tenths',
    keyed((key, i, keys) => {
      const before = i > 0 ? key.time - keys[i - 1].time : key.in.span;
      const after = i + 1 < keys.length ? keys[i + 1].time - key.time : key.out.span;
      return {
        ...key,
        in: { ...key.in, span: Math.min(key.in.span, 0.9 * before) },
        out: { ...key.out, span: Math.min(key.out.span, 0.9 * after) },
      };
    }),
    'Where time nearly stands still the value is that of a time close by.',
  ],
  [
    'lines eased',
    keyed((key) => ({ ...key, next: key.next === 'line' ? 'curve' : key.next, in: { span: 0.1, slope: 0 } })),
    'A line is straight.',
  ],
  [
    'holds joined',
    keyed((key) => ({ ...key, next: key.next === 'hold' ? 'line' : key.next })),
    'A hold stays.',
  ],
  ['a key early', (curve, t) => evaluate(curve, t + 1), 'A curve goes through its keys.'],
  ['jumps left out', keyed(({ arrives: _, ...key }) => key), 'A jump is reached from the left.'],
  [
    'the gain left out',
    ({ gain: _, ...curve }, t) => evaluate(curve, t),
    'The last segment of a cycle leads back to its first key.',
  ],
  [
    'ends that never go on',
    (curve, t) =>
      evaluate(curve.period === undefined ? { ...curve, before: 'holds', after: 'holds' } : curve, t),
    'Before and after its keys a curve stays, or goes straight on, as it says.',
  ],
  [
    'a loop that comes round late',
    (curve, t) => {
      const { period, start, after } = curve;
      const late = after === 'loops' && period !== undefined && t >= start + period;
      return evaluate(curve, late ? t - 0.04 : t);
    },
    'A loop comes round again, one period later.',
  ],
  [
    'travelling told as looping',
    (curve, t) => {
      const loops = (outside: Curve['after']) => (outside === 'travels' ? 'loops' : outside);
      return evaluate({ ...curve, before: loops(curve.before), after: loops(curve.after) }, t);
    },
    'What travels keeps what it has gained, each time round.',
  ],
  [
    'nothing after a long time',
    (curve, t) => (Math.abs(t) > 1e5 ? Number.NaN : evaluate(curve, t)),
    'Whatever the curve and the time, the value is a finite number.',
  ],
];
