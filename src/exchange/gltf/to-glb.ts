import type { Document as Container, Material, Node } from '@gltf-transform/core';
import { refuseAny, requireChoice, requireNumber, requireRecord } from '../../internal/check.js';
import type { MotionDocument } from '../document.js';
import type { FigureShape } from '../figure/figure-shape.js';
import type { Figure } from '../figure/pose-figure.js';
import { LIBRARY_VERSION } from '../library-version.js';
import { STROKES } from '../palette.js';
import { motionTracks, type NodeTrack, type TrackPath } from './motion-tracks.js';
import { makeBall, makeBlock, makeLimb, type Solid, turnSolid } from './solids.js';

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
  requireRecord(where, 'options', options, ['space', 'tolerance', 'turnTolerance']);
  const { space = 'travelling', tolerance = 1e-6, turnTolerance = 1e-5 } = options;
  requireChoice(where, 'space', space, ['travelling', 'onTheSpot']);
  requireNumber(where, 'tolerance', tolerance, { above: 0, unit: 'm' });
  requireNumber(where, 'turnTolerance', turnTolerance, { above: 0 });
  if (!document?.root)
    refuseAny(where, [{ field: 'document', rule: 'must be a motion document', got: 'none', kind: 'type' }]);
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

/** The figure's nodes by name: what moves is under the motion's own node, what hangs on under the root. */
function buildFigure(
  file: Container,
  document: MotionDocument,
  { shape, hipDrop }: Figure,
): Map<string, Node> {
  const buffer = file.createBuffer();
  const nodes = new Map<string, Node>();
  const materials = {
    body: makeMaterial(file, 'body', '#8a8f87'),
    left: makeMaterial(file, 'left', STROKES.left.line),
    right: makeMaterial(file, 'right', STROKES.right.line),
    part: makeMaterial(file, 'part', STROKES.follower.line),
  };
  const solid = ({ positions, normals, indices }: Solid, material: Material) => {
    const accessor = (type: 'VEC3' | 'SCALAR', array: Float32Array | Uint16Array) =>
      file.createAccessor().setType(type).setArray(array).setBuffer(buffer);
    const primitive = file
      .createPrimitive()
      .setAttribute('POSITION', accessor('VEC3', positions))
      .setAttribute('NORMAL', accessor('VEC3', normals))
      .setIndices(accessor('SCALAR', indices))
      .setMaterial(material);
    return file.createMesh().addPrimitive(primitive);
  };
  const add = (
    name: string,
    parent: Node | undefined,
    at: readonly number[],
    mesh?: Solid,
    material = materials.body,
  ): Node => {
    const node = file.createNode(name).setTranslation([at[0], at[1], at[2]]);
    if (mesh) node.setMesh(solid(mesh, material));
    parent?.addChild(node);
    nodes.set(name, node);
    return node;
  };
  const top = add(document.name || 'motion', undefined, [0, 0, 0]);
  file.createScene(document.name || 'motion').addChild(top);
  const { trunk, limbRadius: r, hipWidth, headRadius, neck } = shape;
  const root = add('Root', top, [0, 0, 0]);
  const pelvis = add('Pelvis', root, [0, hipDrop, 0], trunkSolid(shape));
  add('Head', pelvis, [0, trunk + neck + headRadius, 0], makeBall(headRadius, 1.2));
  for (const side of ['left', 'right'] as const) {
    const name = side === 'left' ? 'Left' : 'Right';
    const out = side === 'left' ? 1 : -1;
    const material = materials[side];
    const thigh = add(
      `${name}Thigh`,
      pelvis,
      [(out * hipWidth) / 2, 0, 0],
      makeLimb(shape.thigh, 1.3 * r),
      material,
    );
    add(`${name}Shin`, thigh, [0, -shape.thigh, 0], makeLimb(shape.shin, r), material);
    const shoulder = [(out * shape.shoulderWidth) / 2, 0.98 * trunk, 0];
    const arm = add(`${name}UpperArm`, pelvis, shoulder, makeLimb(shape.upperArm, 0.9 * r), material);
    add(`${name}LowerArm`, arm, [0, -shape.upperArm, 0], makeLimb(shape.lowerArm, 0.7 * r), material);
    const { heelToBall, ballToToe, breadth } = document.feet[side].shape;
    const half = 0.4 * breadth;
    const foot = makeBlock([-half, 0, -heelToBall], [half, shape.ankleHeight, 0]);
    const toes = makeBlock([-half, 0, 0], [half, 0.55 * shape.ankleHeight, ballToToe]);
    add(`${name}Toes`, add(`${name}Foot`, top, [0, 0, 0], foot, material), [0, 0, 0], toes, material);
  }
  addParts(document, shape, { top, pelvis }, (name, parent, at, mesh) =>
    add(name, parent, at, mesh, materials.part),
  );
  return nodes;
}

/** Hips, waist and shoulders, with a skirt to the middle of the thighs. */
function trunkSolid({ trunk, hipWidth, shoulderWidth, thigh }: FigureShape): Solid {
  const [hip, chest] = [0.8 * hipWidth, 0.36 * shoulderWidth];
  return turnSolid([
    [0, 1.06 * trunk],
    [0.5 * chest, 1.04 * trunk],
    [chest, 0.92 * trunk],
    [0.95 * chest, 0.7 * trunk],
    [0.8 * hip, 0.35 * trunk],
    [hip, 0],
    [1.25 * hip, -0.45 * thigh],
    [0, -0.4 * thigh],
  ]);
}

/** Followers as balls before the belly, and as strands behind the head, on a holder each. */
function addParts(
  { followers }: MotionDocument,
  { trunk, hipWidth, headRadius, neck }: FigureShape,
  { top, pelvis }: { readonly top: Node; readonly pelvis: Node },
  add: (name: string, parent: Node, at: readonly number[], mesh?: Solid) => Node,
): void {
  followers.forEach(({ unit, space }, i) => {
    const parent = space === 'world' ? top : pelvis;
    if (unit === 'rad') {
      const holder = add(`Holder${i}`, parent, [0, trunk + neck + headRadius, -headRadius]);
      add(`Part${i}`, holder, [0, 0, 0], makeLimb(2.2 * headRadius, 0.3 * headRadius, 0.4));
    } else {
      const at = space === 'world' ? [0, 0, 0] : [0, 0.28 * trunk, (i % 2 === 0 ? 0.75 : -0.9) * hipWidth];
      const holder = add(`Holder${i}`, parent, at);
      add(`Part${i}`, holder, [0, 0, 0], makeBall(0.55 * hipWidth));
    }
  });
}

function makeMaterial(file: Container, name: string, hex: string): Material {
  const linear = (i: number): number => {
    const x = Number.parseInt(hex.slice(i, i + 2), 16) / 255;
    return x <= 0.04045 ? x / 12.92 : ((x + 0.055) / 1.055) ** 2.4;
  };
  return file
    .createMaterial(name)
    .setBaseColorFactor([linear(1), linear(3), linear(5), 1])
    .setRoughnessFactor(0.85)
    .setMetallicFactor(0);
}
