export { addManner, type SpecWithoutPace } from './add-manner.js';
export { blendManners } from './blend-manners.js';
export { MANNERS, type MannerName, type WalkManner } from './walk-manner.js';
