import type { Curve } from '../../curves/curve.js';
import type { PoseDelays, PoseTurns } from '../pose/pose-series.js';
import type { Shot } from '../shot/shot.js';
import { type Column, chooseFrames, columnFor, type FrameGrid, hermiteCurve } from './hermite-keys.js';
import { readCurves } from './read-curves.js';
import { placeTurns, prepareTurns, TURNS } from './shot-turns.js';

/** The keyed turns of a shot. */
export interface KeyedShotTurns {
  readonly curves: PoseTurns<Curve>;
  /** Largest error of all of them in rad. */
  readonly error: number;
  readonly met: boolean;
}

/** Grid times a frame that place keys, and that measure what came out. */
const PER_FRAME = 2;
const MEASURED = 3;

/** What is aimed at, over what is asked for: room for what lies between the times that place keys. */
const AIM = 0.9;

/** Pelvis, chest, head and arms of a shot, keyed at the marks and wherever the tolerance needs it. */
export function keyShotTurns(
  shot: Shot,
  fps: number,
  last: number,
  marks: readonly number[],
  tolerance: number,
  delays?: PoseDelays,
): KeyedShotTurns {
  const turns = prepareTurns(shot, delays);
  const grid: FrameGrid = { fps, last, per: PER_FRAME };
  const columns = TURNS.map((): Column => columnFor(grid));
  const exact = new Float64Array(2 * TURNS.length);
  for (let k = 0; k <= last * PER_FRAME; k++) {
    turns(Math.min(k / PER_FRAME / fps, shot.duration), exact);
    columns.forEach(({ value, slope }, c) => {
      value[k] = exact[2 * c];
      slope[k] = exact[2 * c + 1];
    });
  }
  const curves = columns.map((column) => {
    return hermiteCurve(column, grid, chooseFrames(column, grid, marks, { value: AIM * tolerance }));
  });
  const sampler = readCurves(curves);
  const have = new Float64Array(TURNS.length);
  let error = 0;
  for (let k = 0; k < last * MEASURED; k++) {
    const t = (k + 0.5) / MEASURED / fps;
    turns(Math.min(t, shot.duration), exact);
    sampler.sample(t, have);
    for (let c = 0; c < TURNS.length; c++) error = Math.max(error, Math.abs(have[c] - exact[2 * c]));
  }
  return { curves: placeTurns(curves), error, met: error <= tolerance };
}
