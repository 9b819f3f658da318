export { checkRunSpec } from './check-run-spec.js';
export type { PartedPath, PathPart } from './parted-path.js';
export { planRun } from './plan-run.js';
export type { Pulse, Run, RunSpec } from './run.js';
export { dutyFactorFor } from './run-pace.js';
