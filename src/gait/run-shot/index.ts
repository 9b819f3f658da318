export { planRunShot } from './plan-run-shot.js';
export type { RunPart, RunShotSpec, WalkedPart } from './run-shot-spec.js';
