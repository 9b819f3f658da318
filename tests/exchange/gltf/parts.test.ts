import validator from 'gltf-validator';
import { AnimationMixer, type Object3D, Quaternion, Vector3 } from 'three';
import { GLTFLoader } from 'three/addons/loaders/GLTFLoader.js';
import { beforeAll, describe, expect, it } from 'vitest';
import { evaluate } from '../../../src/curves/evaluate.js';
import type { MotionDocument } from '../../../src/exchange/document.js';
import { followerCurves } from '../../../src/exchange/document-followers.js';
import { makeFigure } from '../../../src/exchange/figure/pose-figure.js';
import type { Triple } from '../../../src/exchange/figure/turns.js';
import { toGlb } from '../../../src/exchange/gltf/to-glb.js';
import { checkDocument } from '../../../src/exchange/read-document.js';
import { toDocument } from '../../../src/exchange/to-document.js';
import { planWalk } from '../../../src/gait/plan-walk.js';
import { snapToFrames } from '../../../src/gait/snap-to-frames.js';
import { bellyOf, followBounce, followCloth, followStrand, STRANDS } from '../../../src/secondary/index.js';
import { assertClose } from '../../support/assert-close.js';
import { STAGE } from '../example-document.js';

/** The refit's 1e-6 m and 1e-5 of turns at the end of half a metre, rounding to 32-bit floats, links adding up. */
const SHOWN = { abs: 1e-4 };

const SKIRT = {
  length: 0.5,
  links: 3,
  dampingRatio: 0.3,
  strands: 6,
  ring: true,
  flare: 0.3,
  frequencyHz: 1.4,
} as const;
const PONYTAIL = STRANDS.ponytail.part;

let document: MotionDocument;
let scene: Object3D;
let mixer: { setTime(time: number): void };
let glb: Uint8Array;

/** glTF's axes: x to the left, y up, z ahead. */
const fromGltf = ({ x, y, z }: Vector3): Triple => [z, y, x];

function assertSpot(got: Triple, wanted: Triple, what: string): void {
  got.forEach((x, i) => {
    assertClose(x, wanted[i], SHOWN, `${what} ${i}`);
  });
}

beforeAll(async () => {
  const walk = snapToFrames(planWalk({ pace: 'brisk' }), { fps: 24 });
  const keys = { fps: 24 } as const;
  const followers = [
    ...followerCurves('belly', followBounce(walk, bellyOf(12).part), keys),
    ...followerCurves('ponytail', followStrand(walk, PONYTAIL), { ...keys, part: PONYTAIL }),
    ...followerCurves('lock', followStrand(walk, PONYTAIL, { space: 'world' }), {
      ...keys,
      part: PONYTAIL,
      at: { forward: 0, height: 0.02, side: 0.06 },
    }),
    ...followerCurves('skirt', followCloth(walk, SKIRT), { ...keys, part: SKIRT }),
  ];
  document = toDocument(walk, { name: 'A fish-wife', scene: STAGE, followers });
  glb = (await toGlb(document)).glb;
  const buffer = glb.buffer.slice(glb.byteOffset, glb.byteOffset + glb.byteLength);
  const loaded = await new GLTFLoader().parseAsync(buffer, '');
  scene = loaded.scene;
  const played = new AnimationMixer(scene);
  played.clipAction(loaded.animations[0]).play();
  mixer = played;
}, 60_000);

const times = () => Array.from({ length: 23 }, (_, i) => (document.span.duration * (i + 0.4)) / 23);

function show(time: number): void {
  mixer.setTime(time);
  scene.updateMatrixWorld(true);
}

