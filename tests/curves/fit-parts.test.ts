/** The parts of a fit one by one: placements, levelling, what follows samples, and polishing round locked keys. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { followSamples } from '../../src/curves/fit/follow-samples.js';
import { makeGrid } from '../../src/curves/fit/grid.js';
import {
  cloneLayout,
  curveOf,
  holdLockedSpans,
  makeLayout,
  segmentLength,
} from '../../src/curves/fit/layout.js';
import { fewestKeys } from '../../src/curves/fit/needed.js';
import { readPlan } from '../../src/curves/fit/options.js';
import { PlacementSearch } from '../../src/curves/fit/placement.js';
import type { Places } from '../../src/curves/fit/places.js';
import { Polisher } from '../../src/curves/fit/polish.js';
import type { SegmentCosts } from '../../src/curves/fit/segment-costs.js';
import { readSource } from '../../src/curves/fit/source.js';
import { type Curve, evaluate, fitCurve, type Key, type Series } from '../../src/curves/index.js';
import { assertClose } from '../support/assert-close.js';
import { evenShare } from './arbitraries.js';

const wave: Series = { period: 1, mean: 0, drift: 0, cos: [1, 0.2], sin: [0.2, 0.1] };

describe('the search for places', () => {
  /** Every chain of `edges` segments over an open range, through the forced places: the least cost there is. */
  function leastCost(costs: SegmentCosts, forced: readonly number[], count: number, edges: number): number {
    const from = (place: number, left: number): number => {
      if (place === count - 1) return left === 0 ? 0 : Number.POSITIVE_INFINITY;
      if (left === 0) return Number.POSITIVE_INFINITY;
      let least = Number.POSITIVE_INFINITY;
      for (let next = place + 1; next < count; next++) {
        least = Math.min(least, costs.cost(place, next - place) + from(next, left - 1));
        if (forced[next]) break;
      }
      return least;
    };
    return from(0, edges);
  }

  it('finds the cheapest chain for each number of keys, also where more keys cost more', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(evenShare, fc.boolean()), { minLength: 5, maxLength: 9 }),
        fc.integer({ min: 0, max: 40 }),
        (list, each) => {
          const count = list.length;
          const forced = list.map(([, told], i) =>
            Number(i === 0 || i === count - 1 || (told && i % 3 === 0)),
          );
          // Forced places inside are locked keys off the source: what ends at one costs anything.
          const locked = forced.map((told, i) => Boolean(told) && i > 0 && i < count - 1);
          const costs = {
            cost: (place: number, length: number) => {
              const rises = (0.1 + list[place][0]) * length ** 2;
              const any = 40 * list[(3 * place + 5 * length) % count][0];
              return each / 8 + (locked[place] || locked[place + length] ? any : rises);
            },
          } as unknown as SegmentCosts;
          const places = {
            count,
            forced: Uint8Array.from(forced),
            locked: locked.map((is) => (is ? {} : undefined)),
          } as unknown as Places;
          const search = new PlacementSearch(costs, places, false);
          for (let keys = 2; keys <= count; keys++) {
            const least = leastCost(costs, forced, count, keys - 1);
            const found = search.best(keys, 1)[0];
            if (least === Number.POSITIVE_INFINITY) expect(found).toBeUndefined();
            // Sums in another order.
            else assertClose(found.cost, least, { rel: 1e-12 });
          }
        },
      ),
      { numRuns: 1000 },
    );
  });
});

describe('levelling', () => {
  it('goes on from a layout within the goal that is not accepted', () => {
    const source = readSource(wave, 'fitCurve');
    const grid = makeGrid(
      source,
      Float64Array.from({ length: 96 }, (_, j) => (j + 0.5) / 96),
    );
    const layout = makeLayout(3, true, 1, 0);
    [0, 1 / 3, 2 / 3].forEach((t, i) => {
      layout.time[i] = t;
      layout.value[i] = layout.arrives[i] = Math.cos(2 * Math.PI * t);
    });
    const polisher = new Polisher(layout, grid, 0);
    polisher.polish(layout, 40, 1e-6);
    const [one, two] = [cloneLayout(layout), cloneLayout(layout)];
    let asked = 0;
    const refuse = (): boolean => {
      asked++;
      return false;
    };
    const first = polisher.level(one, polisher.worst, Number.POSITIVE_INFINITY, () => true);
    const further = polisher.level(two, polisher.worst, Number.POSITIVE_INFINITY, refuse);
    expect(asked).toBeGreaterThan(1);
    expect(further).toBeLessThan(first);
  });
});

