/** Laws about what numbers mean: sizes, directions, frames and seconds. */
import fc from 'fast-check';
import { evenly } from '../arbitraries/numbers.js';
import { type AnyLaw, asLaw } from '../laws/law.js';
import type { Probe } from './probe.js';
import { constantCurve, rampCurve } from './shapes.js';

/** Sizes from a hand to a house, as likely small as large. */
const sizes = evenly(Math.log(0.1), Math.log(10)).map(Math.exp);

/** Farthest that a size may be off here; finer errors are for the laws on keys, which say where they are. */
const ROUGHLY = 0.002;

/** Ratios that have a story, and how near one has to come to be told. */
const STORIES: readonly (readonly [number, string])[] = [
  [100, 'metres taken for centimetres, or the other way'],
  [1000, 'metres taken for millimetres, or the other way'],
  [1 / 0.0254, 'metres taken for inches, or the other way'],
  [180 / Math.PI, 'degrees taken for radians, or the other way'],
  [10, 'decimetres'],
];

function story(ratio: number): string {
  const found = STORIES.find(
    ([known]) => Math.abs(ratio / known - 1) < 0.01 || Math.abs(ratio * known - 1) < 0.01,
  );
  return found ? `: ${found[1]}` : '';
}

function sizeLaw(name: string, kind: 'length' | 'angle', unit: string, makeProbe: () => Probe) {
  return asLaw({
    name,
    cases: sizes,
    wrong(size) {
      const probe = makeProbe();
      const sources = probe.sourcesOf(kind);
      probe.apply(Object.fromEntries(sources.map((source) => [source, constantCurve(size)])));
      for (const source of sources) {
        const ratio = Math.abs(probe.play(source, 0.25)) / size;
        if (Math.abs(ratio - 1) <= ROUGHLY) continue;
        return `${source} is ${ratio * size} ${unit} where it was given ${size}, ${ratio} times as much${story(ratio)}`;
      }
      return undefined;
    },
  });
}

/** Farthest that time 0 may be from its frame, in frames; less is left to the laws that follow. */
const NEAR_FRAME = 0.25;

/** Farthest that a long time may be off, in frames. */
const DRIFT = 0.01;

/** How far ahead of the document the host is at a frame of a straight rise of `slope` a frame, in frames. */
function ahead(probe: Probe, source: string, frame: number, start: number, slope: number): number {
  return (probe.play(source, frame / probe.rate) - 1) / slope - (frame - start);
}

export function meaningLaws(makeProbe: () => Probe): AnyLaw[] {
  return [
    sizeLaw('A metre stays a metre, whatever the host counts in.', 'length', 'm', makeProbe),
    sizeLaw('A radian stays a radian, whatever the host counts in.', 'angle', 'rad', makeProbe),
    asLaw({
      name: 'Every curve arrives on its own channel.',
      cases: sizes,
      wrong(size) {
        const probe = makeProbe();
        for (const kind of ['length', 'angle'] as const) {
          const sources = probe.sourcesOf(kind);
          const given = sources.map((_, i) => size * (i + 1));
          probe.apply(Object.fromEntries(sources.map((source, i) => [source, constantCurve(given[i])])));
          for (const [i, source] of sources.entries()) {
            const got = Math.abs(probe.play(source, 0.25));
            if (Math.abs(got - given[i]) <= ROUGHLY * given[i]) continue;
            const whose = given.findIndex((other) => Math.abs(got - other) <= ROUGHLY * other);
            return `${source} shows ${whose < 0 ? `${got}, which nothing was given` : `what ${sources[whose]} was given`}`;
          }
        }
        return undefined;
      },
    }),
    asLaw({
      name: 'Up stays up, ahead stays ahead, left stays left, and angles turn the same way.',
      cases: fc.tuple(sizes, fc.integer({ min: 0, max: 0xffff })),
      wrong([size, signs]) {
        const probe = makeProbe();
        const values = probe.sources.map((_, i) => ((signs >> (i % 16)) & 1 ? size : -size));
        probe.apply(Object.fromEntries(probe.sources.map((source, i) => [source, constantCurve(values[i])])));
        const turned = probe.sources.findIndex(
          (source, i) => Math.sign(probe.play(source, 0.25)) !== Math.sign(values[i]),
        );
        return turned < 0 ? undefined : `${probe.sources[turned]} runs the other way`;
      },
    }),
    asLaw({
      name: 'Time 0 falls on the first frame.',
      cases: fc.tuple(fc.nat({ max: 1000 }), fc.integer({ min: 0, max: 12 }), evenly(0.01, 1)),
      wrong([n, start, slope]) {
        const probe = makeProbe();
        const source = probe.sources[n % probe.sources.length];
        probe.apply({ [source]: rampCurve(start, 1, 12, slope) });
        for (const frame of [3, 4, 5, 6, 7].map((i) => start + i)) {
          const shift = ahead(probe, source, frame, start, slope);
          if (!(Math.abs(shift) < NEAR_FRAME))
            return `${source} is ${shift} frames ahead of the document at frame ${frame} of the motion`;
        }
        return undefined;
      },
    }),
    asLaw({
      name: 'A second stays a second, for a long while.',
      cases: fc.tuple(fc.nat({ max: 1000 }), evenly(0.001, 0.1)),
      wrong([n, slope]) {
        const probe = makeProbe();
        const source = probe.sources[n % probe.sources.length];
        probe.apply({ [source]: rampCurve(0, 60, 11, slope) });
        for (const frame of [60, 300, 540]) {
          const shift = ahead(probe, source, frame, 0, slope);
          if (!(Math.abs(shift) < DRIFT))
            return `${source} is ${shift} frames ahead after ${frame}: the host's second lasts ${frame / (frame + shift)} s`;
        }
        return undefined;
      },
    }),
  ];
}
