/**
 * A host with its own way of keeping and playing curves, so that what it plays is no word of the library's:
 * handles as points, time found by bisection. Centimetres, degrees, z up, the way along −y, frame 1001 first.
 */
import type { RigAdapter, RigCurve, RigFacts, RigKey, RigMode } from '../../src/exchange/index.js';
import type { RigTrial } from '../../src/testing/index.js';

export const HARBOUR_MAPPING = {
  'root.side': 'hips.x',
  'root.forward': 'hips.y',
  'root.height': 'hips.z',
  'left.pitch': 'footL.pitch',
  'right.pitch': 'footR.pitch',
  'part.belly': 'belly.z',
} as const;

/** What the host shows for each curve of the document: its channel, and the factor to metres or radians. */
const SHOWN: Readonly<Record<string, readonly [string, number]>> = {
  'root.side': ['hips.x', 0.01],
  'root.forward': ['hips.y', -0.01],
  'root.height': ['hips.z', 0.01],
  'left.pitch': ['footL.pitch', Math.PI / 180],
  'right.pitch': ['footR.pitch', Math.PI / 180],
  'part.belly': ['belly.z', 0.01],
};

export const FACTS: RigFacts = {
  up: 'z',
  forward: '-y',
  metersPerUnit: 0.01,
  fps: 24,
  firstFrame: 1001,
  angles: 'degrees',
  layers: true,
  jumps: true,
};

interface Handle {
  readonly frame: number;
  readonly value: number;
}

interface HostKey extends Handle {
  readonly left: Handle;
  readonly right: Handle;
  readonly next: RigKey['next'];
  /** Where the curve comes from, where it jumps. */
  readonly from?: number;
}

export interface HostCurve {
  readonly keys: readonly HostKey[];
  readonly before: RigCurve['before'];
  readonly after: RigCurve['after'];
}

type Layer = Record<string, HostCurve>;

export interface Host {
  readonly locked: Set<string>;
  readonly base: Layer;
  readonly over: Layer;
  /** Channels whose next write breaks off. */
  readonly spoilt: Set<string>;
}

export const CHANNELS = Object.values(HARBOUR_MAPPING);

export const layerOf = (host: Host, mode: RigMode): Layer => (mode === 'add' ? host.over : host.base);

export function toHost({ keys, before, after }: RigCurve): HostCurve {
  return {
    keys: keys.map(({ frame, value, in: arriving, out, next, arrives = value }) => ({
      frame,
      value,
      left: { frame: frame - arriving.frames, value: arrives - arriving.slope * arriving.frames },
      right: { frame: frame + out.frames, value: value + out.slope * out.frames },
      // A handle of no length has no direction.
      next,
      ...(arrives === value ? {} : { from: arrives }),
    })),
    before,
    after,
  };
}

function fromHost({ keys, before, after }: HostCurve): RigCurve {
  const side = (a: Handle, b: Handle) => {
    const frames = b.frame - a.frame;
    return { frames, slope: frames > 0 ? (b.value - a.value) / frames : 0 };
  };
  return {
    keys: keys.map((key) => ({
      frame: key.frame,
      value: key.value,
      in: side(key.left, arriving(key)),
      out: side(key, key.right),
      next: key.next,
      ...(key.from === undefined ? {} : { arrives: key.from }),
    })),
    before,
    after,
  };
}

const arriving = ({ frame, value, from = value }: HostKey): Handle => ({ frame, value: from });

function bezier(a: number, b: number, c: number, d: number, s: number): number {
  const r = 1 - s;
  return r * r * (r * a + 3 * s * b) + s * s * (3 * r * c + s * d);
}

function between(a: HostKey, end: HostKey, frame: number): number {
  const b = { ...end, ...arriving(end) };
  if (a.next === 'hold') return a.value;
  if (a.next === 'line') return a.value + ((b.value - a.value) * (frame - a.frame)) / (b.frame - a.frame);
  let [low, high] = [0, 1];
  for (let i = 0; i < 54; i++) {
    const s = (low + high) / 2;
    if (bezier(a.frame, a.right.frame, b.left.frame, b.frame, s) < frame) low = s;
    else high = s;
  }
  return bezier(a.value, a.right.value, b.left.value, b.value, (low + high) / 2);
}

/** Slope at an end: along the first handle that has a length, as every host draws it. */
function endSlope(points: readonly Handle[]): number {
  const [end] = points;
  const towards = points.find(({ frame }) => Math.abs(frame - end.frame) > 1e-9);
  return towards ? (towards.value - end.value) / (towards.frame - end.frame) : 0;
}