describe('following samples one by one', () => {
  const follow = (values: readonly number[], tolerance: number): Curve | undefined => {
    const times = values.map((_, i) => i / (values.length - 1));
    const source = readSource({ times, values }, 'fitCurve');
    const plan = readPlan({ period: 1 }, source, 'fitCurve');
    const layout = followSamples(source, Float64Array.from(times), plan, tolerance);
    return layout && curveOf(layout, { start: 0, period: 1, before: 'loops', after: 'loops' });
  };

  it('leads the last segment of a cycle to the first value, or gives nothing where the last sample is too far off', () => {
    expect(follow([0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8], 0.05)).toBeUndefined();
    const values = [0, 0, 0, 0, 1, 0, 0, 0, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3];
    const curve = follow(values, 0.05)!;
    values.slice(0, -1).forEach((value, i) => {
      assertClose(evaluate(curve, i / 13), value, { abs: 0.05 });
    });
  });

  it('gives the seam of a cycle one slope, and what it gives keeps the tolerance', () => {
    const values = Array.from({ length: 21 }, (_, i) => (i / 20) * (1 - i / 20));
    const curve = follow(values, 0.01);
    expect(curve).toBeDefined();
    expect(curve!.keys.length).toBeGreaterThan(1);
    values.slice(0, -1).forEach((value, i) => {
      assertClose(evaluate(curve!, i / 20), value, { abs: 0.01 });
    });
  });
});

describe('the keys that samples cannot be followed without', () => {
  it('are never more than a fit within the tolerance has', () => {
    fc.assert(
      fc.property(
        fc.array(evenShare, { minLength: 3, maxLength: 24 }),
        fc.constantFrom(0.4, 0.2, 0.05, 0.01),
        fc.boolean(),
        (values, tolerance, cyclic) => {
          const samples = { times: values.map((_, i) => i / values.length), values };
          const asked = { tolerance, ...(cyclic ? { period: 1 } : {}) };
          const source = readSource(samples, 'fitCurve');
          const { curve, met } = fitCurve(samples, asked);
          const least = fewestKeys(readPlan(asked, source, 'fitCurve'), source, tolerance);
          if (met) expect(curve.keys.length).toBeGreaterThanOrEqual(least);
        },
      ),
      { numRuns: 40 },
    );
  });
});

describe('polishing round locked keys', () => {
  const meanSquare = (curve: Curve): number => {
    let sum = 0;
    for (let i = 0; i < 1000; i++) {
      const t = (i + 0.5) / 1000;
      const angle = 2 * Math.PI * t;
      const exact =
        Math.cos(angle) + 0.2 * Math.cos(2 * angle) + 0.2 * Math.sin(angle) + 0.1 * Math.sin(2 * angle);
      sum += (evaluate(curve, t) - exact) ** 2 / 1000;
    }
    return sum;
  };

  it('keeps the spans of a locked key in seconds while its neighbours move', () => {
    const layout = makeLayout(4, true, 1, 0);
    const handle = { span: 0.06, slope: -4 };
    (layout.locked as (Key | undefined)[])[1] = { time: 0.25, value: 0.1, in: handle, out: handle };
    [0, 0.25, 0.5, 0.75].forEach((t, i) => {
      layout.time[i] = t;
      layout.value[i] = layout.arrives[i] = i === 1 ? 0.1 : Math.cos(2 * Math.PI * t);
      layout.moves[i] = Number(i !== 1);
    });
    layout.slopeIn[1] = layout.slopeOut[1] = handle.slope;
    holdLockedSpans(layout);
    const times = Float64Array.from({ length: 96 }, (_, j) => (j + 0.5) / 96);
    new Polisher(layout, makeGrid(readSource(wave, 'fitCurve'), times), 0).polish(layout, 40, 1e-6);
    expect(Math.abs(layout.time[0]) + Math.abs(layout.time[2] - 0.5)).toBeGreaterThan(0.01);
    // Rounding of a fraction of a segment.
    assertClose(layout.out[1] * segmentLength(layout, 1), handle.span, { rel: 1e-12 });
    assertClose(layout.in[0] * segmentLength(layout, 0), handle.span, { rel: 1e-12 });
  });

  it('ends where no free key can be moved, bent or given other spans for a better fit', () => {
    fc.assert(
      fc.property(
        evenShare,
        evenShare,
        evenShare,
        fc.integer({ min: 4, max: 6 }),
        fc.boolean(),
        (at, off, width, keyCount, framed) => {
          const time = framed ? Math.round(24 * (0.3 + 0.4 * at)) / 24 : 0.3 + 0.4 * at;
          const span = 0.01 + 0.09 * width;
          const value = evaluate(fitCurve(wave).curve, time) + 0.2 * (off - 0.5);
          const locked = [{ time, value, in: { span, slope: 1 }, out: { span: 0.1 - span / 2, slope: 1 } }];
          const { curve } = fitCurve(wave, { keyCount, locked, ...(framed ? { frames: { fps: 24 } } : {}) });
          const least = meanSquare(curve);
          const step = 0.2 * Math.sqrt(least);
          curve.keys.forEach((key, i) => {
            if (key === locked[0]) return;
            const others = (by: number): Key[] => [
              { ...key, value: key.value + by * step },
              {
                ...key,
                in: { ...key.in, slope: key.in.slope + by * 3 * step },
                out: { ...key.out, slope: key.out.slope + by * 3 * step },
              },
            ];
            for (const other of [...others(1), ...others(-1)]) {
              const keys = curve.keys.map((one, k) => (k === i ? other : one));
              // The fitting grid is coarser than this one.
              expect(meanSquare({ ...curve, keys })).toBeGreaterThan(0.9 * least);
            }
          });
        },
      ),
      { numRuns: 30 },
    );
  });
});
