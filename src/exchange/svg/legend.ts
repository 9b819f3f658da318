import { GROUND, type Stroke } from '../palette.js';
import { group, lineBetween, textAt } from './elements.js';
import { textWidth } from './measure-text.js';
import { TYPE } from './type-scale.js';

/** Samples of lines with their names, from (x, y) on towards the right. */
export function drawLegend(x: number, y: number, entries: readonly (readonly [Stroke, string])[]): string {
  let at = x;
  const parts = entries.map(([stroke, name]) => {
    const sample = lineBetween(at, y - 4, at + 30, y - 4, {
      stroke: stroke.line,
      'stroke-width': stroke.width,
      'stroke-dasharray': stroke.dash,
    });
    const words = textAt(at + 37, y, name, { size: TYPE.body, fill: GROUND.ink });
    at += 37 + textWidth(name) + 18;
    return sample + words;
  });
  return group({}, ...parts);
}
