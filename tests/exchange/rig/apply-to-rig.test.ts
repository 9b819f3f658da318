import { AnimationMixer, Object3D } from 'three';
import { describe, expect, it } from 'vitest';
import { adaptPlainRig, HARBOUR_FACTS, makePlainRig, PLAIN_MAPPING } from '../../../examples/plain-rig.js';
import { adaptThree } from '../../../examples/three-rig.js';
import { evaluate } from '../../../src/curves/evaluate.js';
import { applyToRig } from '../../../src/exchange/rig/apply-to-rig.js';
import type { RigCurve, RigFacts } from '../../../src/exchange/rig/rig-adapter.js';
import { rigValue } from '../../../src/exchange/rig/rig-curve.js';
import { rigSources } from '../../../src/exchange/rig/rig-sources.js';
import { sceneAxes } from '../../../src/exchange/scene-axes.js';
import { assertClose } from '../../support/assert-close.js';
import { exampleDocument } from '../example-document.js';

/** The promise: the same motion in metres and seconds through any host's conventions. */
const SAME = { abs: 1e-9 };

const document = exampleDocument({ spans: [0.5, 0.3] });

const HOSTS: readonly Partial<RigFacts>[] = [
  {},
  { up: 'y', forward: '+z', metersPerUnit: 1, firstFrame: 0, angles: 'radians' },
  { up: 'z', forward: '+x', metersPerUnit: 1, firstFrame: 1, fps: 25 },
  { up: 'y', forward: '-x', metersPerUnit: 0.01, firstFrame: 1, fps: 30 },
  { up: 'z', forward: '+y', metersPerUnit: 0.0254, firstFrame: -5, fps: 60, angles: 'radians' },
  { up: 'y', forward: '-z', metersPerUnit: 0.01, firstFrame: 0, fps: 23.976 },
];

