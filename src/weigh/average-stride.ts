import type { ForceColumns, ReactionTable } from '../gait/reactions.js';
import type { Side } from '../gait/walk.js';
import { requireNumber, requireRecord } from '../internal/check.js';
import { requireRecording } from './measure-steps.js';
import type { PlateRecording } from './recording.js';
import { refuse } from './refuse.js';

/** How densely to average, and from which foot. */
export interface AverageOptions {
  /** Even samples over the stride; whole, in [16, 10 000]. Default 240. */
  readonly samples?: number;
  /** Foot whose landing is phase 0. Default `right`. */
  readonly firstFoot?: Side;
}

/** The mean stride of a recording, with how much single strides differ from it. */
export interface AverageStride extends ReactionTable {
  /** Strides averaged. */
  readonly strides: number;
  /** Mean duration in s and its standard deviation. */
  readonly strideTime: number;
  readonly strideTimeSpread: number;
  /** Standard deviations over the strides in BW, sample by sample. */
  readonly spread: {
    readonly left: ForceColumns;
    readonly right: ForceColumns;
    readonly total: ForceColumns;
  };
  /** Mean landing and lifting of each foot as phases of the stride, in [0, 1). */
  readonly events: {
    readonly left: { readonly land: number; readonly lift: number };
    readonly right: { readonly land: number; readonly lift: number };
  };
}

const PARTS = ['left', 'right', 'total'] as const;
const DIRECTIONS = ['vertical', 'forward', 'side'] as const;

/**
 * The mean stride in BW over even phases, with the standard deviation between strides.
 *
 * Strides from one landing of `firstFoot` to its next are stretched to the same length and averaged phase by
 * phase; those more than a quarter longer or shorter than the middle one, or with a contact that is not
 * whole, are left out.
 *
 * @param recording - what `readPlates` returned
 * @param options - number of samples and first foot
 * @throws RangeError where no stride is whole, TypeError where it is not a recording
 *
 * @example
 * ```ts
 * import { averageStride, planWalk, readPlates, writePlates } from 'underfoot';
 *
 * const recording = readPlates(writePlates(planWalk({ pace: 'ordinary' }), { strides: 4 }));
 * const { strides, total } = averageStride(recording, { samples: 100 });
 * const mean = total.vertical.reduce((sum, load) => sum + load, 0) / 100;
 * console.log(strides, mean.toFixed(2)); // → 3 1.00
 * ```
 */
export function averageStride(recording: PlateRecording, options: AverageOptions = {}): AverageStride {
  const where = 'averageStride';
  requireRecording(where, recording);
  requireRecord(where, 'options', options, ['samples', 'firstFoot']);
  const { samples = 240, firstFoot = 'right' } = options;
  requireNumber(where, 'samples', samples, { min: 16, max: 10_000, whole: true });
  const strides = wholeStrides(recording, firstFoot);
  if (strides.length === 0) refuse(where, 'recording', 'must hold a whole stride', 'none');
  const times = strides.map(({ from, to }) => to - from);
  const strideTime = times.reduce((a, b) => a + b, 0) / times.length;
  const mean = emptyParts(samples);
  const spread = emptyParts(samples);
  for (const part of PARTS) {
    for (const direction of DIRECTIONS) {
      const column = recording[part][direction];
      for (let i = 0; i < samples; i++) {
        let [sum, squares] = [0, 0];
        for (const { from, to } of strides) {
          const value = valueAt(column, (from + ((to - from) * i) / samples) * recording.rate);
          sum += value;
          squares += value * value;
        }
        const n = strides.length;
        mean[part][direction][i] = sum / n;
        spread[part][direction][i] = n > 1 ? Math.sqrt(Math.max(0, squares - (sum * sum) / n) / (n - 1)) : 0;
      }
    }
  }
  const phase = Array.from({ length: samples }, (_, i) => i / samples);
  return {
    time: phase.map((p) => p * strideTime),
    phase,
    ...mean,
    newtonsPerBodyWeight: recording.newtonsPerBodyWeight,
    strides: strides.length,
    strideTime,
    strideTimeSpread: Math.sqrt(
      times.reduce((sum, t) => sum + (t - strideTime) ** 2, 0) / Math.max(1, times.length - 1),
    ),
    spread,
    events: { left: eventsOf(recording, 'left', strides), right: eventsOf(recording, 'right', strides) },
  };
}

/** A stride in s. */
export interface StrideSpan {
  readonly from: number;
  readonly to: number;
}

/** The whole strides of one foot, from landing to landing. */
export function wholeStrides(recording: PlateRecording, foot: Side): StrideSpan[] {
  const own = recording.contacts.filter((contact) => contact.foot === foot && contact.land > 0);
  const spans = own.slice(1).map((contact, i) => ({ from: own[i].land, to: contact.land }));
  if (spans.length === 0) return [];
  const middle = spans.map(({ from, to }) => to - from).sort((a, b) => a - b)[
    Math.floor((spans.length - 1) / 2)
  ];
  const broken = recording.contacts.filter(({ whole }) => !whole);
  return spans.filter(
    ({ from, to }) =>
      Math.abs(to - from - middle) <= 0.25 * middle &&
      // A contact that is cut by the record's end still serves strides that end before it does.
      !broken.some(({ land, lift }) => land > 0 && land < to - 1e-9 && lift > from),
  );
}

function emptyParts(samples: number) {
  const zeros = () => new Array<number>(samples).fill(0);
  const part = () => ({ vertical: zeros(), forward: zeros(), side: zeros() });
  return { left: part(), right: part(), total: part() };
}

/** Value between samples, on the straight line. */
function valueAt(column: readonly number[], at: number): number {
  const i = Math.min(column.length - 1, Math.max(0, Math.floor(at)));
  const next = Math.min(column.length - 1, i + 1);
  return column[i] + (column[next] - column[i]) * Math.min(1, Math.max(0, at - i));
}

function eventsOf(
  recording: PlateRecording,
  foot: Side,
  strides: readonly StrideSpan[],
): { land: number; lift: number } {
  const phases = { land: [0, 0], lift: [0, 0] };
  for (const { from, to } of strides) {
    for (const contact of recording.contacts) {
      if (contact.foot !== foot || !contact.whole) continue;
      for (const event of ['land', 'lift'] as const) {
        const phase = (contact[event] - from) / (to - from);
        if (phase < -1e-9 || phase >= 1 - 1e-9) continue;
        // Phases wrap, so their mean is taken on the circle.
        phases[event][0] += Math.cos(2 * Math.PI * phase);
        phases[event][1] += Math.sin(2 * Math.PI * phase);
      }
    }
  }
  const angle = ([x, y]: number[]): number => {
    const turn = Math.atan2(y, x) / (2 * Math.PI);
    const wrapped = turn - Math.floor(turn);
    return wrapped < 1 - 1e-12 ? wrapped : 0;
  };
  return { land: angle(phases.land), lift: angle(phases.lift) };
}
