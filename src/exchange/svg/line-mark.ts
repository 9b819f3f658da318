import type { Stroke } from '../palette.js';
import { element, pathThrough } from './elements.js';
import { type Panel, xOf, yOf } from './panel.js';

/** A point on a panel's own scales. */
export type Point = readonly [number, number];

/** A line through points, in a stroke of the palette. */
export function drawLine(panel: Panel, points: readonly Point[], stroke: Stroke): string {
  return element('path', {
    d: pathThrough(points.map(([x, y]) => [xOf(panel, x), yOf(panel, y)] as const)),
    fill: 'none',
    stroke: stroke.line,
    'stroke-width': stroke.width,
    'stroke-dasharray': stroke.dash,
    'stroke-linejoin': 'round',
    'stroke-linecap': stroke.dash ? 'butt' : 'round',
  });
}

/** The area between a line and a level, above it and below it in tints of their own. */
export function drawSwing(
  panel: Panel,
  points: readonly Point[],
  level: number,
  tints: { readonly above: string; readonly below: string },
): string {
  const area = (keep: (y: number) => number): string => {
    const edge = withCrossings(points, level).map(([x, y]) => [xOf(panel, x), yOf(panel, keep(y))] as const);
    const base = yOf(panel, level);
    return pathThrough([[edge[0][0], base], ...edge, [edge[edge.length - 1][0], base]]);
  };
  return (
    element('path', { d: `${area((y) => Math.max(y, level))}Z`, fill: tints.above }) +
    element('path', { d: `${area((y) => Math.min(y, level))}Z`, fill: tints.below })
  );
}

/** The area between two lines of the same across-values, by which of them is the higher one. */
export function drawBetween(
  panel: Panel,
  first: readonly Point[],
  second: readonly Point[],
  tints: { readonly above: string; readonly below: string },
): string {
  const area = (keep: (first: number, second: number) => number, fill: string): string => {
    const there = first.map(([x, y]) => [xOf(panel, x), yOf(panel, y)] as const);
    const back = second.map(([x, y], i) => [xOf(panel, x), yOf(panel, keep(first[i][1], y))] as const);
    return element('path', { d: `${pathThrough([...there, ...back.reverse()])}Z`, fill });
  };
  return area(Math.max, tints.above) + area(Math.min, tints.below);
}

/** A pale band between two lines. */
export function drawBand(panel: Panel, low: readonly Point[], high: readonly Point[], fill: string): string {
  const edge = [...low, ...[...high].reverse()].map(([x, y]) => [xOf(panel, x), yOf(panel, y)] as const);
  return element('path', { d: `${pathThrough(edge)}Z`, fill, 'fill-opacity': 0.18 });
}

function withCrossings(points: readonly Point[], level: number): Point[] {
  const out: Point[] = [];
  points.forEach((point, i) => {
    const before = points[i - 1];
    if (before && (before[1] - level) * (point[1] - level) < 0) {
      const part = (level - before[1]) / (point[1] - before[1]);
      out.push([before[0] + part * (point[0] - before[0]), level]);
    }
    out.push(point);
  });
  return out;
}