describe('a motion on a rig', () => {
  it.each(HOSTS)('is the same in metres, radians and seconds through the host %j', (more) => {
    const facts = { ...HARBOUR_FACTS, ...more };
    const rig = makePlainRig();
    const report = applyToRig(document, adaptPlainRig(rig, facts), PLAIN_MAPPING);
    expect(report.applied).toBe(true);
    expect(Object.keys(rig.base)).toHaveLength(13);
    const sources = rigSources(document);
    const rate = facts.fps === 23.976 ? 24000 / 1001 : Number(facts.fps);
    for (const [name, channel] of Object.entries(PLAIN_MAPPING)) {
      const { curve, kind, channel: direction } = sources.get(name)!;
      const { sign } = sceneAxes(facts)[direction];
      const unit = kind === 'length' ? facts.metersPerUnit : facts.angles === 'degrees' ? Math.PI / 180 : 1;
      for (let i = 0; i < 500; i++) {
        const time = -1.3 + (i * 4.1) / 499;
        const value = rigValue(rig.base[channel], facts.firstFrame + time * rate) * unit * sign;
        assertClose(value, evaluate(curve, time), SAME, `${name} at ${time}`);
      }
    }
  });

  it('has its seam at both ends, a cycle apart', () => {
    const rig = makePlainRig();
    applyToRig(document, adaptPlainRig(rig), { 'root.forward': 'hips.y', 'root.height': 'hips.z' });
    const { keys, after } = rig.base['hips.y'];
    expect([keys[0].frame, keys[keys.length - 1].frame, after]).toEqual([1001, 1027, 'travels']);
    // Along −y in centimetres: a stride is a fall by its length.
    const stride = document.pace!.strideLength;
    assertClose(keys[keys.length - 1].value - keys[0].value, -100 * stride, { abs: 1e-9 });
    const height = rig.base['hips.z'].keys;
    expect(height[height.length - 1].value).toBe(height[0].value);
  });

  it('says what it would do, and does nothing, on a dry run', () => {
    const rig = makePlainRig();
    const report = applyToRig(document, adaptPlainRig(rig), { 'root.height': 'hips.z' }, { dryRun: true });
    expect(rig.base).toEqual({});
    expect(report).toMatchObject({ applied: false, problems: [] });
    const [{ values, ...change }] = report.changes;
    expect(change).toEqual({
      source: 'root.height',
      channel: 'hips.z',
      action: 'replace',
      keysBefore: 0,
      keysAfter: 9,
      frames: [1001, 1027],
    });
    expect(values[0]).toBeGreaterThan(70);
    expect(values[1]).toBeLessThan(100);
  });

  it('lays itself over what is there where that is asked and possible', () => {
    const rig = makePlainRig();
    const adapter = adaptPlainRig(rig);
    applyToRig(document, adapter, { 'root.height': 'hips.z' });
    const base = structuredClone(rig.base);
    const report = applyToRig(
      document,
      adapter,
      { 'part.belly': { channel: 'hips.z', scale: 0.5, offset: 2 } },
      { mode: 'add' },
    );
    expect(report.changes[0].action).toBe('add');
    expect(rig.base).toEqual(base);
    assertClose(rigValue(rig.over['hips.z'], 1001), 2 + 50 * evaluate(document.followers[0].curve, 0), SAME);
    const flat = adaptPlainRig(rig, { ...HARBOUR_FACTS, layers: false });
    expect(() => applyToRig(document, flat, {}, { mode: 'add' })).toThrow(
      'applyToRig: mode must be "replace" on a rig without layers',
    );
  });

  it('leaves locked channels as they are', () => {
    const rig = makePlainRig(['hips.z']);
    const mapping = { 'root.side': 'hips.x', 'root.height': 'hips.z' };
    expect(() => applyToRig(document, adaptPlainRig(rig), mapping)).toThrow(
      'applyToRig: mapping["root.height"] must not name a locked channel, got "hips.z"',
    );
    expect(rig.base).toEqual({});
    const { changes } = applyToRig(document, adaptPlainRig(rig), mapping, { skipLocked: true });
    expect(changes.map(({ action }) => action)).toEqual(['replace', 'skip']);
    expect(Object.keys(rig.base)).toEqual(['hips.x']);
  });

  it.each([
    [{ 'root.heigth': 'hips.z' }, 'mapping["root.heigth"] must be one of root.height, '],
    [{ 'root.height': 'hips.w' }, 'mapping["root.height"] must name a channel of the rig, got "hips.w"'],
    [{ 'root.height': 'footL.pitch' }, 'must name a channel of the kind length'],
    [
      { 'root.height': 'hips.z', 'root.side': 'hips.z' },
      'mapping["root.side"] must not share a channel with root.height',
    ],
    [
      { 'root.height': { channel: 'hips.z', scale: Number.NaN } },
      'must have a finite scale and offset, got NaN',
    ],
  ])('is refused whole where the mapping is %j', (mapping, message) => {
    const rig = makePlainRig();
    expect(() =>
      applyToRig(document, adaptPlainRig(rig), { 'left.side': 'footL.x', ...mapping } as never),
    ).toThrow(message);
    expect(rig.base).toEqual({});
    expect(
      applyToRig(document, adaptPlainRig(rig), mapping as never, { dryRun: true }).problems,
    ).toHaveLength(1);
  });

  it('is taken back whole where the host fails half way', () => {
    const rig = makePlainRig();
    const adapter = adaptPlainRig(rig);
    applyToRig(document, adapter, { 'root.side': 'hips.x' });
    const before = structuredClone(rig.base);
    const failing = {
      ...adapter,
      writeKeys: (...[channel, curve, mode]: Parameters<typeof adapter.writeKeys>) => {
        if (channel === 'hips.z' && curve) throw new Error('the host is out of ink');
        adapter.writeKeys(channel, curve, mode);
      },
    };
    const other = exampleDocument({ spec: { pace: 'brisk' } });
    const mapping = { 'root.side': 'hips.x', 'root.forward': 'hips.y', 'root.height': 'hips.z' };
    let failure: Error | undefined;
    try {
      applyToRig(other, failing, mapping);
    } catch (error) {
      failure = error as Error;
    }
    expect(failure?.message).toBe(
      'applyToRig: channel "hips.z" must be writable; what was written before it has been taken back, got Error: the host is out of ink',
    );
    expect(String(failure?.cause)).toBe('Error: the host is out of ink');
    expect(rig.base).toEqual(before);
  });
});

describe('a host that writes later', () => {
  const TOLD =
    'applyToRig: adapter.writeKeys must write before it returns, as nothing waits for a promise; what was written before it';

  it.each(['keeps its word', 'fails'])('is refused where it %s', async (which) => {
    const adapter = adaptPlainRig(makePlainRig());
    const late = {
      ...adapter,
      writeKeys: async (...given: Parameters<typeof adapter.writeKeys>) => {
        await Promise.resolve();
        if (which === 'fails') throw new Error('the host is out of ink');
        adapter.writeKeys(...given);
      },
    };
    const mapping = { 'root.side': 'hips.x', 'root.height': 'hips.z' };
    expect(() => applyToRig(document, late, mapping)).toThrow(
      new TypeError(`${TOLD} could not be taken back from hips.x, got a promise`),
    );
    // A rejection that nobody caught would fail the run.
    await new Promise((resolve) => setTimeout(resolve));
  });

  it('is given back what it had where it can do that at once', () => {
    const rig = makePlainRig();
    const adapter = adaptPlainRig(rig);
    applyToRig(document, adapter, { 'root.side': 'hips.x' });
    const before = { ...rig.base };
    const late = {
      ...adapter,
      writeKeys: async (...given: Parameters<typeof adapter.writeKeys>) => adapter.writeKeys(...given),
      takeCopy: (channel: string) => rig.base[channel],
      putBack: (channel: string, copy: unknown) => {
        rig.base[channel] = copy as RigCurve;
      },
    };
    const mapping = { 'root.side': { channel: 'hips.x', scale: 2 } };
    expect(() => applyToRig(document, late, mapping)).toThrow(`${TOLD} has been taken back, got a promise`);
    expect(rig.base).toEqual(before);
  });
});

