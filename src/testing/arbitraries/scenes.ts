import fc from 'fast-check';
import type { SceneAxis, SceneSpec } from '../../exchange/scene.js';

const FORWARD: Readonly<Record<'y' | 'z', readonly SceneAxis[]>> = {
  y: ['+x', '-x', '+z', '-z'],
  z: ['+x', '-x', '+y', '-y'],
};

/** Every scene that hosts are known to have: both up axes, all headings, five units, six rates, both first frames. */
export const scenes: fc.Arbitrary<SceneSpec> = fc
  .record({
    up: fc.constantFrom('y' as const, 'z' as const),
    heading: fc.integer({ min: 0, max: 3 }),
    metersPerUnit: fc.constantFrom(1, 0.01, 0.001, 0.0254, 0.3048),
    fps: fc.constantFrom(24, 25, 30, 60, 24000 / 1001, 30000 / 1001),
    firstFrame: fc.constantFrom(0, 1, 1001, -10),
  })
  .map(({ heading, ...scene }) => ({ ...scene, forward: FORWARD[scene.up][heading] }));
