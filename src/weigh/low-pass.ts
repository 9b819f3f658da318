/*!
 * Contains filter design and zero-phase filtering of digital-filter 2.4.2, MIT License,
 * Copyright (c) Dmitry Iv.
 *
 * Permission is hereby granted, free of charge, to any person obtaining a copy of this software and
 * associated documentation files (the "Software"), to deal in the Software without restriction, including
 * without limitation the rights to use, copy, modify, merge, publish, distribute, sublicense, and/or sell
 * copies of the Software, and to permit persons to whom the Software is furnished to do so, subject to the
 * following conditions:
 *
 * The above copyright notice and this permission notice shall be included in all copies or substantial
 * portions of the Software.
 *
 * THE SOFTWARE IS PROVIDED "AS IS", WITHOUT WARRANTY OF ANY KIND, EXPRESS OR IMPLIED, INCLUDING BUT NOT
 * LIMITED TO THE WARRANTIES OF MERCHANTABILITY, FITNESS FOR A PARTICULAR PURPOSE AND NONINFRINGEMENT. IN NO
 * EVENT SHALL THE AUTHORS OR COPYRIGHT HOLDERS BE LIABLE FOR ANY CLAIM, DAMAGES OR OTHER LIABILITY, WHETHER
 * IN AN ACTION OF CONTRACT, TORT OR OTHERWISE, ARISING FROM, OUT OF OR IN CONNECTION WITH THE SOFTWARE OR
 * THE USE OR OTHER DEALINGS IN THE SOFTWARE.
 */

// @ts-expect-error the package has no types; what is used of it is typed below
import filtfiltUntyped from 'digital-filter/core/filtfilt.js';
// @ts-expect-error the package has no types; what is used of it is typed below
import butterworthUntyped from 'digital-filter/iir/butterworth.js';

/** A second-order section. */
interface Section {
  readonly b0: number;
  readonly b1: number;
  readonly b2: number;
  readonly a1: number;
  readonly a2: number;
}

const butterworth: (order: number, cutoff: number, rate: number) => readonly Section[] = butterworthUntyped;
const filtfilt: (data: Float64Array, params: { coefs: readonly Section[] }) => Float64Array = filtfiltUntyped;

/**
 * A low-passed copy without delay: a second-order Butterworth filter run forwards and backwards, which
 * together halve the power at `cutoff` (Hz). The cutoff of one pass lies 1/(√2 − 1)^(1/4) = 1.247 times higher for
 * that (Winter, Biomechanics and Motor Control of Human Movement, 2009; memory), here before the bilinear
 * transform's warping, so that it holds near half the rate too.
 */
export function lowPass(samples: Float64Array, cutoff: number, rate: number): Float64Array {
  const tangent = Math.tan((Math.PI * cutoff) / rate) / (Math.SQRT2 - 1) ** 0.25;
  const single = (rate / Math.PI) * Math.atan(tangent);
  return filtfilt(samples.slice(), { coefs: butterworth(2, single, rate) });
}
