import { describe, expect, it } from 'vitest';
import { resolveScene, type SceneAxis, type SceneSpec } from '../../src/exchange/scene.js';
import { sceneAxes, unitName } from '../../src/exchange/scene-axes.js';
import { STAGE } from './example-document.js';

const FORWARDS: readonly SceneAxis[] = ['+x', '-x', '+y', '-y', '+z', '-z'];
const SCENES = (['y', 'z'] as const).flatMap((up) =>
  FORWARDS.filter((forward) => forward[1] !== up).map((forward) => ({ up, forward })),
);

describe('the axes of a scene', () => {
  it.each(SCENES)(
    'make forward, side and height a right-handed triad with $up up and $forward ahead',
    (scene) => {
      const { forward, side, height } = sceneAxes(scene);
      const vector = ({ index, sign }: { index: number; sign: number }) =>
        [0, 1, 2].map((i) => (i === index ? sign : 0));
      const [f, s, h] = [vector(forward), vector(side), vector(height)];
      const cross = [f[1] * s[2] - f[2] * s[1], f[2] * s[0] - f[0] * s[2], f[0] * s[1] - f[1] * s[0]];
      expect(cross.map((x) => x + 0)).toEqual(h);
    },
  );

  it('put left on +x where y is up and the way leads along +z, as glTF figures face', () => {
    expect(sceneAxes({ up: 'y', forward: '+z' }).side).toEqual({ index: 0, letter: 'x', sign: 1 });
  });

  it('name the usual units of length', () => {
    expect([1, 0.01, 0.001, 0.0254, 0.3048, 0.5].map(unitName)).toEqual([
      'm',
      'cm',
      'mm',
      'in',
      'ft',
      '0.5 m',
    ]);
  });
});

describe('a scene', () => {
  it.each(['up', 'forward', 'metersPerUnit', 'fps', 'firstFrame'] as const)('has to say its %s', (field) => {
    const { [field]: _, ...rest } = STAGE;
    expect(() => resolveScene('toDocument', rest as SceneSpec)).toThrow(
      new RegExp(`^toDocument: scene\\.${field} `),
    );
  });

  it('does not walk along the axis that points up', () => {
    expect(() => resolveScene('toDocument', { ...STAGE, forward: '+y' })).toThrow(
      'toDocument: scene.forward must be one of "+x", "-x", "+z", "-z", got "+y"',
    );
  });
});
