/// <reference lib="dom" />
import { createSampler } from '../../src/curves/sampler.js';
import type { MotionDocument } from '../../src/exchange/document.js';
import { makeFigure } from '../../src/exchange/figure/pose-figure.js';
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
  const contacts = contactsOf(document);
  const heights = sample(document, 'height').map((x) => 100 * x);
  const charts = [
    makeChart(parent, 'Load, body weights', ranges.load, loadLines(document), {
      strong: 1,
      contacts,
      named: true,
    }),
    makeChart(
      parent,
      `Height of the ${who}, cm`,
      heightRange(heights, ranges.rise),
      [{ kind: 'root', values: heights }],
      { contacts },
    ),
  ];
  for (const { title, unit, values } of partLines(document)) {
    charts.push(
      makeChart(parent, title, ranges.travel[unit], [{ kind: 'part', values }], { strong: 0, contacts }),
    );
  }
  drawFrames(parent, document);
  return charts;
}

/** What is marked on a chart beside its lines. */
interface Marks {
  /** Value whose rule is stronger. */
  readonly strong?: number;
  readonly contacts: readonly (readonly [number, 'left' | 'right'])[];
  /** Whether the feet are named. */
  readonly named?: boolean;
}

/** Where feet land, as fractions of the span. */
function contactsOf({ feet, span }: MotionDocument): Marks['contacts'] {
  return (['left', 'right'] as const).flatMap((side) =>
    feet[side].contacts
      .map(({ land }) => (land - span.start) / span.duration)
      .map((at) => [span.repeats ? at - Math.floor(at) : at, side] as const)
      .filter(([at]) => (span.repeats ? at >= 0 : at > 0) && at < 1),
  );
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
  const lines = documents.flatMap(partLines);
  const travel = (unit: 'm' | 'rad'): readonly [number, number] => {
    const values = lines.filter((line) => line.unit === unit).flatMap((line) => line.values);
    return niceRange(Math.min(0, ...values), Math.max(0.1, ...values), 3);
  };
  return { load, rise: Math.max(...rises), travel: { m: travel('m'), rad: travel('rad') } };
}

/** Centimetres in a metre, degrees in a radian. */
const SCALE = { m: 100, rad: 180 / Math.PI } as const;

/** Most charts of parts under one figure. */
const MOST_PARTS = 4;

/** What is drawn of a part: the travel of a ball, or the angle that a strand's tip has swung to. */
function partLines(document: MotionDocument) {
  const { followers } = document;
  const { parts } = makeFigure(document);
  return parts.slice(0, MOST_PARTS).map((part) => {
    if (part.kind === 'ball') {
      const channel =
        (['height', 'forward', 'side'] as const).find((name) => part.moves[name] >= 0) ?? 'height';
      const at = part.moves[channel];
      const values = at < 0 ? [0, 0] : curveValues(document, followers[at].curve);
      const way = { height: 'up and down', forward: 'fore and aft', side: 'sideways' }[channel];
      return {
        title: `${part.name}, ${way}, cm`,
        unit: 'm' as const,
        values: values.map((x) => SCALE.m * x),
      };
    }
    // Relative angles add up from link to link; angles in the world are their own.
    const links = part.strands[0]?.links ?? [];
    const shown = part.world ? links.slice(-1) : links;
    const own = shown.flatMap(({ pitch, roll, twist }) =>
      [pitch, roll, twist].filter((i) => i >= 0).slice(0, 1),
    );
    const columns = own.map((i) => curveValues(document, followers[i].curve));
    const values = Array.from({ length: SAMPLES + 1 }, (_, i) =>
      columns.reduce((sum, column) => sum + SCALE.rad * column[i], 0),
    );
    const where = part.kind === 'cloth' ? 'front hem' : 'tip';
    return { title: `${part.name}, swing of the ${where}, °`, unit: 'rad' as const, values };
  });
}

/** Frames of the scene under the last chart. */
function drawFrames(parent: Element, { span, scene }: MotionDocument): void {
  const fps = scene.frameRate.frames / scene.frameRate.seconds;
  const [from, to] = [span.start, span.start + span.duration].map((time) => scene.firstFrame + time * fps);
  const element = svg(parent, 'svg', {
    viewBox: `0 0 ${WIDTH} 34`,
    role: 'img',
    class: 'chart',
    'aria-label': 'Frames',
  });
  const step = Math.max(1, Math.round(niceTicks(0, to - from, 7).step));
  svg(element, 'path', { d: `M${LEFT} 1H${RIGHT}`, class: 'rule strong' });
  for (let frame = Math.ceil(from / step - 1e-6) * step; frame <= to + 1e-6; frame += step) {
    const x = LEFT + ((frame - from) / (to - from)) * (RIGHT - LEFT);
    svg(element, 'path', { d: `M${x.toFixed(1)} 1v5`, class: 'rule strong' });
    svg(element, 'text', { x, y: 18, class: 'tick middle' }, String(frame));
  }
  svg(
    element,
    'text',
    { x: (LEFT + RIGHT) / 2, y: 31, class: 'tick middle' },
    `frame, ${Math.round(fps * 1000) / 1000} a second`,
  );
}

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
  { strong, contacts, named = false }: Marks,
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
  for (const [fraction, side] of contacts) {
    svg(element, 'path', { d: `M${x(fraction).toFixed(1)} ${TOP}V${BOTTOM}`, class: 'contact' });
    if (named)
      svg(
        element,
        'text',
        { x: x(fraction) + 3, y: TOP + 8, class: `tick begin ${side}` },
        side === 'left' ? 'L' : 'R',
      );
  }
  const cursor = svg(element, 'path', { d: `M0 ${TOP - 4}V${BOTTOM + 4}`, class: 'cursor' });
  return {
    point: (fraction) => {
      set(cursor, { transform: `translate(${x(fraction).toFixed(1)} 0)` });
    },
  };
}
