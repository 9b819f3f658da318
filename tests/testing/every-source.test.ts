import { describe, expect, it } from 'vitest';
import type { RigAdapter, RigCurve } from '../../src/exchange/rig/rig-adapter.js';
import { rigSources } from '../../src/exchange/rig/rig-sources.js';
import { probeDocument } from '../../src/testing/adapter/probe-document.js';
import { checkRigAdapter, formatReport } from '../../src/testing/index.js';

const MAPPED = { 'part.belly': 'belly', 'part.tail': 'tail' };
const KINDS = new Map([
  ['belly', 'length'],
  ['tail', 'angle'],
] as const);

const SOURCES = [...rigSources(probeDocument(MAPPED, KINDS))].map(([name, { kind }]) => ({ name, kind }));

/** A host that keeps the curves as it gets them. */
function makeKeeper(kind: 'length' | 'angle', angles: 'degrees' | 'radians'): RigAdapter {
  const kept = new Map<string, RigCurve>();
  return {
    facts: { up: 'y', forward: '+z', metersPerUnit: 0.01, fps: 24, firstFrame: 1001, angles, layers: false },
    channels: () => [{ name: 'only', kind }],
    readKeys: (channel) => kept.get(channel),
    writeKeys: (channel, curve) => {
      if (curve) kept.set(channel, curve);
      else kept.delete(channel);
    },
  };
}

describe('an adapter that keeps curves as they are', () => {
  it('may be tried with headings, turns and parts too', () => {
    const names = SOURCES.map(({ name }) => name);
    for (const name of [
      'root.heading',
      'left.heading',
      'pelvis.heading',
      'chest.roll',
      'leftArm.pitch',
      'rightArm.elbow',
      'part.tail',
    ]) {
      expect(names).toContain(name);
    }
  });

  it.each(SOURCES)('is right with $name', ({ name, kind }) => {
    for (const angles of ['degrees', 'radians'] as const) {
      const report = checkRigAdapter(() => ({ adapter: makeKeeper(kind, angles) }), {
        mapping: { [name]: 'only' },
        runs: 5,
      });
      expect(report.holds, formatReport(report)).toBe(true);
    }
  });
});
