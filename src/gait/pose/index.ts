export {
  type ArmTurns,
  type PoseDelays,
  type PoseOptions,
  type PoseSeries,
  type PoseTurns,
  poseSeries,
  type Turns,
} from './pose-series.js';
