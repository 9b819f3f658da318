import { GLTFLoader } from 'three/examples/jsm/loaders/GLTFLoader.js';

/** What plays a track. */
export type Interpolant = { evaluate(t: number): ArrayLike<number>; constructor: unknown };
type InterpolantClass = new (
  times: Float32Array,
  values: Float32Array,
  size: number,
  result: Float64Array,
) => Interpolant;

/**
 * A track of one number with a key a second, played by the class that three's glTF loader plays cubic
 * splines with, taken from a file it has loaded, and from arrays of the kind the loader gives it.
 */
export async function gltfInterpolant(
  values: readonly number[],
  slopes: readonly number[],
): Promise<Interpolant> {
  const numbers = new Float32Array([0, 1, ...new Array(18).fill(0)]);
  const body = new Uint8Array(numbers.buffer);
  const json = {
    asset: { version: '2.0' },
    buffers: [{ byteLength: body.length }],
    bufferViews: [
      { buffer: 0, byteOffset: 0, byteLength: 8 },
      { buffer: 0, byteOffset: 8, byteLength: 72 },
    ],
    accessors: [
      { bufferView: 0, componentType: 5126, count: 2, type: 'SCALAR', min: [0], max: [1] },
      { bufferView: 1, componentType: 5126, count: 6, type: 'VEC3' },
    ],
    nodes: [{}],
    scenes: [{ nodes: [0] }],
    animations: [
      {
        samplers: [{ input: 0, output: 1, interpolation: 'CUBICSPLINE' }],
        channels: [{ sampler: 0, target: { node: 0, path: 'translation' } }],
      },
    ],
  };
  const head = new TextEncoder().encode(
    JSON.stringify(json).padEnd(Math.ceil(JSON.stringify(json).length / 4) * 4),
  );
  const glb = new Uint8Array(28 + head.length + body.length);
  const view = new DataView(glb.buffer);
  [0x46546c67, 2, glb.length, head.length, 0x4e4f534a].forEach((word, i) => {
    view.setUint32(4 * i, word, true);
  });
  glb.set(head, 20);
  view.setUint32(20 + head.length, body.length, true);
  view.setUint32(24 + head.length, 0x004e4942, true);
  glb.set(body, 28 + head.length);
  const loaded = await new GLTFLoader().parseAsync(glb.buffer, '');
  const track = loaded.animations[0].tracks[0] as unknown as {
    createInterpolant(result: Float64Array): Interpolant;
  };
  const made = track.createInterpolant(new Float64Array(3));
  const layout = Float32Array.from(values.flatMap((value, i) => [slopes[i], value, slopes[i]]));
  const times = Float32Array.from(values, (_, i) => i);
  return new (made.constructor as InterpolantClass)(times, layout, 1, new Float64Array(1));
}
