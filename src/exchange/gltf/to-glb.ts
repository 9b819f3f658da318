import type { Document as Container, Node } from '@gltf-transform/core';
import { requireChoice, requireNumber, requireRecord } from '../../internal/check.js';
import type { MotionDocument } from '../document.js';
import { LIBRARY_VERSION } from '../library-version.js';
import { requireDocument } from '../require-document.js';
import { buildFigure } from './build-figure.js';
import { motionTracks } from './motion-tracks.js';
import type { NodeTrack, TrackPath } from './track-maker.js';

/** How to write a .glb. */
export interface GlbOptions {
  /** Along the way as the curves go, or staying where it stands, for viewers that loop. Default `travelling`. */
  readonly space?: 'travelling' | 'onTheSpot';
  /** Distance in m that refitted places may be off, > 0. Default 1e-6. */
  readonly tolerance?: number;
  /** How far components of refitted unit quaternions may be off, > 0. Default 1e-5. */
  readonly turnTolerance?: number;
}

/** A written file and how far its tracks are from the document's curves. */
export interface GlbResult {
  readonly glb: Uint8Array;
  /** Largest distance in m, and of quaternion components; measured, beside rounding to 32-bit floats. */
  readonly error: { readonly translation: number; readonly rotation: number };
  /** Whether both are within what was asked for. */
  readonly met: boolean;
}

/**
 * A binary glTF 2.0 file of one span of a motion: root, feet and followers as CUBICSPLINE channels, and a
 * plain figure whose legs are solved between them, so that any viewer shows the walk.
 *
 * Curves of unequal keys are cut at each other's keys; where spans are a third of their segment nothing is
 * lost, elsewhere segments are halved until cubics in time are within the tolerance. Metres, seconds, y up
 * and facing +z by the standard, whatever the document's scene says; times begin at 0.
 *
 * @param document - a motion document
 * @param options - travelling or on the spot, and how closely
 * @returns the file's bytes with the achieved errors
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planWalk } from 'underfoot';
 * import { toDocument, toGlb } from 'underfoot/exchange';
 *
 * const scene = { up: 'y', forward: '+z', metersPerUnit: 1, fps: 24, firstFrame: 1 } as const;
 * const document = toDocument(planWalk({ pace: 'ordinary' }), { name: 'Lamplighter', scene });
 * const { glb, met } = await toGlb(document, { space: 'onTheSpot' });
 * console.log(String.fromCharCode(...glb.slice(0, 4)), met); // → glTF true
 * ```
 *
 * Source: glTF 2.0, appendix C (interpolation), Khronos Group.
 */
export async function toGlb(document: MotionDocument, options: GlbOptions = {}): Promise<GlbResult> {
  const where = 'toGlb';
  requireDocument(where, document);
  requireRecord(where, 'options', options, ['space', 'tolerance', 'turnTolerance']);
  const { space = 'travelling', tolerance = 1e-6, turnTolerance = 1e-5 } = options;
  requireChoice(where, 'space', space, ['travelling', 'onTheSpot']);
  requireNumber(where, 'tolerance', tolerance, { above: 0, unit: 'm' });
  requireNumber(where, 'turnTolerance', turnTolerance, { above: 0 });
  // Loaded where it is needed, so that importing the library does not wait for it.
  const core = await import('@gltf-transform/core');
  const limits = { translation: tolerance, rotation: turnTolerance };
  const { tracks, figure } = motionTracks(document, space === 'onTheSpot', limits);
  const file = new core.Document();
  file.getRoot().getAsset().generator = `underfoot ${LIBRARY_VERSION}`;
  const nodes = buildFigure(file, document, figure);
  animate(file, nodes, tracks, document.name);
  const worst = (path: TrackPath): number =>
    tracks.reduce((most, { path: of, track }) => (of === path ? Math.max(most, track.error) : most), 0);
  const error = { translation: worst('translation'), rotation: worst('rotation') };
  const glb = await new core.WebIO().writeBinary(file);
  return { glb, error, met: error.translation <= tolerance && error.rotation <= turnTolerance };
}

function animate(
  file: Container,
  nodes: ReadonlyMap<string, Node>,
  tracks: readonly NodeTrack[],
  name: string,
): void {
  const animation = file.createAnimation(name || 'motion');
  const buffer = file.getRoot().listBuffers()[0];
  for (const { node, path, track } of tracks) {
    const target = nodes.get(node);
    if (!target) continue;
    const times = file
      .createAccessor()
      .setType('SCALAR')
      .setArray(Float32Array.from(track.times))
      .setBuffer(buffer);
    const values = new Float32Array(track.rows.length * 3 * track.size);
    track.rows.forEach((row, i) => {
      values.set(row, i * 3 * track.size);
    });
    const output = file
      .createAccessor()
      .setType(path === 'rotation' ? 'VEC4' : 'VEC3')
      .setArray(values)
      .setBuffer(buffer);
    const sampler = file
      .createAnimationSampler()
      .setInput(times)
      .setOutput(output)
      .setInterpolation('CUBICSPLINE');
    const channel = file
      .createAnimationChannel()
      .setTargetNode(target)
      .setTargetPath(path)
      .setSampler(sampler);
    animation.addSampler(sampler).addChannel(channel);
  }
}
