export { parseWalkSpec, type Quantity, type WalkSpecInUnits } from './parse-walk-spec.js';
export { type FormatOptions, formatQuantity, quantity } from './quantity.js';
