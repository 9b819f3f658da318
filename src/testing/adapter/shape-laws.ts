/** Laws about the shape of a curve: keys, slopes, handles, kinds, and what lies outside. */
import fc from 'fast-check';
import type { Curve } from '../../curves/curve.js';
import { jumpsAt } from '../../exchange/rig/rig-curve.js';
import type { CurveChoice } from '../arbitraries/curves.js';
import { evenly } from '../arbitraries/numbers.js';
import { type AnyLaw, asLaw } from '../laws/law.js';
import type { Probe } from './probe.js';
import { rigCases } from './rig-cases.js';
import { cornerCurve, rampCurve } from './shapes.js';

const pick = fc.nat({ max: 1000 });

/** First and last frame of the keys, or of the cycle. */
function rangeOf({ keys, start, period }: Curve): readonly [number, number] {
  return period === undefined ? [keys[0].time, keys[keys.length - 1].time] : [start, start + period];
}

/** A law that a curve of some sort is played as it is, between its keys or over another stretch. */
function playedLaw(
  name: string,
  cases: fc.Arbitrary<Curve>,
  makeProbe: () => Probe,
  stretch: (curve: Curve) => readonly (readonly [number, number])[] = (curve) => [rangeOf(curve)],
): AnyLaw {
  return asLaw({
    name,
    cases: fc.tuple(pick, cases),
    wrong([n, curve]) {
      const probe = makeProbe();
      const source = probe.sources[n % probe.sources.length];
      const { [source]: wanted } = probe.apply({ [source]: curve });
      const frames = stretch(curve).flatMap(([from, to]) => probe.framesOf(curve, from, to));
      return probe.strays(source, wanted, frames);
    },
  });
}

/** A cycle before the keys and two after. */
function roundAbout(curve: Curve): readonly (readonly [number, number])[] {
  const [from, to] = rangeOf(curve);
  return [-1, 1, 2].map((turn) => [from + turn * (to - from), to + turn * (to - from)] as const);
}

function beyond(curve: Curve): readonly (readonly [number, number])[] {
  const [from, to] = rangeOf(curve);
  return [
    [from - 30, from],
    [to, to + 30],
  ];
}

/** A curve that goes straight on needs a slope at its ends, which a handle of no length does not tell. */
function hasEndSlopes({ keys }: Curve): boolean {
  const shortest = Math.min(keys[0].out.span, keys[keys.length - 1].in.span);
  return shortest > 0.01;
}

const level = (choice: CurveChoice): fc.Arbitrary<Curve> => rigCases({ wholeTimes: true, ...choice });

/** What of a host decides which laws on shape can be asked of it. */
export interface ShapeScope {
  readonly outside: boolean;
  readonly samplesPerFrame: number;
  readonly jumps: boolean;
}

export function shapeLaws(makeProbe: () => Probe, { outside, samplesPerFrame, jumps }: ShapeScope): AnyLaw[] {
  const laws = [
    asLaw({
      name: 'Every key is met at its frame with its value, the last one too.',
      cases: fc.tuple(pick, level({ kinds: ['line', 'hold'] })),
      wrong([n, curve]) {
        const probe = makeProbe();
        const source = probe.sources[n % probe.sources.length];
        const { [source]: wanted } = probe.apply({ [source]: curve });
        // Where a hold ends two values meet; the law on holds looks there.
        const met = curve.keys.filter((_, i) => i > 0 && curve.keys[i - 1].next !== 'hold');
        return probe.strays(
          source,
          wanted,
          met.map(({ time }) => time),
        );
      },
    }),
    playedLaw(
      'A slope rises alike on both sides of its key.',
      fc
        .tuple(fc.integer({ min: 2, max: 12 }), fc.integer({ min: 2, max: 6 }), evenly(-1, 1))
        .filter(([, , slope]) => Math.abs(slope) > 0.01)
        .map(([step, count, slope]) => rampCurve(0, step, count, slope)),
      makeProbe,
    ),
    playedLaw(
      'Each side of a key keeps its own slope.',
      fc
        .array(fc.tuple(fc.integer({ min: 2, max: 12 }), evenly(-1, 1)), { minLength: 3, maxLength: 6 })
        .map((steps) => {
          let frame = 0;
          const frames = steps.map(([gap]) => {
            frame += gap;
            return frame;
          });
          return cornerCurve(
            frames,
            steps.map(([, value]) => value),
          );
        }),
      makeProbe,
    ),
    playedLaw('A handle keeps its width.', level({ kinds: ['curve'] }), makeProbe),
    playedLaw('A line stays a line and a hold stays a hold.', level({}), makeProbe),
  ];
  if (outside) {
    laws.push(
      playedLaw(
        'Before and after its keys a curve stays, or goes straight on, as it says.',
        level({ repeats: false, kinds: ['curve'] }).filter(hasEndSlopes),
        makeProbe,
        beyond,
      ),
      playedLaw(
        'A loop comes round again, one period later.',
        level({ repeats: true, outside: ['loops'] }),
        makeProbe,
        roundAbout,
      ),
      playedLaw(
        'What travels keeps what it has gained, each time round.',
        level({ repeats: true, outside: ['travels'] }),
        makeProbe,
        roundAbout,
      ),
    );
  }
  if (jumps) {
    const jumping = level({ jumps: true, outside: ['holds', 'loops', 'travels'] }).filter(({ keys }) =>
      keys.some(jumpsAt),
    );
    laws.push(
      playedLaw('A jump arrives with one value and leaves with the other.', jumping, makeProbe, (curve) =>
        outside && curve.period !== undefined ? [rangeOf(curve), ...roundAbout(curve)] : [rangeOf(curve)],
      ),
    );
  }
  // A host of samples is exact only where they are, and those are at parts of whole frames.
  if (samplesPerFrame === 0) laws.push(playedLaw('Keys between frames are met too.', rigCases(), makeProbe));
  return laws;
}
