import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Series } from '../../src/curves/series.js';
import { followBounce } from '../../src/secondary/bounce.js';
import { sampleTrack, trackValue } from '../../src/secondary/follower-track.js';
import { createFollower, type LiveFollower } from '../../src/secondary/live.js';
import { followStrand } from '../../src/secondary/strand.js';
import { assertClose } from '../support/assert-close.js';
import { accelerationOf, CROOKED } from './drivers.js';
import { digestRuns, RECORDED } from './record-run.js';

const BELLY = { frequencyHz: { height: 3, forward: 2.2 }, dampingRatio: 0.25 };
const STOPPED = { frequencyHz: 3, dampingRatio: 0.1, stop: 0.01, rebound: 0.4 };
const HAIR = { length: 0.3, links: 6, dampingRatio: 0.2 };
const SKIRT = {
  length: 0.5,
  links: 3,
  dampingRatio: 0.3,
  strands: 6,
  ring: true,
  flare: 0.3,
  frequencyHz: 1.4,
};
const PARTS = { BELLY, STOPPED, HAIR, SKIRT };
const ALL = Object.entries(PARTS);

const make = (part: object): [LiveFollower, Float64Array] => {
  const follower = createFollower(part as typeof BELLY);
  return [follower, new Float64Array(follower.size)];
};

