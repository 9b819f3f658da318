import type { Series } from '../../curves/series.js';
import type { PoseDelays, PoseTurns } from '../pose/pose-series.js';
import { poseSeries } from '../pose/pose-series.js';
import type { Shot } from '../shot/shot.js';
import { createShotSampler } from '../shot/shot-sampler.js';
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

/** Writes the value and the slope of every turn in rad and rad/s, by channel, into `out[2 c]` and `out[2 c + 1]`. */
export type TurnSampler = (t: number, out: Float64Array) => void;

/** Channels that lean into a turn with the body; the head stays level. */
const LEANING = [1, CHEST_ROLL] as const;

/**
 * A prepared reader of a shot's turns: each cycle's `poseSeries` at the phase of its layer, weighed against the turns
 * of a body that stands. In a turn, pelvis and chest lean inwards by the angle whose tangent is the acceleration
 * sideways over gravity, v²/(r g). Allocates nothing.
 *
 * Source of the lean: statics of a body that turns; common practice, no source, for the head's staying level.
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
  const wave = new Float64Array(2);
  const lean = prepareLean(shot);
  return (t, out) => {
    for (let c = 0; c < TURNS.length; c++) {
      out[2 * c] = rest[c];
      out[2 * c + 1] = 0;
    }
    if (lean) {
      lean(t, wave);
      for (const c of LEANING) {
        out[2 * c] += wave[0];
        out[2 * c + 1] += wave[1];
      }
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
        out[2 * c] += by[0] * wave[0];
        out[2 * c + 1] += by[0] * wave[1] * at[1] + by[1] * wave[0];
      }
    }
  };
}

/** Writes the roll of a body that turns, and its slope; nothing where the shot goes straight on. */
function prepareLean(shot: Shot): ((t: number, out: Float64Array) => void) | undefined {
  if (shot.line.segments.length === 0 && shot.base.turn === undefined) return undefined;
  const sampler = createShotSampler(shot);
  const { base, heading } = sampler.state;
  return (t, out) => {
    sampler.read(t);
    // Speed times rate of turning is the acceleration to the left; leaning left has the left side down.
    const side = (base[1] * heading[1]) / shot.gravity;
    const change = (base[2] * heading[1] + base[1] * heading[2]) / shot.gravity;
    out[0] = -Math.atan(side);
    out[1] = -change / (1 + side * side);
  };
}

/** A series' value and its slope by phase, of the first harmonic's cosine and sine. */
function sampleTurn({ mean, cos, sin }: Series, c1: number, s1: number, out: Float64Array): void {
  let [value, slope] = [mean, 0];
  let [c, s] = [1, 0];
  for (let k = 0; k < cos.length; k++) {
    const next = c * c1 - s * s1;
    s = s * c1 + c * s1;
    c = next;
    const w = 2 * Math.PI * (k + 1);
    value += cos[k] * c + sin[k] * s;
    slope += w * (sin[k] * c - cos[k] * s);
  }
  out[0] = value;
  out[1] = slope;
}
