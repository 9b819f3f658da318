import validator from 'gltf-validator';
import { AnimationMixer } from 'three';
import { GLTFLoader } from 'three/addons/loaders/GLTFLoader.js';
import { describe, expect, it } from 'vitest';
import { evaluate } from '../../../src/curves/evaluate.js';
import { makeFigure } from '../../../src/exchange/figure/pose-figure.js';
import { toGlb } from '../../../src/exchange/gltf/to-glb.js';
import { assertClose } from '../../support/assert-close.js';
import { SHOTS, shotDocument } from '../shot-documents.js';

/** Refitting at 1e-6 m, rounding to 32-bit floats of some metres. */
const FILE = { abs: 1e-5 };

describe.each(Object.keys(SHOTS))('the file of a shot: %s', (name) => {
  it('is clean, and is played by three.js as the document says, legs from hips to feet', async () => {
    const document = shotDocument(name);
    const { glb, met } = await toGlb(document);
    expect(met).toBe(true);
    const { issues } = await validator.validateBytes(glb);
    expect(issues.messages.filter(({ severity }: { severity: number }) => severity < 2)).toEqual([]);
    const buffer = glb.buffer.slice(glb.byteOffset, glb.byteOffset + glb.byteLength);
    const { scene, animations } = await new GLTFLoader().parseAsync(buffer, '');
    const mixer = new AnimationMixer(scene);
    mixer.clipAction(animations[0]).play();
    const figure = makeFigure(document);
    const node = (of: string) => scene.getObjectByName(of);
    for (let i = 0; i < 300; i++) {
      const time = (document.span.duration * (i + 0.5)) / 300;
      mixer.setTime(time);
      scene.updateMatrixWorld(true);
      for (const [part, curves] of [
        ['Root', document.root],
        ['LeftFoot', document.feet.left],
        ['RightFoot', document.feet.right],
      ] as const) {
        const wanted = [curves.side, curves.height, curves.forward].map((curve) => evaluate(curve, time));
        node(part)
          .position.toArray()
          .forEach((x: number, k: number) => {
            assertClose(x, wanted[k], FILE, `${part} ${k} at ${time}`);
          });
      }
      const pose = figure.at(time);
      for (const side of ['left', 'right'] as const) {
        const words = side === 'left' ? 'Left' : 'Right';
        const spot = (of: string, x: number, y: number, z: number) => {
          const found = node(`${words}${of}`);
          return found.localToWorld(found.position.clone().set(x, y, z));
        };
        const ankle = spot('Shin', 0, -figure.shape.shin, 0);
        // Turns' errors of 1e-5 add up from pelvis to shin, at the end of a leg.
        const LEG = { abs: 1e-4 };
        const { legs } = pose;
        assertClose(ankle.x, legs[side].ankle[2], LEG, `ankle at ${time}`);
        assertClose(ankle.y, legs[side].ankle[1], LEG, `ankle at ${time}`);
        assertClose(ankle.z, legs[side].ankle[0], LEG, `ankle at ${time}`);
        const heel = spot('Foot', 0, 0, -document.feet[side].shape.heelToBall);
        assertClose(heel.x, legs[side].heel[2], LEG, `heel at ${time}`);
        assertClose(heel.z, legs[side].heel[0], LEG, `heel at ${time}`);
      }
      const belly = node('Part0').getWorldPosition(node('Part0').position.clone());
      const [forward, height, across] = pose.parts[0].centre;
      assertClose(belly.x, across, FILE, `belly at ${time}`);
      assertClose(belly.y, height, FILE, `belly at ${time}`);
      assertClose(belly.z, forward, FILE, `belly at ${time}`);
    }
  });
});
