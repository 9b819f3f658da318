import { describe, expect, it } from 'vitest';
import { framesPerSecond, readFrameRate, timeOfFrames } from '../../src/exchange/frame-rate.js';

describe('a frame rate', () => {
  // SMPTE ST 12-1: nominal 24, 30 and 60 frames at 1000/1001 of their rate.
  it.each([
    [23.976, 24000],
    [29.97, 30000],
    [59.94, 60000],
    [24000 / 1001, 24000],
  ])('of %s means %s frames in 1001 seconds', (fps, frames) => {
    expect(readFrameRate('toDocument', 'scene.fps', fps)).toEqual({ frames, seconds: 1001 });
  });

  it.each([12, 24, 25, 30, 48, 60, 23.9, 12.5])('of %s is taken as it is', (fps) => {
    expect(readFrameRate('toDocument', 'scene.fps', fps)).toEqual({ frames: fps, seconds: 1 });
  });

  it('keeps a ratio that was given', () => {
    const rate = { frames: 24000, seconds: 1001 };
    expect(readFrameRate('toDocument', 'scene.fps', rate)).toEqual(rate);
    expect(timeOfFrames(rate, 24000)).toBe(1001);
    expect(framesPerSecond(rate)).toBe(24000 / 1001);
  });

  it.each([
    [0, 'toDocument: scene.fps must be in (0, 1000000] Hz, got 0'],
    [Number.NaN, 'toDocument: scene.fps must be in (0, 1000000] Hz, got NaN'],
    [{ frames: 24, seconds: 0 }, 'toDocument: scene.fps.seconds must be in (0, 1000000000] s, got 0'],
  ])('of %s is refused', (fps, message) => {
    expect(() => readFrameRate('toDocument', 'scene.fps', fps as number)).toThrow(message);
  });
});
