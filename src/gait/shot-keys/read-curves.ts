import type { Curve } from '../../curves/curve.js';
import { Track } from '../../curves/track.js';

/** Curves to be read: as `createSampler`, for curves that were made here and need no check. */
export interface CurveReader {
  /** Writes each curve's value at `t` s into `out[0…]`. */
  sample(t: number, out: Float64Array): void;
  /** Writes value, first and second derivative of each at `t` s, three numbers a curve. */
  sampleJets(t: number, out: Float64Array): void;
}

/** Prepares curves that were made here for being measured. */
export function readCurves(curves: readonly Curve[]): CurveReader {
  const tracks = curves.map((curve) => new Track(curve));
  return {
    sample(t, out) {
      for (let i = 0; i < tracks.length; i++) tracks[i].writeValue(t, out, i);
    },
    sampleJets(t, out) {
      for (let i = 0; i < tracks.length; i++) tracks[i].writeJet(t, out, 3 * i);
    },
  };
}