function slopeAtEnd(keys: readonly HostKey[], last: boolean): number {
  const [a, right] = last ? [keys[keys.length - 2], keys[keys.length - 1]] : [keys[0], keys[1]];
  const b = { ...right, ...arriving(right) };
  if (a.next === 'hold') return 0;
  if (a.next === 'line') return (b.value - a.value) / (b.frame - a.frame);
  return endSlope(last ? [b, b.left, a.right, a] : [a, a.right, b.left, b]);
}

export function play({ keys, before, after }: HostCurve, frame: number, late = 0): number {
  const [first, last] = [keys[0], keys[keys.length - 1]];
  if (frame < first.frame || frame >= last.frame) {
    const [rule, end, isLast] = frame < first.frame ? [before, first, false] : ([after, last, true] as const);
    if (rule === 'holds') return isLast ? end.value : arriving(end).value;
    if (rule === 'straight') return end.value + slopeAtEnd(keys, isLast as boolean) * (frame - end.frame);
    const cycle = last.frame - first.frame + (rule === 'loops' ? late : 0);
    const turns = Math.floor((frame - first.frame) / cycle);
    const gain = rule === 'travels' ? last.value - first.value : 0;
    return play({ keys, before: 'holds', after: 'holds' }, frame - turns * cycle) + turns * gain;
  }
  const i = keys.findIndex((key) => key.frame > frame);
  return between(keys[i - 1], keys[i], frame);
}

/** What an adapter of this host may do otherwise than it should. */
export interface Mistake {
  readonly facts?: Partial<RigFacts>;
  /** Changes what is written. */
  readonly curve?: (curve: RigCurve, channel: string) => RigCurve;
  readonly channel?: (channel: string) => string;
  /** Frames by which loops come round too late. */
  readonly late?: number;
  readonly tellsLocks?: boolean;
  readonly write?: (host: Host, channel: string, curve: RigCurve | undefined, mode: RigMode) => void;
  readonly read?: (host: Host, channel: string, mode: RigMode) => RigCurve | undefined;
  /** Whether the host copies what it has in its own form. Default true. */
  readonly copies?: boolean;
  readonly putBack?: RigAdapter['putBack'];
}

function write(host: Host, channel: string, curve: RigCurve | undefined, mode: RigMode): void {
  const layer = layerOf(host, mode);
  if (curve === undefined) {
    delete layer[channel];
    return;
  }
  if (host.spoilt.delete(channel)) {
    layer[channel] = toHost({ ...curve, keys: curve.keys.slice(0, Math.ceil(curve.keys.length / 2)) });
    throw new Error('the host has failed half way');
  }
  layer[channel] = toHost(curve);
}

const read = (host: Host, channel: string, mode: RigMode): RigCurve | undefined => {
  const kept = layerOf(host, mode)[channel];
  return kept && fromHost(kept);
};

/** A new rig of this host and its adapter, with a mistake or without. */
export function makeHarbourTrial(mistake: Mistake = {}): RigTrial {
  const host: Host = { locked: new Set(), base: {}, over: {}, spoilt: new Set() };
  const named = mistake.channel ?? ((channel: string) => channel);
  const copying: Pick<RigAdapter, 'takeCopy' | 'putBack'> = {
    takeCopy: (channel, mode) => layerOf(host, mode)[named(channel)],
    putBack:
      mistake.putBack ??
      ((channel, copy, mode) => {
        if (copy) layerOf(host, mode)[named(channel)] = copy as HostCurve;
        else delete layerOf(host, mode)[named(channel)];
      }),
  };
  const adapter: RigAdapter = {
    ...(mistake.copies === false ? {} : copying),
    facts: { ...FACTS, ...mistake.facts },
    channels: () =>
      CHANNELS.map((name) => ({
        name,
        kind: name.endsWith('pitch') ? ('angle' as const) : ('length' as const),
        locked: mistake.tellsLocks !== false && host.locked.has(name),
      })),
    readKeys: (channel, mode) => (mistake.read ?? read)(host, named(channel), mode),
    writeKeys: (channel, curve, mode) =>
      (mistake.write ?? write)(
        host,
        named(channel),
        curve && (mistake.curve?.(curve, channel) ?? curve),
        mode,
      ),
  };
  return {
    adapter,
    play: (source, seconds) => {
      const [channel, factor] = SHOWN[source];
      const frame = 1001 + seconds * 24;
      const layers = [host.base[channel], host.over[channel]];
      return layers.reduce((sum, curve) => sum + (curve ? play(curve, frame, mistake.late) : 0), 0) * factor;
    },
    lock: (channel) => host.locked.add(channel),
    spoil: (channel) => host.spoilt.add(channel),
  };
}
