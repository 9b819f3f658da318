import type { Curve } from '../../curves/curve.js';
import type { Channels } from '../../gait/walk.js';
import type { MotionDocument } from '../document.js';
import { requireDocument } from '../require-document.js';

/** A curve of a document under the name that mappings use. */
export interface RigSource {
  readonly curve: Curve;
  readonly kind: 'length' | 'angle';
  /** Direction that it runs along or turns about. */
  readonly channel: keyof Channels<unknown>;
}

const CHANNELS = ['height', 'forward', 'side'] as const;

/**
 * The curves that a rig can be given, by name: `root.height`, `root.forward`, `root.side`, and `root.heading`
 * where the way turns; for each foot `left.height`, `left.forward`, `left.side` (of the ball), `left.pitch`,
 * `left.toeBend`, and `left.heading` where that changes; where the document has turns `heading`, `roll` and
 * `pitch` of `pelvis.`, `chest.` and `head.`, and `leftArm.pitch`, `leftArm.elbow`; and each follower as
 * `part.` and its name. Angles are against the direction of travel, feet's headings against the first one.
 *
 * @throws TypeError where it is no document
 *
 * @example
 * ```ts
 * import { planWalk } from 'underfoot';
 * import { rigSources, toDocument } from 'underfoot/exchange';
 *
 * const scene = { up: 'y', forward: '+z', metersPerUnit: 1, fps: 24, firstFrame: 1 } as const;
 * const document = toDocument(planWalk({ pace: 'ordinary' }), { name: 'Lamplighter', scene });
 * console.log([...rigSources(document).keys()][0]); // → root.height
 * ```
 */
export function rigSources(document: MotionDocument): ReadonlyMap<string, RigSource> {
  requireDocument('rigSources', document);
  const sources = new Map<string, RigSource>();
  for (const channel of CHANNELS) {
    sources.set(`root.${channel}`, { curve: document.root[channel], kind: 'length', channel });
  }
  const turn = (name: string, curve: Curve | undefined, channel: keyof Channels<unknown>): void => {
    if (curve) sources.set(name, { curve, kind: 'angle', channel });
  };
  turn('root.heading', document.root.heading, 'height');
  for (const side of ['left', 'right'] as const) {
    const foot = document.feet[side];
    for (const channel of CHANNELS)
      sources.set(`${side}.${channel}`, { curve: foot[channel], kind: 'length', channel });
    turn(`${side}.pitch`, foot.pitch, 'side');
    turn(`${side}.toeBend`, foot.toeBend, 'side');
    turn(`${side}.heading`, foot.heading, 'height');
  }
  for (const part of ['pelvis', 'chest', 'head'] as const) {
    const turns = document.turns?.[part];
    turn(`${part}.heading`, turns?.heading, 'height');
    turn(`${part}.roll`, turns?.roll, 'forward');
    turn(`${part}.pitch`, turns?.pitch, 'side');
  }
  for (const side of ['left', 'right'] as const) {
    const arm = document.turns?.arms[side];
    turn(`${side}Arm.pitch`, arm?.pitch, 'side');
    turn(`${side}Arm.elbow`, arm?.elbow, 'side');
  }
  for (const { name, unit, channel, curve } of document.followers) {
    sources.set(`part.${name}`, { curve, kind: unit === 'm' ? 'length' : 'angle', channel });
  }
  return sources;
}
