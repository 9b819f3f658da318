import type { ReactionTable } from '../gait/reactions.js';
import type { Force, Side } from '../gait/walk.js';
import { requireNumber, requireRecord } from '../internal/check.js';
import { chartText } from './chart-text.js';
import { type LinedUp, lineUp } from './line-up.js';
import { refuse } from './refuse.js';
import { measureStance, STEP_MEASURES, type StepMeasures } from './stance-measures.js';

/** How finely to compare. */
export interface CompareOptions {
  /** Even phases compared; whole, in [32, 10 000]. Default 400. */
  readonly samples?: number;
}

/** One measure of one foot in both tables. */
export interface MeasurePair {
  readonly foot: Side;
  readonly name: keyof StepMeasures;
  readonly a: number;
  readonly b: number;
  /** b − a. */
  readonly difference: number;
}

/** Where two tables of forces are furthest apart. */
export interface WorstPlace {
  readonly foot: Side;
  readonly direction: keyof Force<unknown>;
  /** Phase of the stride from the right foot's landing. */
  readonly phase: number;
  /** Forces there in BW. */
  readonly a: number;
  readonly b: number;
}

/** How far apart two tables of floor forces are. */
export interface ReactionComparison {
  /** Stride times in s. */
  readonly strideTime: { readonly a: number; readonly b: number };
  readonly measures: readonly MeasurePair[];
  /** Root mean square differences over the stride in BW, of single feet and of both together. */
  readonly rms: { readonly feet: Force<number>; readonly total: Force<number> };
  readonly worst: WorstPlace;
  /** Both vertical totals as a chart of plain text. */
  readonly chart: string;
  /** What the numbers say, in plain sentences. */
  readonly verdict: string;
}

const FEET = ['left', 'right'] as const;
const DIRECTIONS = ['vertical', 'forward', 'side'] as const;

/** Force in BW below which two tables agree within what level walking repeats to: 5 % of the load. */
const REPEATS = 0.05;

/**
 * Peaks, troughs, their times, impulses and root mean square difference of two tables of floor forces, with
 * the place where they differ most, a small chart and a verdict in words.
 *
 * Both are set to begin at the right foot's landing (0.03 BW) and stretched to one stride; times are
 * compared as fractions of a contact.
 *
 * @param a - one stride of forces in BW, of `sampleReactions` or `averageStride`
 * @param b - another one
 * @param options - how finely
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { compareReactions, planWalk, sampleReactions } from 'underfoot';
 *
 * const slow = sampleReactions(planWalk({ pace: 'slow' }));
 * const brisk = sampleReactions(planWalk({ pace: 'brisk' }));
 * console.log(compareReactions(slow, slow).verdict); // → The two agree: no force differs by more than 0.000 BW.
 * console.log(compareReactions(slow, brisk).rms.total.vertical > 0.05); // → true
 * ```
 */
export function compareReactions(
  a: ReactionTable,
  b: ReactionTable,
  options: CompareOptions = {},
): ReactionComparison {
  const where = 'compareReactions';
  requireRecord(where, 'a', a);
  requireRecord(where, 'b', b);
  requireRecord(where, 'options', options, ['samples']);
  const { samples = 400 } = options;
  requireNumber(where, 'samples', samples, { min: 32, max: 10_000, whole: true });
  requireStride(where, 'a', a);
  requireStride(where, 'b', b);
  return compareLinedUp(lineUp(where, 'a', a, samples), lineUp(where, 'b', b, samples));
}

/** Throws unless a table is one stride's. */
function requireStride(where: string, field: string, table: ReactionTable): void {
  const { kind } = table as { readonly kind?: unknown };
  if (kind !== undefined) {
    const maker = kind === 'recording' ? 'averageStride' : 'sampleReactions';
    refuse(where, field, `must be a table of one stride; ${maker} makes one of it`, `a ${String(kind)}`);
  }
  if (!Array.isArray(table.time)) refuse(where, `${field}.time`, 'must be an array', table.time);
  if (!Array.isArray(table.phase)) return;
  // Over one stride phases go round evenly, once: over a shot they go on and on, or stand.
  const { phase } = table;
  const count = phase.length;
  const wrong = phase.findIndex((here, i) => {
    const step = here - phase[(i + count - 1) % count];
    return !(Math.abs((step - Math.floor(step)) * count - 1) < 0.5);
  });
  if (wrong < 0) return;
  const rule = 'must go evenly round once, as over one stride and not over a shot';
  refuse(where, `${field}.phase[${wrong}]`, rule, phase[wrong]);
}

