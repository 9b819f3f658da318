/** Laws that every evaluator of curves keeps. */
import fc from 'fast-check';
import type { Curve } from '../../curves/curve.js';
import { sizeOf } from '../adapter/probe.js';
import { cornerCurve, rampCurve } from '../adapter/shapes.js';
import { type CurveChoice, curves } from '../arbitraries/curves.js';
import { evenly } from '../arbitraries/numbers.js';
import { type AnyLaw, asLaw } from '../laws/law.js';
import type { CurveEngine } from './check-curve-engine.js';
import { bezierAt, type PlainSegment, segmentsOf } from './segments.js';

/** Parameters inside a segment, the ends left out since holds and jumps change there. */
const INSIDE = [0.01, 0.1, 0.25, 0.4, 0.5, 0.6, 0.75, 0.9, 0.99];

/** A corner of every few s. */
const corners = fc
  .array(fc.tuple(evenly(0.2, 6), evenly(-1, 1)), { minLength: 3, maxLength: 6 })
  .map((steps) => {
    let time = 0;
    const times = steps.map(([gap]) => {
      time += gap;
      return time;
    });
    return cornerCurve(
      times,
      steps.map(([, value]) => value),
    );
  });

const ramps = fc
  .tuple(evenly(0.2, 12), fc.integer({ min: 2, max: 6 }), evenly(-1, 1))
  .map(([step, count, slope]) => rampCurve(0, step, count, slope));

export function engineLaws(engine: CurveEngine, tolerance: number): AnyLaw[] {
  const differs = (curve: Curve, time: number, wanted: number, room = () => 0): string | undefined => {
    const got = engine(curve, time);
    const size = Math.max(sizeOf(curve), Math.abs(wanted));
    const apart = Math.abs(got - wanted);
    if (apart <= tolerance * size || apart <= tolerance * size + room()) return undefined;
    return `the value at ${time} s is ${got} and has to be ${wanted}`;
  };
  /** A law on the insides of segments of some kinds. */
  const inside = (name: string, cases: fc.Arbitrary<Curve>, kinds: readonly string[]): AnyLaw =>
    asLaw({
      name,
      cases,
      wrong(curve) {
        for (const segment of segmentsOf(curve)) {
          if (!kinds.includes(segment.kind)) continue;
          for (const s of INSIDE) {
            const { time, value, room } = pointOf(segment, s, tolerance);
            const wrong = inCycle(curve, time, value, room);
            if (wrong) return wrong;
          }
        }
        return undefined;
      },
    });
  /** Where a cycle begins before its first key, the rest of the seam's segment is there. */
  const inCycle = (curve: Curve, time: number, value: number, room: () => number): string | undefined => {
    const { start, period, gain = 0 } = curve;
    if (period === undefined || time < start + period - 1e-6) return differs(curve, time, value, room);
    // Where a cycle ends it is a matter of rounding which one a time belongs to.
    if (time < start + period + 1e-6) return undefined;
    return differs(curve, time - period, value - gain, room);
  };
  const within = (choice: CurveChoice) => curves({ outside: ['holds'], repeats: false, ...choice });
  return [
    asLaw({
      name: 'A curve goes through its keys.',
      cases: curves({ kinds: ['line', 'hold'] }),
      wrong(curve) {
        for (const { time, value } of curve.keys) {
          const wrong = differs(curve, time, value);
          if (wrong) return wrong;
        }
        return undefined;
      },
    }),
    inside('A line is straight.', within({ kinds: ['line'] }), ['line']),
    inside('A hold stays.', within({ kinds: ['hold', 'line'] }), ['hold']),
    inside('A slope rises alike on both sides of its key.', ramps, ['curve']),
    inside('Each side of a key keeps its own slope.', corners, ['curve']),
    inside('A handle keeps its width.', within({ kinds: ['curve'] }), ['curve']),
    inside(
      'Where time nearly stands still the value is that of a time close by.',
      within({ kinds: ['curve'], steep: true }),
      ['curve'],
    ),
    inside('A jump is reached from the left.', within({ jumps: true }), ['curve', 'line', 'hold']),
    inside(
      'The last segment of a cycle leads back to its first key.',
      curves({ repeats: true, outside: ['travels'] }),
      ['curve', 'line', 'hold'],
    ),
    asLaw({
      name: 'Before and after its keys a curve stays, or goes straight on, as it says.',
      cases: curves({ repeats: false, kinds: ['line', 'hold'], outside: ['holds', 'straight'] }),
      wrong(curve) {
        const [first, last] = [segmentsOf(curve)[0], segmentsOf(curve)[curve.keys.length - 2]];
        const { keys } = curve;
        const [from, to] = [keys[0], keys[keys.length - 1]];
        const slope = (segment: PlainSegment): number =>
          segment.kind === 'hold'
            ? 0
            : (segment.value[3] - segment.value[0]) / (segment.time[3] - segment.time[0]);
        for (const away of [0.3, 2, 40]) {
          const before = from.value - (curve.before === 'straight' ? slope(first) * away : 0);
          const after = to.value + (curve.after === 'straight' ? slope(last) * away : 0);
          const wrong = differs(curve, from.time - away, before) ?? differs(curve, to.time + away, after);
          if (wrong) return wrong;
        }
        return undefined;
      },
    }),
    turningLaw('A loop comes round again, one period later.', 'loops'),
    turningLaw('What travels keeps what it has gained, each time round.', 'travels'),
    asLaw({
      name: 'Whatever the curve and the time, the value is a finite number.',
      cases: fc.tuple(
        curves({ steep: true, jumps: true }),
        fc.oneof(evenly(-100, 200), fc.constantFrom(-1e6, 1e6)),
      ),
      wrong([curve, time]) {
        const got = engine(curve, time);
        return Number.isFinite(got) ? undefined : `the value at ${time} s is ${got}`;
      },
    }),
  ];

  function turningLaw(name: string, outside: 'loops' | 'travels'): AnyLaw {
    return asLaw({
      name,
      cases: fc.tuple(
        curves({ repeats: true, outside: [outside], kinds: ['curve', 'line'] }),
        fc.constantFrom(-2, -1, 1, 3),
      ),
      wrong([curve, turns]) {
        const { gain = 0, period = 1 } = curve;
        for (const segment of segmentsOf(curve)) {
          for (const s of INSIDE) {
            const { time, value, room } = pointOf(segment, s, tolerance);
            // The end of the cycle, where a loop may jump, and what is past it are another turn's.
            if (time > curve.start + period - 1e-6) continue;
            const lift = outside === 'travels' ? turns * gain : 0;
            const wrong = differs(curve, time + turns * period, value + lift, room);
            if (wrong) return wrong;
          }
        }
        return undefined;
      },
    });
  }
}

