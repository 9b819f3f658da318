import { GROUND, type Stroke } from '../palette.js';
import { element, group, lineBetween } from './elements.js';
import { coordinate } from './format-number.js';

/**
 * A small sign for the lines of one kind, told apart by their number: disc, ring, diamond, cross, hollow
 * square, plus. None is a pose's sign.
 */
export function seriesSign(index: number, x: number, y: number, { line, text }: Stroke): string {
  const at = (dx: number, dy: number): string => `${coordinate(x + dx)} ${coordinate(y + dy)}`;
  const hollow = { fill: GROUND.panel, stroke: line, 'stroke-width': 1.8 };
  const open = { fill: 'none', stroke: line, 'stroke-width': 2.2 };
  switch (index % 6) {
    case 0:
      return element('circle', { cx: x, cy: y, r: 3.8, fill: text });
    case 1:
      return element('circle', { cx: x, cy: y, r: 3.8, ...hollow });
    case 2:
      return element('path', { d: `M${at(0, -5)}L${at(5, 0)}L${at(0, 5)}L${at(-5, 0)}Z`, fill: text });
    case 3:
      return element('path', {
        d: `M${at(-3.6, -3.6)}L${at(3.6, 3.6)}M${at(-3.6, 3.6)}L${at(3.6, -3.6)}`,
        ...open,
      });
    case 4:
      return element('rect', { x: x - 3.4, y: y - 3.4, width: 6.8, height: 6.8, ...hollow });
    default:
      return element('path', { d: `M${at(-4.6, 0)}L${at(4.6, 0)}M${at(0, -4.6)}L${at(0, 4.6)}`, ...open });
  }
}

/** Length in px of a line's sample. */
export const SAMPLE = 38;

/** A sample of a line, with its sign in the middle unless told otherwise, from (x, y) on towards the right. */
export function seriesSample(index: number, x: number, y: number, stroke: Stroke, sign = true): string {
  const line = lineBetween(x, y, x + SAMPLE, y, {
    stroke: stroke.line,
    'stroke-width': stroke.width,
    'stroke-dasharray': stroke.dash,
  });
  return group({}, line, sign ? seriesSign(index, x + SAMPLE / 2, y, stroke) : '');
}