describe('a figure with a belly, hair and a skirt that follow', () => {
  it('is a document as any other, and a file without errors or warnings', async () => {
    expect(checkDocument(document)).toEqual([]);
    expect(checkDocument(JSON.parse(JSON.stringify(document)))).toEqual([]);
    const { issues } = await validator.validateBytes(glb);
    expect(issues.messages.filter(({ severity }: { severity: number }) => severity < 2)).toEqual([]);
  });

  it('lists and turns its pelvis, chest and head as the document says', () => {
    const turns = document.turns!;
    const world = new Quaternion();
    for (const time of times()) {
      show(time);
      for (const [name, part] of [
        ['Pelvis', turns.pelvis],
        ['Chest', turns.chest],
        ['Head', turns.head],
      ] as const) {
        scene.getObjectByName(name)?.getWorldQuaternion(world);
        const left = new Vector3(1, 0, 0).applyQuaternion(world);
        const ahead = new Vector3(0, 0, 1).applyQuaternion(world);
        // Left side up by the sine of the roll; the front down by that of the pitch, and to the left by the heading.
        const [heading, roll, pitch] = [part.heading, part.roll, part.pitch].map((c) => evaluate(c, time));
        assertClose(left.y, Math.sin(roll), SHOWN, `${name} rolls at ${time}`);
        assertClose(ahead.y, -Math.sin(pitch) * Math.cos(roll), SHOWN, `${name} pitches at ${time}`);
        // Neither roll nor pitch moves this by more than their product.
        assertClose(ahead.x, Math.sin(heading), { abs: 0.03 }, `${name} heads at ${time}`);
      }
    }
  });

  it('drops the hip on the side that swings, by centimetres', () => {
    const figure = makeFigure(document);
    const drops = times().map((time) => {
      const { left, right } = figure.at(time).legs;
      return left.hip[1] - right.hip[1];
    });
    const size = Math.max(...drops.map(Math.abs));
    expect(size).toBeGreaterThan(0.005);
    expect(size).toBeLessThan(0.05);
    const stands = document.feet.right.contacts[0];
    const single = stands.land + 0.4 * (stands.lift - stands.land);
    const { left, right } = figure.at(single).legs;
    expect(left.hip[1]).toBeLessThan(right.hip[1]);
  });

  it('shows belly, hair and hem in three.js where the curves put them', () => {
    const figure = makeFigure(document);
    const spot = new Vector3();
    const names = figure.parts.map(({ name }) => name);
    expect(names).toEqual(['belly', 'ponytail', 'lock', 'skirt']);
    const [belly, ponytail, lock, skirt] = figure.parts;
    for (const time of times()) {
      show(time);
      const pose = figure.at(time);
      scene.getObjectByName(`Part${belly.first}`)?.getWorldPosition(spot);
      assertSpot(fromGltf(spot), pose.parts[0].centre, `belly at ${time}`);
      for (const [i, part] of [ponytail, lock].entries()) {
        const points = pose.parts[1 + i].strands[0];
        points.slice(1).forEach((point, l) => {
          const node = scene.getObjectByName(l === 0 ? `Part${part.first}` : `Part${part.first}Link${l}`);
          const length = PONYTAIL.length / PONYTAIL.links;
          const tip = node?.localToWorld(spot.set(0, -length, 0));
          assertSpot(fromGltf(tip), point, `${part.name} ${l} at ${time}`);
        });
      }
      const cloth = scene.getObjectByName(`${skirt.name}_surface`);
      cloth.skeleton.update();
      const rows = SKIRT.links + 1;
      pose.parts[3].strands.forEach((points, s) => {
        points.forEach((point, row) => {
          cloth.getVertexPosition(s * rows + row, spot);
          assertSpot(fromGltf(spot.applyMatrix4(cloth.matrixWorld)), point, `hem ${s} ${row} at ${time}`);
        });
      });
    }
  });

  it('moves them by more than the eye needs', () => {
    const figure = makeFigure(document);
    const hem = times().map((time) => {
      const { parts, pelvis } = figure.at(time);
      return parts[3].strands[0][SKIRT.links][0] - pelvis[0];
    });
    expect(Math.max(...hem) - Math.min(...hem)).toBeGreaterThan(0.01);
  });
});
