import type { Document as Container, Material, Node } from '@gltf-transform/core';
import type { PartShape } from '../figure/part-shapes.js';

/**
 * A cloth as one surface that its strands bend: a skin whose joints are the links, each point of it held by
 * the link that it hangs from. Before anything moves all strands hang plumb.
 */
export function buildCloth(
  file: Container,
  { name, strands, ring }: PartShape & { readonly kind: 'cloth' },
  joints: readonly (readonly Node[])[],
  material: Material,
): Node {
  const buffer = file.getRoot().listBuffers()[0];
  const skin = file.createSkin(name || 'cloth');
  for (const joint of joints.flat()) skin.addJoint(joint);
  const rows = 1 + Math.min(...strands.map(({ links }) => links.length));
  const first = (strand: number): number =>
    strands.slice(0, strand).reduce((n, { links }) => n + links.length, 0);
  const inverse: number[] = [];
  const positions: number[] = [];
  const normals: number[] = [];
  const bound: number[] = [];
  strands.forEach(({ at: [forward, height, side], links }, s) => {
    const away = Math.hypot(forward, side) || 1;
    let drop = 0;
    for (let row = 0; row < rows; row++) {
      positions.push(side, height - drop, forward);
      normals.push(...(ring ? [side / away, 0, forward / away] : [0, 0, 1]));
      bound.push(first(s) + Math.max(0, row - 1), 0, 0, 0);
      if (row < links.length) drop += links[row].length;
    }
    let above = 0;
    for (const { length } of links) {
      inverse.push(1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, -side, above - height, -forward, 1);
      above += length;
    }
  });
  const indices: number[] = [];
  for (let s = 0; s < (ring ? strands.length : strands.length - 1); s++) {
    const next = (s + 1) % strands.length;
    for (let row = 0; row + 1 < rows; row++) {
      const [a, b, c, d] = [s * rows + row, next * rows + row, s * rows + row + 1, next * rows + row + 1];
      indices.push(a, c, b, b, c, d);
    }
  }
  const accessor = (type: 'VEC3' | 'VEC4' | 'SCALAR' | 'MAT4', array: Float32Array | Uint16Array) =>
    file.createAccessor().setType(type).setArray(array).setBuffer(buffer);
  const weights = bound.map((_, i) => (i % 4 === 0 ? 1 : 0));
  const primitive = file
    .createPrimitive()
    .setAttribute('POSITION', accessor('VEC3', Float32Array.from(positions)))
    .setAttribute('NORMAL', accessor('VEC3', Float32Array.from(normals)))
    .setAttribute('JOINTS_0', accessor('VEC4', Uint16Array.from(bound)))
    .setAttribute('WEIGHTS_0', accessor('VEC4', Float32Array.from(weights)))
    .setIndices(accessor('SCALAR', Uint16Array.from(indices)))
    .setMaterial(material);
  skin.setInverseBindMatrices(accessor('MAT4', Float32Array.from(inverse)));
  return file
    .createNode(`${name || 'cloth'} surface`)
    .setMesh(file.createMesh().addPrimitive(primitive))
    .setSkin(skin);
}
