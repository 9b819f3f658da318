import type { Series } from '../../curves/series.js';
import type { PoseDelays, PoseTurns } from '../pose/pose-series.js';
import { poseSeries } from '../pose/pose-series.js';
import type { Shot } from '../shot/shot.js';
import { prepareTrack, type TrackSampler } from '../shot/tracks.js';

/** Channels of the turning body, in a fixed order. */
export const TURNS = [
  'pelvis.heading',
  'pelvis.roll',
  'pelvis.pitch',
  'chest.heading',
  'chest.roll',
  'chest.pitch',
  'head.heading',
  'head.roll',
  'head.pitch',
  'arms.left.pitch',
  'arms.left.elbow',
  'arms.right.pitch',
  'arms.right.elbow',
] as const;

/** One of something for each turn, in the order of `TURNS`. */
export function listTurns<T>({ pelvis, chest, head, arms }: PoseTurns<T>): T[] {
  const three = ({ heading, roll, pitch }: PoseTurns<T>['pelvis']): T[] => [heading, roll, pitch];
  const two = ({ pitch, elbow }: PoseTurns<T>['arms']['left']): T[] => [pitch, elbow];
  return [...three(pelvis), ...three(chest), ...three(head), ...two(arms.left), ...two(arms.right)];
}

/** The same back in its places. */
export function placeTurns<T>(list: readonly T[]): PoseTurns<T> {
  const three = (i: number) => ({ heading: list[i], roll: list[i + 1], pitch: list[i + 2] });
  const two = (i: number) => ({ pitch: list[i], elbow: list[i + 1] });
  return { pelvis: three(0), chest: three(3), head: three(6), arms: { left: two(9), right: two(11) } };
}

/** Bend of a hanging elbow in rad, as in `poseSeries` of arms that do not swing. */
const HANGING_ELBOW = 0.1;

/** Channels that a standing body keeps: the lean of the trunk and the elbows. */
const CHEST_ROLL = 4;
const CHEST_PITCH = 5;
const ELBOWS = [10, 12] as const;

/** One cycle's turns, read at its layer's phase and weighed as that is. */
interface TurnLayer {
  readonly phase: TrackSampler;
  readonly weight: TrackSampler;
  readonly from: number;
  readonly to: number;
  readonly series: readonly Series[];
}

/** Writes the value, and two derivatives, of every turn in rad, by channel, into `out[3 c … 3 c + 2]`. */
export type TurnSampler = (t: number, out: Float64Array) => void;

/**
 * A prepared reader of a shot's turns: each cycle's `poseSeries` at the phase of its layer, weighed against the turns
 * of a body that stands. Allocates nothing.
 */
export function prepareTurns(shot: Shot, delays?: PoseDelays): TurnSampler {
  const rest = new Float64Array(TURNS.length);
  rest[CHEST_ROLL] = shot.cycles[0].lean.roll;
  rest[CHEST_PITCH] = shot.cycles[0].lean.pitch;
  for (const elbow of ELBOWS) rest[elbow] = HANGING_ELBOW;
  const layers = shot.layers.map((layer): TurnLayer => {
    const { times } = layer.weight;
    return {
      phase: prepareTrack(layer.phase),
      weight: prepareTrack(layer.weight),
      from: times[0],
      to: times[times.length - 1],
      series: listTurns(poseSeries(shot.cycles[layer.cycle], delays ? { delays } : {})),
    };
  });
  const at = new Float64Array(3);
  const by = new Float64Array(3);
  const wave = new Float64Array(3);
  return (t, out) => {
    for (let c = 0; c < TURNS.length; c++) {
      out[3 * c] = rest[c];
      out[3 * c + 1] = 0;
      out[3 * c + 2] = 0;
    }
    for (const { from, to, phase, weight, series } of layers) {
      if (t < from || t > to) continue;
      phase(t, at, 0);
      weight(t, by, 0);
      const angle = 2 * Math.PI * (at[0] - Math.floor(at[0]));
      const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
      for (let c = 0; c < TURNS.length; c++) {
        sampleTurn(series[c], cos, sin, wave);
        wave[0] -= rest[c];
        const slope = wave[1] * at[1];
        out[3 * c] += by[0] * wave[0];
        out[3 * c + 1] += by[0] * slope + by[1] * wave[0];
        out[3 * c + 2] +=
          by[0] * (wave[2] * at[1] * at[1] + wave[1] * at[2]) + 2 * by[1] * slope + by[2] * wave[0];
      }
    }
  };
}

/** A series' value and its derivatives by phase, of the first harmonic's cosine and sine. */
function sampleTurn({ mean, cos, sin }: Series, c1: number, s1: number, out: Float64Array): void {
  let [value, slope, bend] = [mean, 0, 0];
  let [c, s] = [1, 0];
  for (let k = 0; k < cos.length; k++) {
    const next = c * c1 - s * s1;
    s = s * c1 + c * s1;
    c = next;
    const w = 2 * Math.PI * (k + 1);
    const inPhase = cos[k] * c + sin[k] * s;
    value += inPhase;
    slope += w * (sin[k] * c - cos[k] * s);
    bend -= w * w * inPhase;
  }
  out[0] = value;
  out[1] = slope;
  out[2] = bend;
}
