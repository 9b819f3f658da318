export { checkRigAdapter } from './adapter/check-rig-adapter.js';
export type { AdapterOptions, RigTrial } from './adapter/rig-trial.js';
export { type CurveChoice, curves } from './arbitraries/curves.js';
export { documents } from './arbitraries/documents.js';
export { scenes } from './arbitraries/scenes.js';
export { evenWalkSpecs, unevenWalkSpecs, walkSpecs } from './arbitraries/walk-specs.js';
export { type CurveEngine, checkCurveEngine, type EngineOptions } from './engine/check-curve-engine.js';
export { assertLaws, formatReport } from './laws/format-report.js';
export type { LawReport, LawResult, LawRuns } from './laws/law.js';
