import { requireArray, requireNumber, requireRecord } from '../internal/check.js';
import { eventFractions, type FootEvents } from './feet/walk-events.js';
import { createForceSampler } from './force-sampler.js';
import { planWalk } from './plan-walk.js';
import type { BodySpec, Force, PaceName, PaceSpec, Side, Walk } from './walk.js';

/** Whose forces, at which paces, how densely. */
export interface TextbookOptions {
  /** Paces, 1 to 12. Default slow, ordinary and brisk. */
  readonly paces?: readonly (PaceName | PaceSpec)[];
  /** The body. Default the adult of `planWalk`. */
  readonly body?: BodySpec;
  /** Even steps that stance and stride are each divided into; whole, in [10, 10 000]. Default 100. */
  readonly steps?: number;
}

/** One foot's force over a span: percentages of it, and BW. */
export interface TextbookColumns extends Force<readonly number[]> {
  /** 0 to 100. */
  readonly percent: readonly number[];
}

/** A peak or valley of a curve. */
export interface TextbookPoint {
  /** Of stance. */
  readonly percent: number;
  /** In BW. */
  readonly value: number;
}

/** The points that textbooks name, over stance. */
export interface TextbookPoints {
  /** First vertical peak, the landing: the greatest load in the first half of stance. */
  readonly firstPeak: TextbookPoint;
  /** Vertical valley: the least load between them. */
  readonly valley: TextbookPoint;
  /** Second vertical peak, the push-off: the greatest load in the second half. */
  readonly secondPeak: TextbookPoint;
  /** Greatest braking, a negative value. */
  readonly braking: TextbookPoint;
  /** Greatest propulsion. */
  readonly propulsion: TextbookPoint;
}

/** The right foot's force at one pace. */
export interface TextbookPace {
  /** Name of the pace, or its speed in words. */
  readonly name: string;
  /** In m/s. */
  readonly speed: number;
  /** Of the stride, at which the foot lifts. */
  readonly stancePercent: number;
  /** From contact to lift; forward is positive, side positive towards the body's middle. */
  readonly stance: TextbookColumns;
  /** From contact to contact; 0 while the foot is in the air. */
  readonly stride: TextbookColumns;
  readonly points: TextbookPoints;
  /** The foot's events, in % of the stride. */
  readonly events: Readonly<Record<keyof FootEvents, number>>;
}

/** Standard curves for teaching. */
export interface TextbookCurves {
  /** The foot that is shown. */
  readonly foot: Side;
  readonly unit: 'BW';
  readonly paces: readonly TextbookPace[];
}

/**
 * The curves that textbooks show: one foot's vertical, fore-aft and sideways force in BW against per cent of
 * stance and of the stride, at three paces, with the named peaks and events.
 *
 * Each pace is planned as a steady walk and the right foot's force is sampled at even percentages; for the
 * right foot, positive to the left is positive towards the middle.
 *
 * @param options - paces, body and steps
 * @returns columns of `steps + 1` numbers for each pace, ends included
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { textbookCurves } from 'underfoot';
 *
 * const { paces } = textbookCurves();
 * console.log(paces.map(({ name, stance }) => `${name} ${stance.percent.length}`).join(', '));
 * // → slow 101, ordinary 101, brisk 101
 * ```
 */
export function textbookCurves(options: TextbookOptions = {}): TextbookCurves {
  const where = 'textbookCurves';
  requireRecord(where, 'options', options, ['paces', 'body', 'steps']);
  const { paces = ['slow', 'ordinary', 'brisk'], body, steps = 100 } = options;
  requireArray(where, 'paces', paces, 1);
  requireNumber(where, 'paces.length', paces.length, { max: 12 });
  requireNumber(where, 'steps', steps, { min: 10, max: 10_000, whole: true });
  return { foot: 'right', unit: 'BW', paces: paces.map((pace) => curvesFor(pace, body, steps)) };
}

function curvesFor(pace: PaceName | PaceSpec, body: BodySpec | undefined, steps: number): TextbookPace {
  const walk = planWalk({ pace, ...(body ? { body } : {}) });
  const { contact, fraction } = walk.stance.right;
  const stance = columnsOf(walk, contact, fraction, steps, true);
  const entries = Object.entries(eventFractions(walk, 'right'));
  return {
    name: typeof pace === 'string' ? pace : `${walk.pace.speed.toFixed(2)} m/s`,
    speed: walk.pace.speed,
    stancePercent: 100 * fraction,
    stance,
    stride: columnsOf(walk, contact, 1, steps, false),
    points: pointsOf(stance),
    events: Object.fromEntries(entries.map(([name, x]) => [name, 100 * x])) as TextbookPace['events'],
  };
}

function columnsOf(walk: Walk, from: number, span: number, steps: number, stands: boolean): TextbookColumns {
  const columns = {
    percent: new Array<number>(steps + 1),
    vertical: new Array<number>(steps + 1),
    forward: new Array<number>(steps + 1),
    side: new Array<number>(steps + 1),
  };
  const forces = new Float64Array(6);
  const sampleForces = createForceSampler(walk);
  for (let i = 0; i <= steps; i++) {
    columns.percent[i] = (100 * i) / steps;
    sampleForces((from + (span * i) / steps) * walk.pace.strideTime, forces);
    // At contact and lift the foot carries nothing; rounding must not put them a hair inside.
    const edge = stands && (i === 0 || i === steps);
    columns.vertical[i] = edge ? 0 : forces[3];
    columns.forward[i] = edge ? 0 : forces[4];
    columns.side[i] = edge ? 0 : forces[5];
  }
  return columns;
}

function pointsOf({ percent, vertical, forward }: TextbookColumns): TextbookPoints {
  const middle = (percent.length - 1) / 2;
  const farthest = (column: readonly number[], from: number, to: number, sign: number): TextbookPoint => {
    let best = Math.round(from);
    for (let i = best; i <= to; i++) if (sign * column[i] > sign * column[best]) best = i;
    return { percent: percent[best], value: column[best] };
  };
  const firstPeak = farthest(vertical, 0, middle, 1);
  const secondPeak = farthest(vertical, middle, percent.length - 1, 1);
  const at = (point: TextbookPoint): number => percent.indexOf(point.percent);
  return {
    firstPeak,
    valley: farthest(vertical, at(firstPeak), at(secondPeak), -1),
    secondPeak,
    braking: farthest(forward, 0, percent.length - 1, -1),
    propulsion: farthest(forward, 0, percent.length - 1, 1),
  };
}
