/** What the curve benches use of peers that come without types. */
declare module 'cubic-spline' {
  // biome-ignore lint/style/noDefaultExport: the package has nothing else.
  export default class Spline {
    constructor(times: readonly number[], values: readonly number[]);
    at(time: number): number;
  }
}

declare module 'three/examples/jsm/loaders/GLTFLoader.js' {
  export class GLTFLoader {
    parseAsync(data: ArrayBuffer, path: string): Promise<{ animations: { tracks: unknown[] }[] }>;
  }
}
