import { describe, expect, it } from 'vitest';
import type { Curve } from '../../src/curves/curve.js';
import { keyMotion, planShot, type ShotStretch } from '../../src/gait/index.js';
import { weighCurves } from '../../src/weigh/index.js';

const BODY = { mass: 72, legLength: 0.9 };

/** Shots of everyday ground and ways; common practice, no source. */
const SHOTS: Readonly<Record<string, readonly ShotStretch[]>> = {
  'a walk from standing to standing': [{ pace: 'ordinary', steps: 8 }],
  'a change of pace': [
    { pace: 'slow', steps: 3 },
    { pace: 'brisk', steps: 4 },
  ],
  'a turn back': [
    { pace: 'ordinary', steps: 4 },
    { turn: { by: Math.PI }, steps: 6 },
    { pace: 'ordinary', steps: 4 },
  ],
  'a slope': [{ pace: 'ordinary', slope: 0.15, steps: 10 }],
  stairs: [{ stairs: { riser: 0.17, tread: 0.29 }, steps: 8 }],
};

function keyed(stretches: readonly ShotStretch[], of: 'root' | 'centreOfMass') {
  const shot = planShot({
    body: BODY,
    still: { before: 0.3, after: 0.5 },
    wholeFrames: { fps: 24 },
    stretches,
  });
  const { root, feet } = keyMotion(shot, { fps: 24, of });
  return { height: root.height, forward: root.forward, side: root.side, feet: [feet.left, feet.right] };
}

const weigh = (curves: ReturnType<typeof keyed>, of: 'root' | 'centreOfMass') =>
  weighCurves(curves, { of, fps: 24, body: BODY });

function scaled(curve: Curve, factor: number): Curve {
  const keys = curve.keys.map((key) => ({
    ...key,
    value: key.value * factor,
    in: { span: key.in.span, slope: key.in.slope * factor },
    out: { span: key.out.span, slope: key.out.slope * factor },
  }));
  return { ...curve, keys };
}

describe('shots on the scale', () => {
  it.each(Object.keys(SHOTS))('find nothing wrong with %s', (name) => {
    for (const of of ['root', 'centreOfMass'] as const) {
      const { findings } = weigh(keyed(SHOTS[name], of), of);
      expect(findings.map(({ code, text }) => `${code}: ${text}`)).toEqual([]);
    }
  });

  it('find centimetres, floating and pounding in them all the same', () => {
    const sound = keyed(SHOTS['a walk from standing to standing'], 'centreOfMass');
    const codesOf = (factor: number, more = {}) =>
      weigh({ ...sound, ...more, height: scaled(sound.height, factor) }, 'centreOfMass').findings.map(
        ({ code }) => code,
      );
    expect(codesOf(100)).toContain('centimetres');
    expect(codesOf(0.2)).toContain('floaty');
    expect(codesOf(2.2)).toContain('too-hard');
  });
});
