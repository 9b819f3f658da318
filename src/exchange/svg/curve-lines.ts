import type { Curve, Key, Tangent } from '../../curves/curve.js';
import { createSampler } from '../../curves/sampler.js';
import { GROUND, type Stroke } from '../palette.js';
import { element, lineBetween } from './elements.js';
import type { Point } from './line-mark.js';
import { type Panel, xOf, yOf } from './panel.js';

/**
 * How a curve's time and value become the panel's numbers. `value` and `slope` are affine, so a handle's
 * tip is moved as its key is and a tangent stays a tangent.
 */
export interface Drawn {
  readonly across: (time: number) => number;
  /** Value as drawn, for a value at a time. */
  readonly up: (value: number, time: number) => number;
}

/** A key at a time inside a window, with the sides of it that the window shows. */
export interface ShownKey {
  readonly time: number;
  readonly value: number;
  readonly in?: Tangent;
  readonly out?: Tangent;
}

/** The keys of a curve between two times, those of a cyclic one repeated as often as it takes. */
export function keysBetween(curve: Curve, from: number, to: number): ShownKey[] {
  const { keys, period, gain = 0, after } = curve;
  const shown: ShownKey[] = [];
  const room = 1e-9 * Math.max(1, to - from);
  const first = period ? Math.floor((from - curve.start) / period) : 0;
  const last = period ? Math.floor((to + room - curve.start) / period) : 0;
  for (let turn = first; turn <= last; turn++) {
    keys.forEach((key, i) => {
      const time = key.time + turn * (period ?? 0);
      if (time < from - room || time > to + room) return;
      const before = keys[i - 1] ?? (period ? keys[keys.length - 1] : undefined);
      const leaves = isBent(key) && (period !== undefined || i < keys.length - 1) && time < to - room;
      const arrives = before !== undefined && isBent(before) && time > from + room;
      shown.push({
        time,
        value: key.value + (after === 'travels' ? turn * gain : 0),
        in: arrives ? key.in : undefined,
        out: leaves ? key.out : undefined,
      });
    });
  }
  return shown;
}

function isBent(key: Key): boolean {
  return (key.next ?? 'curve') === 'curve';
}

/** Points of a curve at even times between two times, ends included. */
export function curvePoints(curve: Curve, from: number, to: number, count: number, drawn: Drawn): Point[] {
  const sampler = createSampler(curve);
  const out = new Float64Array(1);
  return Array.from({ length: count + 1 }, (_, i): Point => {
    const time = from + ((to - from) * i) / count;
    sampler.sample(time, out);
    return [drawn.across(time), drawn.up(out[0], time)];
  });
}

/** A handle's end as drawn, no further than the window; `whole` says whether that is its own end. */
interface Tip {
  readonly time: number;
  readonly value: number;
  readonly whole: boolean;
}

function tipsOf(key: ShownKey, [from, to]: readonly [number, number]): Tip[] {
  const tip = (side: Tangent | undefined, sign: 1 | -1): Tip[] => {
    if (!side) return [];
    const room = sign > 0 ? to - key.time : key.time - from;
    const span = Math.min(side.span, room);
    const whole = side.span <= room;
    return [{ time: key.time + sign * span, value: key.value + sign * side.slope * span, whole }];
  };
  return [...tip(key.in, -1), ...tip(key.out, 1)];
}

/** The drawn values of keys and handle tips inside a window of time, to make room for them. */
export function handleValues(
  keys: readonly ShownKey[],
  drawn: Drawn,
  window: readonly [number, number],
): number[] {
  return keys.flatMap((key) => [
    drawn.up(key.value, key.time),
    ...tipsOf(key, window).map(({ value, time }) => drawn.up(value, time)),
  ]);
}

/**
 * Keys as beads and their tangents as fine lines with a cross-bar at the end of each handle; a handle that
 * reaches out of the window is cut there and has no bar.
 */
export function drawKeys(
  panel: Panel,
  keys: readonly ShownKey[],
  drawn: Drawn,
  stroke: Stroke,
  window: readonly [number, number],
): string {
  const place = (time: number, value: number): Point => [
    xOf(panel, drawn.across(time)),
    yOf(panel, drawn.up(value, time)),
  ];
  const handles = keys.flatMap((key) =>
    tipsOf(key, window).map((tip) =>
      drawHandle(place(key.time, key.value), place(tip.time, tip.value), tip.whole),
    ),
  );
  const beads = keys.map(({ time, value }) => {
    const [cx, cy] = place(time, value);
    return element('circle', { cx, cy, r: 4, fill: stroke.text, stroke: GROUND.panel, 'stroke-width': 1.5 });
  });
  return [...handles, ...beads].join('');
}

function drawHandle([x1, y1]: Point, [x2, y2]: Point, bar: boolean): string {
  const length = Math.hypot(x2 - x1, y2 - y1);
  if (length < 1) return '';
  const [nx, ny] = [(-(y2 - y1) / length) * 4, ((x2 - x1) / length) * 4];
  const style = { stroke: GROUND.muted, 'stroke-width': 1.1 };
  const line = lineBetween(x1, y1, x2, y2, style);
  return bar ? line + lineBetween(x2 - nx, y2 - ny, x2 + nx, y2 + ny, style) : line;
}
