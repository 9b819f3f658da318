import { errorOf, requireNumber, requireRecord, show } from '../../internal/check.js';
import { judge, type LawReport } from '../laws/law.js';
import { contractLaws } from './contract-laws.js';
import { layerLaws } from './layer-laws.js';
import { meaningLaws } from './meaning-laws.js';
import { Probe } from './probe.js';
import type { AdapterOptions, RigTrial } from './rig-trial.js';
import { shapeLaws } from './shape-laws.js';

const FIELDS = ['mapping', 'runs', 'seed', 'tolerance', 'samplesPerFrame', 'outside'];

/**
 * Judges a rig adapter by laws that hold for every motion, and names the one that is broken.
 *
 * Curves made for one question each are applied to a new rig and compared with what the host then plays,
 * in metres, radians and seconds. Laws are tried in order up to the first that is broken, since each takes
 * for granted what those before it showed.
 *
 * @param makeTrial - makes a rig without a key, its adapter, and a way to ask the host what it plays; called
 * for every case
 * @param options - the mapping, required; cases for each law, seed, tolerance as a fraction of a curve's
 * largest value, samples a frame, whether the host goes on outside the keys
 * @returns every law with its verdict and cases; `assertLaws` throws it, `formatReport` prints it
 * @throws RangeError or TypeError where the options are wrong; what the adapter throws is reported
 *
 * @example
 * ```ts
 * import type { RigAdapter, RigCurve } from 'underfoot/exchange';
 * import { checkRigAdapter } from 'underfoot/testing';
 *
 * const scene = { up: 'y', forward: '+z', metersPerUnit: 0.01, fps: 24, firstFrame: 1 } as const;
 * const makeTrial = () => {
 *   const kept = new Map<string, RigCurve | undefined>();
 *   const adapter: RigAdapter = {
 *     facts: { ...scene, angles: 'degrees', layers: false },
 *     channels: () => [{ name: 'hips.lift', kind: 'length' }],
 *     readKeys: (channel) => kept.get(channel),
 *     writeKeys: (channel, curve) => {
 *       if (curve) kept.set(channel, { ...curve, keys: curve.keys.slice(0, -1) });
 *       else kept.delete(channel);
 *     },
 *   };
 *   return { adapter };
 * };
 * const report = checkRigAdapter(makeTrial, { mapping: { 'root.height': 'hips.lift' } });
 * console.log(report.broken?.law); // → No key is lost on the way.
 * ```
 */
export function checkRigAdapter(makeTrial: () => RigTrial, options: AdapterOptions): LawReport {
  const where = 'checkRigAdapter';
  requireRecord(where, 'options', options, FIELDS);
  requireRecord(where, 'mapping', options.mapping);
  const { mapping, runs = 200, seed = 1, tolerance = 1e-9, samplesPerFrame = 0, outside = true } = options;
  refuseMapping(where, mapping);
  requireNumber(where, 'runs', runs, { whole: true, min: 1, max: 1e6 });
  requireNumber(where, 'seed', seed, { whole: true });
  requireNumber(where, 'tolerance', tolerance, { above: 0, max: 0.1 });
  requireNumber(where, 'samplesPerFrame', samplesPerFrame, { whole: true, min: 0, max: 64 });
  const settled = { mapping, runs, seed, tolerance, samplesPerFrame, outside };
  const makeProbe = (): Probe => new Probe(makeTrial(), settled);
  const { layers, jumps = false } = makeTrial().adapter.facts;
  const laws = [
    ...contractLaws(makeProbe),
    ...meaningLaws(makeProbe),
    ...shapeLaws(makeProbe, { outside, samplesPerFrame, jumps }),
    ...layerLaws(makeProbe, tolerance, layers),
  ];
  return judge('rig adapter', laws, runs, seed);
}

function refuseMapping(where: string, mapping: AdapterOptions['mapping']): void {
  const entries = Object.entries(mapping);
  if (entries.length === 0)
    throw errorOf(where, { field: 'mapping', rule: 'must have at least 1 field', got: '0', kind: 'range' });
  for (const [source, channel] of entries) {
    if (typeof channel === 'string') continue;
    const rule = 'must be the name of a channel';
    throw errorOf(where, { field: `mapping["${source}"]`, rule, got: show(channel), kind: 'type' });
  }
}
