import type { Document as Container, Material, Mesh, Node } from '@gltf-transform/core';
import type { MotionDocument } from '../document.js';
import type { FigureShape } from '../figure/figure-shape.js';
import { type Figure, WAIST } from '../figure/pose-figure.js';
import { STROKES } from '../palette.js';
import { buildCloth } from './build-cloth.js';
import { holderPlace, partNodes } from './part-tracks.js';
import { makeBall, makeBlock, makeLimb, type Solid, turnSolid } from './solids.js';

/** Puts a node with a mesh, if it has one, under another. */
export type AddNode = (name: string, parent: Node | undefined, at: readonly number[], mesh?: Mesh) => Node;

/** Colour of everything but limbs and parts. */
const BODY = '#8a8f87';

/**
 * The figure's nodes by name: feet and root under the motion's own node, the trunk on the root, limbs on the
 * trunk, and what hangs on beside them.
 */
export function buildFigure(
  file: Container,
  document: MotionDocument,
  figure: Figure,
): ReadonlyMap<string, Node> {
  const buffer = file.createBuffer();
  const nodes = new Map<string, Node>();
  const materials = {
    body: makeMaterial(file, 'body', BODY),
    left: makeMaterial(file, 'left', STROKES.left.line),
    right: makeMaterial(file, 'right', STROKES.right.line),
    part: makeMaterial(file, 'part', STROKES.follower.line),
  };
  const solid = ({ positions, normals, indices }: Solid, material: Material): Mesh => {
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
  const add: AddNode = (name, parent, at, mesh) => {
    const node = file.createNode(name).setTranslation([at[0], at[1], at[2]]);
    if (mesh) node.setMesh(mesh);
    parent?.addChild(node);
    nodes.set(name, node);
    return node;
  };
  const scene = file.createScene(document.name || 'motion');
  const top = add(document.name || 'motion', undefined, [0, 0, 0]);
  scene.addChild(top);
  const { shape, hipDrop } = figure;
  const { trunk, limbRadius: r, hipWidth, headRadius, neck } = shape;
  const skirted = figure.parts.some(({ kind, carrier }) => kind === 'cloth' && carrier === 'hips');
  const root = add('Root', top, [0, 0, 0]);
  const pelvis = add('Pelvis', root, [0, hipDrop, 0], solid(hipsSolid(shape, !skirted), materials.body));
  const chest = add('Chest', pelvis, [0, WAIST * trunk, 0], solid(chestSolid(shape), materials.body));
  const head = add('Head', chest, [0, (1 - WAIST) * trunk + neck, 0]);
  add('Face', head, [0, headRadius, 0], solid(makeBall(headRadius, 1.2), materials.body));
  for (const side of ['left', 'right'] as const) {
    const name = side === 'left' ? 'Left' : 'Right';
    const out = side === 'left' ? 1 : -1;
    const own = (form: Solid): Mesh => solid(form, materials[side]);
    const hip = [(out * hipWidth) / 2, 0, 0];
    const thigh = add(`${name}Thigh`, pelvis, hip, own(makeLimb(shape.thigh, 1.3 * r)));
    add(`${name}Shin`, thigh, [0, -shape.thigh, 0], own(makeLimb(shape.shin, r)));
    const shoulder = [(out * shape.shoulderWidth) / 2, (0.98 - WAIST) * trunk, 0];
    const arm = add(`${name}UpperArm`, chest, shoulder, own(makeLimb(shape.upperArm, 0.9 * r)));
    add(`${name}LowerArm`, arm, [0, -shape.upperArm, 0], own(makeLimb(shape.lowerArm, 0.7 * r)));
    const { heelToBall, ballToToe, breadth } = document.feet[side].shape;
    const half = 0.4 * breadth;
    const foot = makeBlock([-half, 0, -heelToBall], [half, shape.ankleHeight, 0]);
    const toes = makeBlock([-half, 0, 0], [half, 0.55 * shape.ankleHeight, ballToToe]);
    add(`${name}Toes`, add(`${name}Foot`, top, [0, 0, 0], own(foot)), [0, 0, 0], own(toes));
  }
  const part = (form: Solid): Mesh => solid(form, materials.part);
  figure.parts.forEach((shown, p) => {
    const { holder, node } = partNodes(shown);
    const place = (strand: number): number[] => {
      const [forward, height, side] = holderPlace(figure, document.span.start, p, strand);
      return [side, height, forward];
    };
    if (shown.kind === 'ball') {
      const parent = shown.world ? top : add(holder(0), root, place(0));
      add(node(0, 0), parent, [0, 0, 0], part(makeBall(0.55 * hipWidth)));
      return;
    }
    const strands = shown.strands.map(({ links }, s) => {
      let parent = add(holder(s), root, place(s));
      return links.map(({ length }, l) => {
        const at = l === 0 ? [0, 0, 0] : [0, -links[l - 1].length, 0];
        const thick = 0.3 * headRadius * 0.88 ** l;
        const form = shown.kind === 'strand' ? part(makeLimb(length, thick, 0.7)) : undefined;
        parent = add(node(s, l), parent, at, form);
        return parent;
      });
    });
    if (shown.kind !== 'cloth') return;
    const cloth = makeMaterial(file, 'cloth', STROKES.follower.line).setDoubleSided(true);
    scene.addChild(buildCloth(file, shown, strands, cloth));
  });
  return nodes;
}

/** From the waist down, with a stiff hem to the middle of the thighs where no cloth hangs there. */
function hipsSolid({ trunk, hipWidth, thigh }: FigureShape, hem: boolean): Solid {
  const hip = 0.8 * hipWidth;
  const below: readonly (readonly [number, number])[] = hem
    ? [
        [1.25 * hip, -0.45 * thigh],
        [0, -0.4 * thigh],
      ]
    : [
        [0.9 * hip, -0.16 * thigh],
        [0, -0.2 * thigh],
      ];
  return turnSolid([[0, 1.04 * WAIST * trunk], [0.8 * hip, WAIST * trunk], [hip, 0], ...below]);
}

/** From the waist up to the shoulders. */
function chestSolid({ trunk, hipWidth, shoulderWidth }: FigureShape): Solid {
  const [hip, chest] = [0.8 * hipWidth, 0.36 * shoulderWidth];
  const up = (share: number): number => (share - WAIST) * trunk;
  return turnSolid([
    [0, up(1.06)],
    [0.5 * chest, up(1.04)],
    [chest, up(0.92)],
    [0.95 * chest, up(0.7)],
    [0.8 * hip, up(WAIST)],
    [0, up(WAIST - 0.06)],
  ]);
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
