/// <reference lib="dom" />
import { createSampler } from '../../src/curves/sampler.js';
import type { MotionDocument } from '../../src/exchange/document.js';
import { niceRange, niceTicks } from '../../src/exchange/svg/ticks.js';
import { set, svg, through } from './dom.js';

/** A small chart with a cursor. */
export interface Chart {
  /** Moves the cursor to a fraction of the span. */
  point(fraction: number): void;
}

/** One line of a chart: values at even fractions of the span, its ends included. */
interface Line {
  readonly kind: string;
  readonly values: readonly number[];
}

const WIDTH = 360;
const LEFT = 40;
const RIGHT = 352;
const TOP = 24;
const BOTTOM = 96;
const SAMPLES = 160;

/** The charts of one motion: load, height of the root, and each follower. */
export function makeCharts(parent: Element, document: MotionDocument, ranges: Ranges): Chart[] {
  const who = document.root.of === 'root' ? 'root' : 'centre of mass';
  const heights = sample(document, 'height').map((x) => 100 * x);
  const charts = [
    makeChart(parent, 'Load, body weights', ranges.load, loadLines(document), 1),
    makeChart(parent, `Height of the ${who}, cm`, heightRange(heights, ranges.rise), [
      { kind: 'root', values: heights },
    ]),
  ];
  document.followers.forEach(({ name, unit, curve }) => {
    const values = curveValues(document, curve).map((x) => SCALE[unit] * x);
    const title = `${name}, ${unit === 'm' ? 'cm' : '°'}`;
    charts.push(makeChart(parent, title, ranges.travel[unit], [{ kind: 'part', values }], 0));
  });
  return charts;
}

/** Scales that all motions of the page share, so that their charts can be compared. */
export interface Ranges {
  readonly load: readonly [number, number];
  /** Rise of the root in cm that every chart of a height has room for. */
  readonly rise: number;
  /** Travel of a follower, in cm and in degrees. */
  readonly travel: Readonly<Record<'m' | 'rad', readonly [number, number]>>;
}

/** The scales that hold every motion. */
export function sharedRanges(documents: readonly MotionDocument[]): Ranges {
  const load = niceRange(0, Math.max(...documents.flatMap(({ forces }) => forces.total.vertical)), 3);
  const rises = documents.map((document) => {
    const values = sample(document, 'height');
    return 100 * (Math.max(...values) - Math.min(...values));
  });
  const travel = (unit: 'm' | 'rad'): readonly [number, number] => {
    const values = documents.flatMap((document) =>
      document.followers
        .filter((part) => part.unit === unit)
        .flatMap(({ curve }) => curveValues(document, curve).map((x) => x * SCALE[unit])),
    );
    return niceRange(Math.min(0, ...values), Math.max(0.1, ...values), 3);
  };
  return { load, rise: Math.max(...rises), travel: { m: travel('m'), rad: travel('rad') } };
}

/** Centimetres in a metre, degrees in a radian. */
const SCALE = { m: 100, rad: 180 / Math.PI } as const;

/** A range about the middle of a motion's height, as long as the page's largest rise. */
function heightRange(values: readonly number[], rise: number): readonly [number, number] {
  const middle = (Math.min(...values) + Math.max(...values)) / 2;
  return [middle - 0.56 * rise, middle + 0.56 * rise];
}

function sample(document: MotionDocument, channel: 'height'): number[] {
  return curveValues(document, document.root[channel]);
}

function curveValues({ span }: MotionDocument, curve: MotionDocument['root']['height']): number[] {
  const sampler = createSampler(curve);
  const out = new Float64Array(1);
  return Array.from({ length: SAMPLES + 1 }, (_, i) => {
    sampler.sample(span.start + (span.duration * i) / SAMPLES, out);
    return out[0];
  });
}

function loadLines({ forces, span }: MotionDocument): Line[] {
  const closed = (values: readonly number[]): number[] =>
    span.repeats ? [...values, values[0]] : [...values];
  return [
    { kind: 'total', values: closed(forces.total.vertical) },
    { kind: 'right', values: closed(forces.right.vertical) },
    { kind: 'left', values: closed(forces.left.vertical) },
  ];
}

function makeChart(
  parent: Element,
  title: string,
  [low, high]: readonly [number, number],
  lines: readonly Line[],
  strong?: number,
): Chart {
  const values = lines[0].values;
  const told = `${title}: ${Math.min(...values).toFixed(2)} to ${Math.max(...values).toFixed(2)}`;
  const element = svg(parent, 'svg', {
    viewBox: `0 0 ${WIDTH} 108`,
    role: 'img',
    class: 'chart',
    'aria-label': told,
  });
  svg(element, 'text', { x: LEFT, y: 14, class: 'heading' }, title);
  const y = (value: number): number => BOTTOM - ((value - low) / (high - low || 1)) * (BOTTOM - TOP);
  const x = (fraction: number): number => LEFT + fraction * (RIGHT - LEFT);
  const ticks = niceTicks(low, high, 3);
  for (const value of ticks.values) {
    const isStrong = strong !== undefined && Math.abs(value - strong) < 1e-9;
    svg(element, 'path', {
      d: `M${LEFT} ${y(value).toFixed(1)}H${RIGHT}`,
      class: isStrong ? 'rule strong' : 'rule',
    });
    const text = value.toFixed(ticks.decimals).replace('-', '−');
    svg(element, 'text', { x: LEFT - 5, y: y(value) + 3.5, class: 'tick' }, text);
  }
  for (const { kind, values: points } of lines) {
    // A foot off the floor has no line: runs of zeros are left out, their neighbours stay.
    const isFoot = kind === 'left' || kind === 'right';
    const runs: [number, number][][] = [[]];
    points.forEach((value, i) => {
      const near = points[i - 1] || value || points[i + 1];
      if (isFoot && !near) runs.push([]);
      else runs[runs.length - 1].push([x(i / (points.length - 1)), y(value)]);
    });
    const d = runs
      .filter((run) => run.length > 1)
      .map(through)
      .join('');
    svg(element, 'path', { d, class: `line ${kind}` });
  }
  const cursor = svg(element, 'path', { d: `M0 ${TOP - 4}V${BOTTOM + 4}`, class: 'cursor' });
  return {
    point: (fraction) => {
      set(cursor, { transform: `translate(${x(fraction).toFixed(1)} 0)` });
    },
  };
}
