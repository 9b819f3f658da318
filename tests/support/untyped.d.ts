// Judges and hosts without types of their own: what our tests and examples use of them.
declare module 'gltf-validator';
declare module 'three/addons/loaders/GLTFLoader.js';
declare module 'three' {
  // biome-ignore lint/suspicious/noExplicitAny: the library brings no types.
  export type Object3D = any;
  // biome-ignore lint/suspicious/noExplicitAny: as above.
  export const Object3D: any;
  // biome-ignore lint/suspicious/noExplicitAny: as above.
  export const AnimationMixer: any;
  export class Quaternion {}
  export class Vector3 {
    constructor(x?: number, y?: number, z?: number);
    x: number;
    y: number;
    z: number;
    set(x: number, y: number, z: number): Vector3;
    applyQuaternion(turn: Quaternion): Vector3;
    applyMatrix4(matrix: unknown): Vector3;
  }
  export class NumberKeyframeTrack {
    constructor(name: string, times: readonly number[], values: readonly number[]);
  }
  export class AnimationClip {
    constructor(name: string, duration: number, tracks: readonly NumberKeyframeTrack[]);
  }
}
