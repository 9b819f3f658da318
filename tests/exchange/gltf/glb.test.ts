import validator from 'gltf-validator';
import { AnimationMixer } from 'three';
import { GLTFLoader } from 'three/addons/loaders/GLTFLoader.js';
import { describe, expect, it } from 'vitest';
import { evaluate } from '../../../src/curves/evaluate.js';
import type { MotionDocument } from '../../../src/exchange/document.js';
import { makeFigure } from '../../../src/exchange/figure/pose-figure.js';
import { toGlb } from '../../../src/exchange/gltf/to-glb.js';
import { toDocument } from '../../../src/exchange/to-document.js';
import { planWalk } from '../../../src/gait/plan-walk.js';
import { assertClose } from '../../support/assert-close.js';
import { exampleDocument, STAGE } from '../example-document.js';
import { khronosValue, readGlb } from './read-glb.js';

/** The promise for files: refitting at 1e-6 m, rounding to 32-bit floats (1e-7 of some metres), and room. */
const FILE = { abs: 1e-5 };

/** Quaternion components: the refit's bound and rounding to 32-bit floats. */
const TURN = { abs: 2e-5 };

const TIMES = 1000;

const strand = {
  name: 'plait',
  unit: 'rad',
  channel: 'side',
  space: 'relative',
  curve: {
    keys: [
      { time: 0.1, value: 0.3, in: { span: 0.2, slope: 0.4 }, out: { span: 0.3, slope: 0.4 } },
      { time: 0.6, value: -0.2, in: { span: 0.1, slope: 0 }, out: { span: 0.25, slope: 0 } },
    ],
    start: 0,
    period: 26 / 24,
    before: 'loops',
    after: 'loops',
  },
} as const;

const DOCUMENTS: Readonly<Record<string, () => MotionDocument>> = {
  'third-length spans': () => exampleDocument(),
  'free spans': () => exampleDocument({ spans: [0.55, 0.2] }),
  'fitted keys and a strand': () =>
    toDocument(planWalk({ pace: 'ordinary' }), { name: 'Träger 港 "x"', scene: STAGE, followers: [strand] }),
  'a centre of mass in centimetres': () => {
    const document = exampleDocument({ scene: { metersPerUnit: 0.01, up: 'z', forward: '-x' } });
    return { ...document, root: { ...document.root, of: 'centreOfMass' } };
  },
  giantess: () => exampleDocument({ spec: { pace: 'brisk', body: { legLength: 2.4 } } }),
};

/** Place of a document's node in glTF's axes at a time. */
function placeOf(curves: MotionDocument['root'] | MotionDocument['feet']['left'], time: number): number[] {
  return [curves.side, curves.height, curves.forward].map((curve) => evaluate(curve, time));
}

const times = (document: MotionDocument): number[] =>
  Array.from({ length: TIMES }, (_, i) => (document.span.duration * (i + 0.5)) / TIMES);

