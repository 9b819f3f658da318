/** A rig that is nothing but plain data, and its adapter: where to begin when writing one for a host. */
import type { RigAdapter, RigChannel, RigCurve, RigFacts, RigMode } from 'underfoot/exchange';

/** Curves by channel, and curves laid over them. */
export interface PlainRig {
  readonly channels: readonly RigChannel[];
  readonly base: Record<string, RigCurve>;
  readonly over: Record<string, RigCurve>;
}

/** A rig in centimetres and degrees, z up, walking along −y, as an invented host might have it. */
export const HARBOUR_FACTS: RigFacts = {
  up: 'z',
  forward: '-y',
  metersPerUnit: 0.01,
  fps: 24,
  firstFrame: 1001,
  angles: 'degrees',
  layers: true,
  jumps: true,
};

/** A rig of the harbour's people without a single key. */
export function makePlainRig(locked: readonly string[] = []): PlainRig {
  const lengths = [
    'hips.x',
    'hips.y',
    'hips.z',
    'footL.x',
    'footL.y',
    'footL.z',
    'footR.x',
    'footR.y',
    'footR.z',
    'belly.z',
  ];
  const angles = ['footL.pitch', 'footR.pitch', 'toesL.bend', 'toesR.bend'];
  const channel =
    (kind: RigChannel['kind']) =>
    (name: string): RigChannel => ({ name, kind, locked: locked.includes(name) });
  return {
    channels: [...lengths.map(channel('length')), ...angles.map(channel('angle'))],
    base: {},
    over: {},
  };
}

/** The adapter: three methods and the host's facts. */
export function adaptPlainRig(rig: PlainRig, facts: RigFacts = HARBOUR_FACTS): RigAdapter {
  const layer = (mode: RigMode): Record<string, RigCurve> => (mode === 'add' ? rig.over : rig.base);
  return {
    facts,
    channels: () => rig.channels,
    readKeys: (channel, mode) => layer(mode)[channel],
    writeKeys: (channel, curve, mode) => {
      if (curve) layer(mode)[channel] = curve;
      else delete layer(mode)[channel];
    },
  };
}

/** Where the document's curves go on this rig: x is the character's left, since the way leads along −y. */
export const PLAIN_MAPPING = {
  'root.side': 'hips.x',
  'root.forward': 'hips.y',
  'root.height': 'hips.z',
  'left.side': 'footL.x',
  'left.forward': 'footL.y',
  'left.height': 'footL.z',
  'left.pitch': 'footL.pitch',
  'left.toeBend': 'toesL.bend',
  'right.side': 'footR.x',
  'right.forward': 'footR.y',
  'right.height': 'footR.z',
  'right.pitch': 'footR.pitch',
  'right.toeBend': 'toesR.bend',
} as const;
