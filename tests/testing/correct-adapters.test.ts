import { describe, expect, it } from 'vitest';
import { adaptPlainRig, makePlainRig, PLAIN_MAPPING } from '../../examples/plain-rig.js';
import { rigValue } from '../../src/exchange/index.js';
import { assertLaws, checkRigAdapter, type RigTrial } from '../../src/testing/index.js';
import { HARBOUR_MAPPING, makeHarbourTrial } from './harbour-host.js';

/** Cases for each law; more with FAST_CHECK_RUNS in the environment. */
const RUNS = Number(process.env.FAST_CHECK_RUNS ?? 100);

/** Long enough for 10 000 cases of each law on a busy machine. */
const PATIENCE = { timeout: 400_000 };

/** The plain rig played from its own data: centimetres, degrees, frame 1001 first, the way along −y. */
function plainTrial(): RigTrial {
  const locked: string[] = [];
  const { base, over, ...rig } = makePlainRig();
  const shown = (channel: string, frame: number): number =>
    [base[channel], over[channel]].reduce((sum, curve) => sum + (curve ? rigValue(curve, frame) : 0), 0);
  const adapter = adaptPlainRig({ ...rig, base, over });
  return {
    adapter: {
      ...adapter,
      channels: () => rig.channels.map((channel) => ({ ...channel, locked: locked.includes(channel.name) })),
    },
    play: (source, seconds) => {
      const channel = PLAIN_MAPPING[source as keyof typeof PLAIN_MAPPING];
      const raw = shown(channel, 1001 + 24 * seconds);
      const turned = channel.endsWith('.y') ? -raw : raw;
      return /pitch|bend/.test(channel) ? (turned * Math.PI) / 180 : turned / 100;
    },
    lock: (channel) => locked.push(channel),
  };
}

describe('a correct adapter', () => {
  it('of the plain rig keeps every law', PATIENCE, () => {
    assertLaws(checkRigAdapter(plainTrial, { mapping: PLAIN_MAPPING, runs: RUNS }));
  });

  it('of a host with its own way of playing curves keeps every law', PATIENCE, () => {
    assertLaws(checkRigAdapter(() => makeHarbourTrial(), { mapping: HARBOUR_MAPPING, runs: RUNS }));
  });

  it('of a host that cannot copy what it has keeps them to its rounding', () => {
    const makeTrial = () => makeHarbourTrial({ copies: false });
    assertLaws(checkRigAdapter(makeTrial, { mapping: HARBOUR_MAPPING, runs: 100 }));
  });

  it('of a host without jumps is asked for none', () => {
    const makeTrial = () => makeHarbourTrial({ facts: { jumps: false } });
    const report = checkRigAdapter(makeTrial, { mapping: HARBOUR_MAPPING, runs: 20 });
    expect(report.holds).toBe(true);
    expect(report.laws.some(({ law }) => law.startsWith('A jump'))).toBe(false);
  });

  it('is believed where the host cannot be asked', () => {
    const blind = (mistake = {}): RigTrial => ({ adapter: makeHarbourTrial(mistake).adapter });
    const options = { mapping: HARBOUR_MAPPING, runs: 20 };
    expect(checkRigAdapter(() => blind(), options).holds).toBe(true);
    // Wrong facts are not seen, wrong keys still are.
    expect(checkRigAdapter(() => blind({ facts: { metersPerUnit: 1 } }), options).holds).toBe(true);
    const swapped = { channel: (name: string) => (name === 'hips.y' ? 'hips.z' : name) };
    expect(checkRigAdapter(() => blind(swapped), options).holds).toBe(false);
  });
});

describe('the check of an adapter', () => {
  it('gives the same report again from the same seed', () => {
    const options = { mapping: HARBOUR_MAPPING, runs: 30, seed: 7 };
    const mistake = { facts: { fps: 25 } };
    const report = () => checkRigAdapter(() => makeHarbourTrial(mistake), options);
    expect(report()).toEqual(report());
  });

  it('reports what the adapter throws', () => {
    const broken = () => {
      const trial = makeHarbourTrial();
      const writeKeys = () => {
        throw new Error('out of ink');
      };
      return { ...trial, adapter: { ...trial.adapter, writeKeys } };
    };
    const report = checkRigAdapter(broken, { mapping: HARBOUR_MAPPING, runs: 5 });
    expect(report.holds).toBe(false);
    expect(report.broken?.because).toContain('out of ink');
  });

  it.each([
    [{}, 'mapping must be an object, got undefined'],
    [{ mapping: {} }, 'mapping must have at least 1 field, got 0'],
    [{ mapping: { 'root.height': 3 } }, 'mapping["root.height"] must be the name of a channel, got 3'],
    [{ mapping: HARBOUR_MAPPING, runs: 0 }, 'runs must be a whole number in [1, 1000000], got 0'],
    [{ mapping: HARBOUR_MAPPING, cases: 3 }, 'options must have no fields but'],
  ])('refuses the options %j', (options, message) => {
    expect(() => checkRigAdapter(() => makeHarbourTrial(), options as never)).toThrow(
      `checkRigAdapter: ${message}`,
    );
  });
});
