/** An animated property as it stands in the file, read by hand from the container. */
export interface FileChannel {
  readonly node: string;
  readonly path: string;
  readonly size: number;
  readonly times: Float32Array;
  /** For each time: arriving slopes, values, leaving slopes. */
  readonly output: Float32Array;
}

/** The channels of a binary glTF file with one buffer, by the layout of the standard's section 4.4. */
export function readGlb(glb: Uint8Array): FileChannel[] {
  const view = new DataView(glb.buffer, glb.byteOffset, glb.byteLength);
  if (view.getUint32(0, true) !== 0x46546c67) throw new Error('not a .glb');
  const jsonLength = view.getUint32(12, true);
  const json = JSON.parse(new TextDecoder().decode(glb.subarray(20, 20 + jsonLength)));
  const binary = 20 + jsonLength + 8;
  const floats = (index: number): Float32Array => {
    const accessor = json.accessors[index];
    const { byteOffset = 0 } = json.bufferViews[accessor.bufferView];
    const size = { SCALAR: 1, VEC3: 3, VEC4: 4 }[accessor.type as 'SCALAR'];
    const begin = glb.byteOffset + binary + byteOffset + (accessor.byteOffset ?? 0);
    return new Float32Array(glb.buffer.slice(begin, begin + 4 * size * accessor.count));
  };
  const [animation] = json.animations;
  return animation.channels.map(
    ({ sampler, target }: { sampler: number; target: { node: number; path: string } }) => {
      const { input, output, interpolation } = animation.samplers[sampler];
      if (interpolation !== 'CUBICSPLINE') throw new Error(`not a cubic: ${interpolation}`);
      const size = target.path === 'rotation' ? 4 : 3;
      return {
        node: json.nodes[target.node].name,
        path: target.path,
        size,
        times: floats(input),
        output: floats(output),
      };
    },
  );
}

/** The value of a channel by the formula of glTF 2.0, appendix C.4, quaternions made unit at the end. */
export function khronosValue({ size, times, output, path }: FileChannel, time: number): number[] {
  let k = 0;
  while (k < times.length - 2 && time >= times[k + 1]) k++;
  const span = times[k + 1] - times[k];
  const t = Math.min(1, Math.max(0, (time - times[k]) / span));
  const at = (row: number, part: number, i: number): number => output[(row * 3 + part) * size + i];
  const value = Array.from({ length: size }, (_, i) => {
    const [v0, b0, a1, v1] = [at(k, 1, i), at(k, 2, i), at(k + 1, 0, i), at(k + 1, 1, i)];
    return (
      (2 * t ** 3 - 3 * t ** 2 + 1) * v0 +
      span * (t ** 3 - 2 * t ** 2 + t) * b0 +
      (-2 * t ** 3 + 3 * t ** 2) * v1 +
      span * (t ** 3 - t ** 2) * a1
    );
  });
  if (path !== 'rotation') return value;
  const length = Math.hypot(...value);
  return value.map((x) => x / length);
}