/** The comparison of tables that begin together. */
export function compareLinedUp(a: LinedUp, b: LinedUp): ReactionComparison {
  const measures = FEET.flatMap((foot) => {
    const [x, y] = [measureLinedUp(a, foot), measureLinedUp(b, foot)];
    return STEP_MEASURES.map((name) => ({
      foot,
      name,
      a: x[name],
      b: y[name],
      difference: y[name] - x[name],
    }));
  });
  const rms = { feet: rmsOver(a, b, FEET), total: rmsOver(a, b, ['total']) };
  const worst = worstPlace(a, b);
  const chart = chartText(a.total.vertical, b.total.vertical, {
    width: 64,
    height: 9,
    title: 'vertical load of both feet in BW, from right landing to right landing: o first, x second, # both',
  });
  return {
    strideTime: { a: a.strideTime, b: b.strideTime },
    measures,
    rms,
    worst,
    chart,
    verdict: verdictOf(a, b, measures, rms.total, worst),
  };
}

function measureLinedUp(table: LinedUp, foot: Side): StepMeasures {
  const { land, lift } = table.events[foot];
  const n = table[foot].vertical.length;
  // Two strides, so that a contact over the seam is in one piece.
  const twice = (column: readonly number[]): number[] => [...column, ...column];
  const rate = n / table.strideTime;
  const span = { land: land * table.strideTime, lift: lift * table.strideTime };
  return measureStance(twice(table[foot].vertical), twice(table[foot].forward), rate, span);
}

/** Root mean square differences by direction. */
export function rmsOver(
  a: LinedUp,
  b: LinedUp,
  parts: readonly ('left' | 'right' | 'total')[],
): Force<number> {
  const over = (direction: keyof Force<unknown>): number => {
    let [sum, count] = [0, 0];
    for (const part of parts) {
      const [x, y] = [a[part][direction], b[part][direction]];
      for (let i = 0; i < x.length; i++) sum += (y[i] - x[i]) ** 2;
      count += x.length;
    }
    return Math.sqrt(sum / count);
  };
  return { vertical: over('vertical'), forward: over('forward'), side: over('side') };
}

function worstPlace(a: LinedUp, b: LinedUp): WorstPlace {
  let worst: WorstPlace = { foot: 'left', direction: 'vertical', phase: 0, a: 0, b: 0 };
  for (const foot of FEET) {
    for (const direction of DIRECTIONS) {
      const [x, y] = [a[foot][direction], b[foot][direction]];
      for (let i = 0; i < x.length; i++) {
        if (Math.abs(y[i] - x[i]) > Math.abs(worst.b - worst.a)) {
          worst = { foot, direction, phase: i / x.length, a: x[i], b: y[i] };
        }
      }
    }
  }
  return worst;
}

function verdictOf(
  a: LinedUp,
  b: LinedUp,
  measures: readonly MeasurePair[],
  rms: Force<number>,
  worst: WorstPlace,
): string {
  const gap = Math.abs(worst.b - worst.a);
  if (gap < 0.0005) return `The two agree: no force differs by more than ${gap.toFixed(3)} BW.`;
  const mean = (name: keyof StepMeasures): number =>
    measures.filter((pair) => pair.name === name).reduce((sum, { difference }) => sum + difference, 0) / 2;
  const sentences = [
    rms.vertical <= REPEATS
      ? `The loads agree as well as one walker's steps do: ${rms.vertical.toFixed(3)} BW apart (rms).`
      : `The loads differ by ${rms.vertical.toFixed(3)} BW (rms), more than one walker's steps do.`,
  ];
  const say = (name: keyof StepMeasures, what: string, more: string, less: string): void => {
    const by = mean(name);
    if (Math.abs(by) > 0.03)
      sentences.push(`The second ${by > 0 ? more : less} ${what} by ${Math.abs(by).toFixed(2)} BW.`);
  };
  say('firstPeak', 'on landing', 'presses harder', 'presses less');
  say('trough', 'in mid-stance', 'presses harder', 'presses less');
  say('secondPeak', 'on leaving', 'presses harder', 'presses less');
  say('braking', 'after contact', 'brakes harder', 'brakes less');
  say('propulsion', 'before toe-off', 'pushes harder', 'pushes less');
  const ratio = b.strideTime / a.strideTime;
  if (Math.abs(ratio - 1) > 0.01) {
    sentences.push(`Its strides take ${Math.round(100 * ratio)} % of the time.`);
  }
  sentences.push(
    `They are furthest apart, ${gap.toFixed(2)} BW, in the ${worst.foot} foot's ${worst.direction} force at ${Math.round(
      100 * worst.phase,
    )} % of the stride.`,
  );
  return sentences.join(' ');
}
