import { describe, expect, it } from 'vitest';
import { planShot, planWalk } from '../../src/gait/index.js';
import { writePlates } from '../../src/weigh/index.js';

const lastTime = (text: string): number => Number(text.trimEnd().split('\n').at(-1)?.split(',')[0]);

describe('plates written of a plan', () => {
  it('are as long as a shot, or ten strides of a walk, where nothing is said', () => {
    const shot = planShot({ stretches: [{ steps: 4 }] });
    const walk = planWalk({ pace: 'ordinary' });
    expect(shot.duration - lastTime(writePlates(shot))).toBeLessThan(1 / 500);
    expect(10 * walk.pace.strideTime - lastTime(writePlates(walk))).toBeLessThan(1 / 500);
    expect(() => writePlates(shot, { strides: 2 })).toThrow(
      'strides must be a whole number in [1, 1], got 2',
    );
  });
});
