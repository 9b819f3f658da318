import { describe, expect, it } from 'vitest';
import { lowPass } from '../../src/weigh/low-pass.js';
import { assertClose } from '../support/assert-close.js';

const RATE = 300;
const wave = (hz: number, n = 3000): Float64Array =>
  Float64Array.from({ length: n }, (_, i) => Math.sin((2 * Math.PI * hz * i) / RATE));
/** Amplitude in the middle half, where the ends do not reach. */
const size = (x: Float64Array): number => {
  const middle = x.subarray(x.length / 4, (3 * x.length) / 4);
  return Math.sqrt((2 * middle.reduce((sum, v) => sum + v * v, 0)) / middle.length);
};

describe('the low-pass', () => {
  it('halves the power at its cutoff, near half the rate too', () => {
    // The amplitude of a sine from its samples over whole periods.
    assertClose(size(lowPass(wave(20), 20, RATE)), Math.SQRT1_2, { abs: 1e-6 });
    assertClose(size(lowPass(wave(120), 120, RATE)), Math.SQRT1_2, { abs: 1e-6 });
  });

  it('answers as a fourth-order Butterworth filter squared: 1 / (1 + (√2 − 1) r⁴)', () => {
    // r is the ratio of tan(π f / rate), the bilinear transform's frequency.
    for (const hz of [2, 10, 40, 60]) {
      const r = Math.tan((Math.PI * hz) / RATE) / Math.tan((Math.PI * 20) / RATE);
      assertClose(
        size(lowPass(wave(hz), 20, RATE)),
        1 / (1 + (Math.SQRT2 - 1) * r ** 4),
        { abs: 1e-6 },
        `${hz} Hz`,
      );
    }
  });

  it('delays nothing', () => {
    const input = wave(5);
    const output = lowPass(input, 20, RATE);
    let best = 0;
    let most = Number.NEGATIVE_INFINITY;
    for (let shift = -5; shift <= 5; shift++) {
      let sum = 0;
      for (let i = 500; i < 2500; i++) sum += input[i] * output[i + shift];
      if (sum > most) [most, best] = [sum, shift];
    }
    expect(best).toBe(0);
  });

  it('keeps constants to the very ends, and straight lines inside', () => {
    const level = lowPass(new Float64Array(200).fill(700), 20, RATE);
    for (const value of level) assertClose(value, 700, { rel: 1e-12 });
    const line = Float64Array.from({ length: 200 }, (_, i) => 700 + 0.5 * i);
    const output = lowPass(line, 20, RATE);
    // What the ends put in has died down by 50 samples.
    for (let i = 50; i < 150; i++) assertClose(output[i], line[i], { rel: 1e-6 });
  });
});