describe('a live follower', () => {
  it('comes to the loop that is solved for', () => {
    const [live, out] = make({ frequencyHz: 3, dampingRatio: 0.25 });
    const { tracks } = followBounce({ height: CROOKED }, { frequencyHz: 3, dampingRatio: 0.25 });
    const steps = 4000;
    const h = CROOKED.period / 200;
    for (let i = 1; i <= steps; i++) live.step(h, [accelerationOf(CROOKED, i * h), 0, 0], out);
    // What is left is the drive's bend within a step of 1/200 of the period.
    assertClose(out[0], trackValue(tracks.height, steps * h), { abs: 1e-5 });
  });

  it('comes to the small-angle loop of a strand', () => {
    const side: Series = { ...CROOKED, mean: 0 };
    const { links } = followStrand({ height: CROOKED, side }, HAIR, { model: 'small' });
    const [live, out] = make(HAIR);
    const h = CROOKED.period / 400;
    for (let i = 1; i <= 8000; i++) {
      const a = accelerationOf(CROOKED, i * h);
      live.step(h, [a, 0, a], out);
    }
    const jet = new Float64Array(3);
    links.forEach(({ roll }, i) => {
      sampleTrack(roll, 0, jet);
      assertClose(out[2 * i + 1], jet[0], { abs: 2e-4 }, `link ${i}`);
    });
  });

  it.each(ALL)('%s: a pause changes nothing, and saving and loading rewinds', (_, part) => {
    const [follower, out] = make(part);
    for (let i = 0; i < 30; i++) follower.step(1 / 30, [3, i % 5, 1], out);
    const before = Array.from(out);
    follower.step(0, [50, 50, 50], out);
    expect(Array.from(out)).toEqual(before);
    const saved = new Float64Array(follower.stateSize);
    follower.save(saved);
    const onwards = () => {
      for (let i = 0; i < 20; i++) follower.step(0.01 * (1 + (i % 4)), [i, 2, 3], out);
      return Array.from(out);
    };
    const first = onwards();
    follower.load(JSON.parse(JSON.stringify(Array.from(saved))));
    expect(onwards()).toEqual(first);
    follower.reset();
    follower.step(0, [0, 0, 0], out);
    expect(Math.max(...out.map(Math.abs))).toBe(0);
  });

  it.each([
    ['BELLY', BELLY],
    ['HAIR', HAIR],
  ])('%s: skipping is stepping, one step or many, where the weight stays the same', (_, part) => {
    const [one, a] = make(part);
    const [many, b] = make(part);
    for (const [follower, out] of [
      [one, a],
      [many, b],
    ] as const) {
      follower.step(0.1, [0, 2, -1], out);
    }
    one.step(0.64, [0, 4, 1], a);
    for (let i = 1; i <= 64; i++) many.step(0.01, [0, 2 + (2 * i) / 64, -1 + (2 * i) / 64], b);
    // Of a swing of the order of 0.1: 1e-12 per step at most.
    for (const [i, x] of a.entries()) assertClose(b[i], x, { abs: 2e-13 });
  });

  it.each(ALL)('%s: a teleport gives no kick, where the same jump without one does', (_, part) => {
    const peak = (teleport: boolean): number => {
      const [follower, out] = make(part);
      let most = 0;
      for (let i = 0; i < 120; i++) {
        if (i === 60 && teleport) follower.teleport();
        const jump = i >= 60 ? 5 : 0;
        follower.move(1 / 60, [jump, jump, 0], out);
        most = Math.max(most, ...out.map(Math.abs));
      }
      return most;
    };
    expect(peak(true)).toBe(0);
    expect(peak(false)).toBeGreaterThan(0.005);
  });

  it('follows positions as it follows their accelerations', () => {
    const [byPlace, a] = make({ frequencyHz: 3, dampingRatio: 0.25 });
    const { tracks } = followBounce({ height: CROOKED }, { frequencyHz: 3, dampingRatio: 0.25 });
    const h = CROOKED.period / 400;
    for (let i = 0; i <= 8000; i++) byPlace.move(h, [trackValue(CROOKED, i * h), 0, 0], a);
    // A path of straight pieces bends at their ends; half a step late at most.
    assertClose(a[0], trackValue(tracks.height, 8000 * h), { abs: 3e-4 });
  });

  it.each(ALL)('%s: a free one never gains energy, by the reach of its outputs over long runs', (_, part) => {
    const [follower, out] = make(part);
    follower.step(0.05, [30, 30, 30], out);
    follower.step(1e-5, [0, 0, 0], out);
    const reach: number[] = [];
    for (let block = 0; block < 6; block++) {
      let most = 0;
      for (let i = 0; i < 200; i++) {
        follower.step(1e-5 + (i % 7) * 0.01, [0, 0, 0], out);
        most = Math.max(most, ...out.map(Math.abs));
      }
      reach.push(most);
    }
    for (let k = 1; k < reach.length; k++) expect(reach[k]).toBeLessThanOrEqual(reach[k - 1]);
  });

  it.each(ALL)('%s: stays finite and within its bounds whatever is done to it', (_, part) => {
    const [follower, out] = make(part);
    const dts = fc.double({ min: -5, max: 0, noNaN: true }).map((e) => 10 ** e);
    const pushes = fc.array(
      fc.oneof(fc.constantFrom(0, 1e9, -1e9, -9.80665), fc.double({ min: -200, max: 200, noNaN: true })),
      {
        minLength: 3,
        maxLength: 3,
      },
    );
    fc.assert(
      fc.property(fc.array(fc.tuple(dts, pushes), { minLength: 1, maxLength: 60 }), (run) => {
        follower.reset();
        for (const [dt, push] of run) {
          follower.step(dt, push, out);
          for (const x of out) if (!Number.isFinite(x)) return false;
        }
        return true;
      }),
      { numRuns: part === SKIRT ? 50 : 400 },
    );
  });

  it('stays finite over a million adverse steps', () => {
    const [follower, out] = make(HAIR);
    let seed = 3;
    const next = () => {
      seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
      return seed / 2 ** 32;
    };
    let bad = 0;
    for (let i = 0; i < 1_000_000; i++) {
      // Down and up with the swing's own doubled rate, and at random.
      const a = i % 2000 < 1000 ? 60 * Math.sign((i % 24) - 11.5) : 400 * (next() - 0.5);
      follower.step(next() < 0.001 ? next() : 1 / 60, [a, a * next(), -a], out);
      for (let k = 0; k < out.length; k++) if (!(Math.abs(out[k]) <= Math.PI + 1e-9)) bad++;
    }
    expect(bad).toBe(0);
  });

  it('refuses steps and drivers that are not numbers', () => {
    for (const [, part] of ALL) {
      const [follower, out] = make(part);
      expect(() => follower.step(-1, [0, 0, 0], out)).toThrow(/^step: dt must be in \[0, 60\] s, got -1$/);
      expect(() => follower.step(Number.NaN, [0, 0, 0], out)).toThrow(/dt/);
      expect(() => follower.step(0.1, [Number.NaN, 0, 0], out)).toThrow(/driver\[0\]/);
    }
  });

  it('gives the same bytes on every engine', () => {
    // Recorded on Node 20; 22 and 24 give the same, and tests/browser asks Chromium.
    expect(digestRuns()).toEqual(RECORDED);
  });

  it.each(ALL)('%s: allocates nothing while it is stepped', (_, part) => {
    const [follower, out] = make(part);
    const drive = new Float64Array(6);
    const steps = part === SKIRT ? 2000 : 20_000;
    const block = (): number => {
      const before = process.memoryUsage().heapUsed;
      for (let i = 0; i < steps; i++) {
        drive[0] = (i % 7) - 3;
        drive[1] = (i % 5) - 2;
        drive[2] = (i % 3) - 1;
        if (i % 2 === 0) follower.step(1 / 60, drive, out);
        else follower.move(1 / 60, drive, out);
      }
      return (process.memoryUsage().heapUsed - before) / steps;
    };
    // Until the engine has compiled it every number is an object.
    for (let k = 0; k < 20; k++) block();
    const perStep = Array.from({ length: 15 }, block).sort((a, b) => a - b);
    // A number in an object of its own takes 12 bytes or more; asking for the memory takes a few in all.
    expect(perStep[7]).toBeLessThan(2);
  });

  // Last: what is refused would have the engine compile a step for other types than numbers.
  it('refuses steps in quotes and results that do not fit, in step and in move', () => {
    for (const [, part] of ALL) {
      const [follower, out] = make(part);
      for (const call of ['step', 'move'] as const) {
        const go = (dt: unknown, into: unknown) => () =>
          follower[call](dt as number, [0, 0, 0], into as Float64Array);
        expect(go('0.1', out)).toThrow(new TypeError('step: dt must be a number in [0, 60] s, got "0.1"'));
        expect(go([0.1], out)).toThrow(TypeError);
        const rule = `step: out must be a Float64Array of at least ${follower.size}`;
        expect(go(0.1, new Float64Array(follower.size - 1))).toThrow(
          new RangeError(`${rule}, got one of ${follower.size - 1}`),
        );
        expect(go(0.1, undefined)).toThrow(new TypeError(`${rule}, got undefined`));
        expect(go(0.1, [0, 0, 0])).toThrow(TypeError);
        expect(go(0.1, new Float64Array(follower.size + 2))).not.toThrow();
      }
    }
  });
});
