/** The public generators of walk specs, under the names that the laws of gait use. */
export {
  evenWalkSpecs as evenSpecs,
  unevenWalkSpecs as unevenSpecs,
  walkSpecs,
} from '../../src/testing/arbitraries/walk-specs.js';
