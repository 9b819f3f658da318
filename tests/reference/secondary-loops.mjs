// Prints states of the loops of bouncing parts and strands whose cases arrive on standard input.
import { readFileSync } from 'node:fs';
import { evaluateSeries } from 'underfoot/curves';
import { followBounce, followStrand } from 'underfoot/secondary';

const { driver, bounces, strands, parts } = JSON.parse(readFileSync(0, 'utf8'));

const statesOf = (tracks, period) =>
  parts.map((part) => {
    const jets = tracks.map((track) => evaluateSeries(track, part * period));
    return { value: jets.map(({ value }) => value), speed: jets.map(({ velocity }) => velocity) };
  });

const period = driver.height.period;
console.log(
  JSON.stringify({
    bounces: bounces.map((part) => statesOf([followBounce(driver, part).tracks.height], period)),
    strands: strands.map(({ part, model }) => {
      const { links, cycles } = followStrand(driver, part, { model, space: 'world' });
      return {
        cycles,
        states: statesOf(
          links.map(({ roll }) => roll),
          period * cycles,
        ),
      };
    }),
  }),
);
