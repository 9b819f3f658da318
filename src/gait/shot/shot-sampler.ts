import { type LinePoint, prepareLine } from './centre-line.js';
import { prepareCycle } from './cycle-sampler.js';
import type { Layer, Shot } from './shot.js';
import { prepareTrack } from './tracks.js';

/** What is known of the body along its line, each as value, first and second derivative by time. */
export interface PathState {
  /** Along the line, beside it, height: of the smooth base, then of what the layers add. */
  readonly base: Float64Array;
  readonly added: Float64Array;
  /** What the layers add to the height of the root. */
  readonly rootAdded: Float64Array;
  /** Of the body, in rad. */
  readonly heading: Float64Array;
  readonly line: LinePoint;
}

/** A prepared reader of a shot's centre of mass; allocates nothing once made. Times are held to the shot. */
export interface ShotSampler {
  /** The state that `read` fills. */
  readonly state: PathState;
  read(t: number): void;
  /** Writes height, forward, side in the fixed axes, each with two derivatives, of what `read` read last. */
  write(out: Float64Array, of: 'centreOfMass' | 'root'): void;
  /** The same of the smooth base alone, without the oscillation that the layers add. */
  writeBase(out: Float64Array, of: 'centreOfMass' | 'root'): void;
}

/** What of a shot its path follows from. */
export type ShotPath = Pick<Shot, 'duration' | 'base' | 'layers' | 'cycles' | 'line' | 'centreAboveRoot'>;

/** Makes a reader of a shot. */
export function createShotSampler(shot: ShotPath): ShotSampler {
  const { duration, base: tracks, centreAboveRoot } = shot;
  const along = prepareTrack(tracks.along);
  const beside = prepareTrack(tracks.beside);
  const height = prepareTrack(tracks.height);
  const turn = tracks.turn && prepareTrack(tracks.turn);
  const root = tracks.root && prepareTrack(tracks.root);
  const layers = shot.layers.filter(({ turnsOnly }) => !turnsOnly).map((layer) => prepareLayer(shot, layer));
  const line = prepareLine(shot.line);
  const state: PathState = {
    base: new Float64Array(9),
    added: new Float64Array(9),
    rootAdded: new Float64Array(3),
    heading: new Float64Array(3),
    line: { forward: 0, side: 0, heading: 0, curvature: 0, bend: 0 },
  };
  const { base, added, rootAdded, heading } = state;
  const turned = new Float64Array(3);
  const rootBase = new Float64Array(3);
  const unmoved = new Float64Array(9);
  const read = (time: number): void => {
    const t = Math.min(Math.max(time, 0), duration);
    along(t, base, 0);
    beside(t, base, 3);
    height(t, base, 6);
    added.fill(0);
    rootAdded.fill(0);
    if (root) {
      root(t, rootBase, 0);
      rootAdded.set(rootBase);
    }
    for (let i = 0; i < layers.length; i++) layers[i](t, state);
    line(base[0], state.line);
    const { curvature, bend } = state.line;
    heading[0] = state.line.heading;
    heading[1] = curvature * base[1];
    heading[2] = bend * base[1] * base[1] + curvature * base[2];
    if (!turn) return;
    turn(t, turned, 0);
    for (let i = 0; i < 3; i++) heading[i] += turned[i];
  };
  const write = (out: Float64Array, of: 'centreOfMass' | 'root'): void => {
    const ofRoot = of === 'root';
    for (let i = 0; i < 3; i++) out[i] = base[6 + i] + (ofRoot ? rootAdded[i] : added[6 + i]);
    if (ofRoot) out[0] -= centreAboveRoot;
    writeFlat(state, added, out);
  };
  const writeBase = (out: Float64Array, of: 'centreOfMass' | 'root'): void => {
    const ofRoot = of === 'root';
    for (let i = 0; i < 3; i++) out[i] = base[6 + i] + (ofRoot ? rootBase[i] : 0);
    if (ofRoot) out[0] -= centreAboveRoot;
    writeFlat(state, unmoved, out);
  };
  return { state, read, write, writeBase };
}

/**
 * Forward and side in the fixed axes: the point of the line at the base's progress, its offset across the
 * line, and the layers' oscillation turned with the heading of the body. Exact by the chain rule.
 */
function writeFlat({ base, heading, line }: PathState, added: Float64Array, out: Float64Array): void {
  const k = line.curvature;
  const c = Math.cos(line.heading);
  const s = Math.sin(line.heading);
  const b = base[3];
  const n = base[4];
  // The base: progress along the line and offset to its left, in the line's own directions.
  const rate = k * base[1];
  const stretch = 1 - b * k;
  const alongRate = base[1] * stretch;
  const alongBend = base[2] * stretch - base[1] * (n * k + b * line.bend * base[1]) - n * rate;
  const acrossBend = base[5] + alongRate * rate;
  const p = Math.cos(heading[0]);
  const q = Math.sin(heading[0]);
  // The oscillation, in the body's directions, which turn at a rate of their own.
  const w = heading[1];
  const v = heading[2];
  const f = added[0];
  const g = added[3];
  const f1 = added[1] - g * w;
  const g1 = added[4] + f * w;
  const f2 = added[2] - 2 * added[4] * w - g * v - f * w * w;
  const g2 = added[5] + 2 * added[1] * w + f * v - g * w * w;
  out[3] = line.forward - b * s + f * p - g * q;
  out[6] = line.side + b * c + f * q + g * p;
  out[4] = alongRate * c - n * s + f1 * p - g1 * q;
  out[7] = alongRate * s + n * c + f1 * q + g1 * p;
  out[5] = alongBend * c - acrossBend * s + f2 * p - g2 * q;
  out[8] = alongBend * s + acrossBend * c + f2 * q + g2 * p;
}

function prepareLayer(shot: ShotPath, layer: Layer): (t: number, state: PathState) => void {
  const walk = shot.cycles[layer.cycle];
  const { rise } = walk.root;
  const cycle = prepareCycle(walk);
  const phase = prepareTrack(layer.phase);
  const weight = prepareTrack(layer.weight);
  const { times } = layer.weight;
  const from = times[0];
  const to = times[times.length - 1];
  const at = new Float64Array(3);
  const by = new Float64Array(3);
  const swing = new Float64Array(9);
  /** Where each of the cycle's channels goes in what the layers add: height last. */
  const places = [6, 0, 3];
  return (t, { added, rootAdded }) => {
    if (t < from || t > to) return;
    phase(t, at, 0);
    weight(t, by, 0);
    cycle(at[0], swing);
    for (let j = 0; j < 3; j++) {
      const x = swing[3 * j];
      const rate = swing[3 * j + 1] * at[1];
      const bend = swing[3 * j + 2] * at[1] * at[1] + swing[3 * j + 1] * at[2];
      const to = places[j];
      const value = by[0] * x;
      const slope = by[0] * rate + by[1] * x;
      const second = by[0] * bend + 2 * by[1] * rate + by[2] * x;
      added[to] += value;
      added[to + 1] += slope;
      added[to + 2] += second;
      if (j > 0) continue;
      rootAdded[0] += rise * value;
      rootAdded[1] += rise * slope;
      rootAdded[2] += rise * second;
    }
  };
}