describe.each(Object.entries(DOCUMENTS))('the file of a walk with %s', (_, make) => {
  it('has neither errors nor warnings for the Khronos validator', async () => {
    const { glb } = await toGlb(make());
    const { issues, info } = await validator.validateBytes(glb);
    expect(issues.messages.filter(({ severity }: { severity: number }) => severity < 2)).toEqual([]);
    expect(info.animationCount).toBe(1);
  });

  it('follows the document by the formula of the standard', async () => {
    const document = make();
    const { glb, error, met } = await toGlb(document);
    expect(met).toBe(true);
    expect(error.translation).toBeLessThanOrEqual(1e-6);
    const channels = readGlb(glb).filter(({ path }) => path === 'translation');
    expect(channels.length).toBeGreaterThanOrEqual(3);
    for (const channel of channels.filter(({ node }) => !/^(Part|Holder)/.test(node))) {
      const curves = { Root: document.root, LeftFoot: document.feet.left, RightFoot: document.feet.right }[
        channel.node
      ];
      for (const time of times(document)) {
        const expected = placeOf(curves!, time);
        khronosValue(channel, time).forEach((x, i) => {
          assertClose(x, expected[i], FILE, `${channel.node} ${i} at ${time}`);
        });
      }
    }
  });

  it('is played by three.js as the document says', async () => {
    const document = make();
    const { glb } = await toGlb(document);
    const loaded = await new GLTFLoader().parseAsync(
      glb.buffer.slice(glb.byteOffset, glb.byteOffset + glb.byteLength),
      '',
    );
    const mixer = new AnimationMixer(loaded.scene);
    mixer.clipAction(loaded.animations[0]).play();
    const node = (name: string) => loaded.scene.getObjectByName(name);
    const followers = document.followers.map(({ curve, unit, channel }, i) => ({
      curve,
      unit,
      channel,
      node: node(`Part${i}`),
    }));
    for (const time of times(document)) {
      mixer.setTime(time);
      for (const [name, curves] of [
        ['Root', document.root],
        ['LeftFoot', document.feet.left],
        ['RightFoot', document.feet.right],
      ] as const) {
        const expected = placeOf(curves, time);
        node(name)
          .position.toArray()
          .forEach((x: number, i: number) => {
            assertClose(x, expected[i], FILE, `${name} ${i} at ${time}`);
          });
      }
      for (const side of ['left', 'right'] as const) {
        const half = evaluate(document.feet[side].pitch, time) / 2;
        const { x, w } = node(side === 'left' ? 'LeftFoot' : 'RightFoot').quaternion;
        assertClose(x, Math.sin(half), TURN);
        assertClose(w, Math.cos(half), TURN);
      }
      for (const { curve, unit, channel, node: part } of followers) {
        const value = evaluate(curve, time);
        const axis = { side: 'x', height: 'y', forward: 'z' }[channel];
        if (unit === 'm') assertClose(part.position[axis], value, FILE);
        else assertClose(part.quaternion[axis], Math.sin(value / 2), TURN);
      }
    }
  });

  it('brings the legs from the hips to the feet', async () => {
    const document = make();
    const { glb } = await toGlb(document);
    const loaded = await new GLTFLoader().parseAsync(
      glb.buffer.slice(glb.byteOffset, glb.byteOffset + glb.byteLength),
      '',
    );
    const mixer = new AnimationMixer(loaded.scene);
    mixer.clipAction(loaded.animations[0]).play();
    const figure = makeFigure(document);
    for (const time of times(document).filter((_time, i) => i % 25 === 0)) {
      mixer.setTime(time);
      loaded.scene.updateMatrixWorld(true);
      const pose = figure.at(time);
      for (const side of ['left', 'right'] as const) {
        const shin = loaded.scene.getObjectByName(side === 'left' ? 'LeftShin' : 'RightShin');
        const ankle = shin.localToWorld(shin.position.clone().set(0, -figure.shape.shin, 0));
        const [forward, height, across] = pose.legs[side].ankle;
        // A turn's error of 1e-5 at the end of a leg, twice.
        const LEG = { abs: 1e-4 * figure.shape.thigh };
        assertClose(ankle.x, across, LEG);
        assertClose(ankle.y, height, LEG);
        assertClose(ankle.z, forward, LEG);
      }
    }
  });
});

describe('a file on the spot', () => {
  it('ends where it began, so that viewers that loop show no jump', async () => {
    const { glb } = await toGlb(exampleDocument(), { space: 'onTheSpot' });
    for (const { node, path, size, output } of readGlb(glb)) {
      const [first, last] = [
        output.subarray(size, 2 * size),
        output.subarray(output.length - 2 * size, output.length - size),
      ];
      first.forEach((x, i) => {
        assertClose(last[i], x, FILE, `${node} ${path}`);
      });
    }
  });
});

describe('the figure', () => {
  it('keeps its limbs as long as they are, and its knees in front', () => {
    const document = exampleDocument({ spec: { pace: 'brisk' } });
    const { shape, at } = makeFigure(document);
    const gap = (a: readonly number[], b: readonly number[]): number =>
      Math.hypot(...a.map((x, i) => x - b[i]));
    for (const time of times(document)) {
      const { legs } = at(time);
      for (const { hip, knee, ankle } of [legs.left, legs.right]) {
        assertClose(gap(hip, knee), shape.thigh, { abs: 1e-12 });
        assertClose(gap(knee, ankle), shape.shin, { abs: 1e-12 });
        const onLine = hip[0] + ((ankle[0] - hip[0]) * (hip[1] - knee[1])) / (hip[1] - ankle[1]);
        expect(knee[0]).toBeGreaterThanOrEqual(onLine - 1e-12);
      }
    }
  });
});
