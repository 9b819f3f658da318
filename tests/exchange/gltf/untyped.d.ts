// Judges without types of their own.
declare module 'gltf-validator';
declare module 'three';
declare module 'three/addons/loaders/GLTFLoader.js';
