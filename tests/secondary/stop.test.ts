import { describe, expect, it } from 'vitest';
import type { Series } from '../../src/curves/series.js';
import { followBounce } from '../../src/secondary/bounce.js';
import { type SampledTrack, trackValue } from '../../src/secondary/follower-track.js';
import { assertClose } from '../support/assert-close.js';
import { accelerationOf, bob, CROOKED } from './drivers.js';
import { solveOde } from './solve-ode.js';

// The bar for non-linear loops, as a part of the travel.
const FULL = 1e-5;

/**
 * One cycle of a part that strikes stops and rebounds, by an independent solver: flown in short pieces, each
 * strike located by halving the piece.
 */
function flyCycle(
  drive: Series,
  omega: number,
  zeta: number,
  stop: number,
  rebound: number,
  from: number[],
  cycles: number,
): number[] {
  const f = (t: number, [z, v]: number[]) => [
    v,
    -2 * zeta * omega * v - omega * omega * z - accelerationOf(drive, t),
  ];
  const pieces = 256 * cycles;
  const h = (drive.period * cycles) / pieces;
  let state = from;
  for (let i = 0; i < pieces; i++) {
    let t = i * h;
    const end = (i + 1) * h;
    for (let guard = 0; t < end && guard < 20; guard++) {
      const next = solveOde(f, t, state, end);
      if (Math.abs(next[0]) <= stop) {
        state = next;
        break;
      }
      let [low, high] = [t, end];
      for (let k = 0; k < 44; k++) {
        const middle = (low + high) / 2;
        if (Math.abs(solveOde(f, t, state, middle)[0]) <= stop) low = middle;
        else high = middle;
      }
      const [z, v] = solveOde(f, t, state, low);
      state = [Math.sign(z) * stop, -rebound * v];
      t = high;
    }
  }
  return state;
}

describe('a part with a hard stop', () => {
  const part = { frequencyHz: 2.2, dampingRatio: 0.1, stop: 0.01, rebound: 0.5 };

  it('is on the loop of an independent solver', () => {
    const drive = bob(1.9, 0.02);
    const { tracks, cycles, residual, notes } = followBounce({ height: drive }, part);
    const track = tracks.height as SampledTrack;
    expect(cycles).toBeGreaterThan(0);
    expect(residual).toBeLessThan(1e-12);
    expect(notes[0].code).toBe('struck');
    // From the middle of a flight: at a strike the speed has two values.
    const [z, v] = flyCycle(
      drive,
      2 * Math.PI * 2.2,
      0.1,
      0.01,
      0.5,
      [track.values[0], track.slopes[0]],
      cycles,
    );
    assertClose(z, track.values[0], { abs: FULL * 0.02 });
    assertClose(v, track.slopes[0], { abs: FULL * 0.02 * 2 * Math.PI * 2.2 });
  });

  it('never passes it, and rests on it where it strikes dead', () => {
    const { tracks } = followBounce(
      { height: CROOKED },
      { ...part, rebound: 0, stop: { height: { below: 0.004, above: 0.01 } } },
    );
    const { values } = tracks.height as SampledTrack;
    expect(Math.min(...values)).toBeGreaterThanOrEqual(-0.004);
    expect(Math.max(...values)).toBeLessThanOrEqual(0.01);
    expect(values.filter((z) => z === -0.004).length).toBeGreaterThan(3);
  });

  it('is answered exactly where it does not reach it', () => {
    const { tracks } = followBounce({ height: CROOKED }, { ...part, stop: 5 });
    expect('cos' in (tracks.height as object)).toBe(true);
  });

  it.each([
    [1, 0.002, 3.5, 2],
    [0.7, 0.001, 2.3, 8],
  ])(
    'of %d Hz with a floor at %d m, bobbed at %d Hz, repeats after %d cycles and says so',
    (frequencyHz, below, hz, cycles) => {
      const bouncing = {
        frequencyHz,
        dampingRatio: 0.02,
        rebound: 0.8,
        stop: { height: { below, above: 1 } },
      };
      const answer = followBounce({ height: bob(hz, 0.02) }, bouncing);
      expect(answer.cycles).toBe(cycles);
      expect(answer.notes.map(({ code }) => code)).toContain('repeats-after-cycles');
      const { height } = answer.tracks;
      assertClose(trackValue(height, 0.1 + answer.duration), trackValue(height, 0.1), { abs: 1e-12 });
      // It does not repeat any sooner.
      const sooner = answer.duration / 2;
      expect(Math.abs(trackValue(height, 0.1 + sooner) - trackValue(height, 0.1))).toBeGreaterThan(1e-4);
    },
  );

  it('may never repeat, and says that', () => {
    const bouncing = {
      frequencyHz: 1,
      dampingRatio: 0.02,
      rebound: 0.8,
      stop: { height: { below: 0.002, above: 1 } },
    };
    const answer = followBounce({ height: bob(2.9, 0.02) }, bouncing);
    expect(answer.repeats).toBe(false);
    expect(answer.notes.map(({ code }) => code)).toContain('does-not-repeat');
  });
});
