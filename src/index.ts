export * from './curves/index.js';
export * from './gait/index.js';
export * from './secondary/index.js';
export * from './weigh/index.js';
