import { describe, expect, it } from 'vitest';
import { framesPerSecond, resolveFrameRate, timeOfFrames } from '../../src/exchange/frame-rate.js';

describe('a frame rate', () => {
  // SMPTE ST 12-1: nominal 24, 30 and 60 frames at 1000/1001 of their rate.
  it.each([
    [23.976, 24000],
    [29.97, 30000],
    [59.94, 60000],
    [24000 / 1001, 24000],
  ])('of %s means %s frames in 1001 seconds', (fps, frames) => {
    expect(resolveFrameRate(fps)).toEqual({ frames, seconds: 1001 });
  });

  it.each([12, 24, 25, 30, 48, 60, 23.9, 12.5])('of %s is taken as it is', (fps) => {
    expect(resolveFrameRate(fps)).toEqual({ frames: fps, seconds: 1 });
  });

  it('keeps a ratio that was given', () => {
    const rate = { frames: 24000, seconds: 1001 };
    expect(resolveFrameRate(rate)).toEqual(rate);
    expect(timeOfFrames(rate, 24000)).toBe(1001);
    expect(framesPerSecond(rate)).toBe(24000 / 1001);
  });

  it.each([
    [0, 'resolveFrameRate: fps must be in (0, 1000000] Hz, got 0'],
    [Number.NaN, 'resolveFrameRate: fps must be in (0, 1000000] Hz, got NaN'],
    [{ frames: 24, seconds: 0 }, 'resolveFrameRate: fps.seconds must be in (0, 1000000000] s, got 0'],
  ])('of %s is refused', (fps, message) => {
    expect(() => resolveFrameRate(fps as number)).toThrow(message);
  });
});