/** The example's document with a root that jumps by 3 cm at a key. */
function jumping() {
  const { height } = document.root;
  const keys = height.keys.map((key, i) => (i === 3 ? { ...key, arrives: key.value - 0.03 } : key));
  return { ...document, root: { ...document.root, height: { ...height, keys } } };
}

describe('a curve that jumps at a key', () => {
  const mapping = { 'root.height': 'hips.z' };

  it('is refused, and told on a dry run, on a rig that cannot keep it', () => {
    const rig = makePlainRig();
    const told =
      /mapping\["root.height"\] must not jump at a key on a rig without jumps, got "a jump at 0\.\d+ s"/;
    const facts = { ...HARBOUR_FACTS, jumps: false };
    expect(() => applyToRig(jumping(), adaptPlainRig(rig, facts), mapping)).toThrow(told);
    expect(rig.base).toEqual({});
    const { problems } = applyToRig(jumping(), adaptPlainRig(rig, facts), mapping, { dryRun: true });
    expect(problems.map(({ field }) => field)).toEqual(['mapping["root.height"]']);
  });

  it('is carried through on a rig that can', () => {
    const rig = makePlainRig();
    applyToRig(jumping(), adaptPlainRig(rig, { ...HARBOUR_FACTS, jumps: true }), mapping);
    const { keys } = rig.base['hips.z'];
    expect(keys.filter(({ arrives }) => arrives !== undefined)).toHaveLength(1);
    assertClose(keys[3].value - (keys[3].arrives ?? 0), 3, SAME);
    const { height } = jumping().root;
    for (let i = 0; i < 400; i++) {
      const time = -1.3 + (i * 4.1) / 399;
      assertClose(rigValue(rig.base['hips.z'], 1001 + 24 * time) / 100, evaluate(height, time), SAME);
    }
  });
});

describe('what is taken back', () => {
  const mapping = { 'root.side': 'hips.x', 'root.height': 'hips.z' };

  it("is the host's own copy, to the bit, where it makes one", () => {
    const rig = makePlainRig();
    const adapter = adaptPlainRig(rig);
    applyToRig(document, adapter, mapping);
    const before = { ...rig.base };
    const failing = {
      ...adapter,
      // Reads back rounded, as a host that keeps handles as points does.
      readKeys: () => undefined,
      writeKeys: (...[channel, curve, mode]: Parameters<typeof adapter.writeKeys>) => {
        if (channel === 'hips.z') throw new Error('the host is out of ink');
        adapter.writeKeys(channel, curve, mode);
      },
      takeCopy: (channel: string) => rig.base[channel],
      putBack: (channel: string, copy: unknown) => {
        rig.base[channel] = copy as RigCurve;
      },
    };
    expect(() => applyToRig(document, failing, mapping)).toThrow('channel "hips.z" must be writable');
    expect(rig.base['hips.x']).toBe(before['hips.x']);
    expect(rig.base['hips.z']).toBe(before['hips.z']);
  });

  it('is said to be missing where even that fails', () => {
    const adapter = adaptPlainRig(makePlainRig());
    const dead = {
      ...adapter,
      writeKeys: () => {
        throw new Error('the host is gone');
      },
    };
    expect(() => applyToRig(document, dead, mapping)).toThrow(
      'channel "hips.x" must be writable; what was written before it could not be taken back from hips.x, got Error: the host is gone',
    );
  });

  it('asks for facts that mean something', () => {
    const rig = makePlainRig();
    const facts = { ...HARBOUR_FACTS, angles: 'deg' as never };
    expect(() => applyToRig(document, adaptPlainRig(rig, facts), mapping)).toThrow(
      'applyToRig: adapter.facts.angles must be one of "radians", "degrees", got "deg"',
    );
    expect(() => applyToRig(document, null as never, mapping)).toThrow('adapter must be an object, got null');
  });
});

describe('a three.js scene as a rig', () => {
  it('plays the motion', () => {
    const scene = new Object3D();
    for (const name of ['hips', 'footL']) scene.add(Object.assign(new Object3D(), { name }));
    const { adapter, clip } = adaptThree(scene, ['hips', 'footL'], 24);
    applyToRig(document, adapter, {
      'root.height': 'hips.position[y]',
      'root.forward': 'hips.position[z]',
      'left.pitch': 'footL.rotation[x]',
    });
    const mixer = new AnimationMixer(scene);
    mixer.clipAction(clip('walk')).play();
    // Straight lines between four samples a frame: 0.1 mm, and 0.01 rad where the foot turns fastest.
    for (let i = 0; i < 200; i++) {
      const time = (document.span.duration * (i + 0.5)) / 200;
      mixer.setTime(time);
      const hips = scene.getObjectByName('hips').position;
      assertClose(hips.y, evaluate(document.root.height, time), { abs: 1e-4 });
      assertClose(hips.z, evaluate(document.root.forward, time), { abs: 1e-4 });
      assertClose(scene.getObjectByName('footL').rotation.x, evaluate(document.feet.left.pitch, time), {
        abs: 1e-2,
      });
    }
  });
});