/** Time and value of a segment at a parameter, and how far values are apart within the tolerance in time. */
function pointOf(
  { kind, time, value }: PlainSegment,
  s: number,
  tolerance: number,
): { time: number; value: number; room: () => number } {
  const length = time[3] - time[0];
  if (kind === 'hold') return { time: time[0] + s * length, value: value[0], room: () => 0 };
  if (kind === 'line')
    return { time: time[0] + s * length, value: value[0] + s * (value[3] - value[0]), room: () => 0 };
  const at = bezierAt(value, s);
  // Near a vertical tangent a rounding of the time is a cube root of it in the parameter.
  const room = (): number =>
    Math.max(...nearby(time, s, tolerance * length).map((other) => Math.abs(bezierAt(value, other) - at)));
  return { time: bezierAt(time, s), value: at, room };
}

/** The parameters, on both sides, that are farthest from `s` with times no farther apart than `room`. */
function nearby(time: PlainSegment['time'], s: number, room: number): [number, number] {
  const here = bezierAt(time, s);
  const search = (end: number): number => {
    let [inside, outside] = [s, end];
    if (Math.abs(bezierAt(time, end) - here) <= room) return end;
    for (let i = 0; i < 50; i++) {
      const middle = (inside + outside) / 2;
      if (Math.abs(bezierAt(time, middle) - here) <= room) inside = middle;
      else outside = middle;
    }
    return inside;
  };
  return [search(0), search(1)];
}
