/** An adapter for three.js: every channel becomes a track of a clip, sampled several times a frame. */
import { AnimationClip, NumberKeyframeTrack, type Object3D } from 'three';
import { type RigAdapter, type RigCurve, rigValue } from 'underfoot/exchange';

/** A clip in the making. */
export interface ThreeRig {
  readonly adapter: RigAdapter;
  /** The clip of everything written so far. */
  clip(name: string): AnimationClip;
}

/** Samples of a track per frame: three.js joins them by straight lines, which are then 0.1 mm off at most. */
const PER_FRAME = 4;

const AXES = ['x', 'y', 'z'] as const;

/**
 * Adapts the named objects below a root: `hips.position[y]`, `hips.rotation[x]` and so on. three.js counts
 * metres, y up, seconds and radians, and its figures face +z.
 */
export function adaptThree(root: Object3D, names: readonly string[], fps: number): ThreeRig {
  const written = new Map<string, RigCurve>();
  for (const name of names)
    if (!root.getObjectByName(name)) throw new RangeError(`adaptThree: no object "${name}"`);
  const channels = names.flatMap((name) => [
    ...AXES.map((axis) => ({ name: `${name}.position[${axis}]`, kind: 'length' as const })),
    ...AXES.map((axis) => ({ name: `${name}.rotation[${axis}]`, kind: 'angle' as const })),
  ]);
  const adapter: RigAdapter = {
    facts: { up: 'y', forward: '+z', metersPerUnit: 1, fps, firstFrame: 0, angles: 'radians', layers: false },
    channels: () => channels,
    readKeys: (channel) => written.get(channel),
    writeKeys: (channel, curve) => {
      if (curve) written.set(channel, curve);
      else written.delete(channel);
    },
  };
  const track = ([channel, curve]: readonly [string, RigCurve]): NumberKeyframeTrack => {
    const [first, last] = [curve.keys[0].frame, curve.keys[curve.keys.length - 1].frame];
    const count = Math.max(1, Math.round((last - first) * PER_FRAME));
    const frames = Array.from({ length: count + 1 }, (_, i) => first + ((last - first) * i) / count);
    const times = frames.map((frame) => frame / fps);
    return new NumberKeyframeTrack(
      channel,
      times,
      frames.map((frame) => rigValue(curve, frame)),
    );
  };
  return { adapter, clip: (name) => new AnimationClip(name, -1, [...written].map(track)) };
}
