import type { Curve } from '../../curves/curve.js';
import type { Channels } from '../../gait/walk.js';
import type { MotionDocument } from '../document.js';

/** A curve of a document under the name that mappings use. */
export interface RigSource {
  readonly curve: Curve;
  readonly kind: 'length' | 'angle';
  /** Direction that it runs along or turns about. */
  readonly channel: keyof Channels<unknown>;
}

const CHANNELS = ['height', 'forward', 'side'] as const;

/**
 * The curves that a rig can be given, by name: `root.height`, `root.forward`, `root.side`; for each foot
 * `left.height`, `left.forward`, `left.side` (of the ball), `left.pitch`, `left.toeBend`; and each follower
 * as `part.` and its name.
 */
export function rigSources(document: MotionDocument): ReadonlyMap<string, RigSource> {
  const sources = new Map<string, RigSource>();
  for (const channel of CHANNELS) {
    sources.set(`root.${channel}`, { curve: document.root[channel], kind: 'length', channel });
  }
  for (const side of ['left', 'right'] as const) {
    const foot = document.feet[side];
    for (const channel of CHANNELS)
      sources.set(`${side}.${channel}`, { curve: foot[channel], kind: 'length', channel });
    sources.set(`${side}.pitch`, { curve: foot.pitch, kind: 'angle', channel: 'side' });
    sources.set(`${side}.toeBend`, { curve: foot.toeBend, kind: 'angle', channel: 'side' });
  }
  for (const { name, unit, channel, curve } of document.followers) {
    sources.set(`part.${name}`, { curve, kind: unit === 'm' ? 'length' : 'angle', channel });
  }
  return sources;
}
