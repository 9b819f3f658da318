import type { TextbookPace, TextbookPoints } from '../../gait/textbook-curves.js';
import type { Force } from '../../gait/walk.js';
import { GROUND, SERIES } from '../palette.js';
import { group, lineBetween, textAt } from './elements.js';
import { drawLine, type Point } from './line-mark.js';
import { textWidth } from './measure-text.js';
import { type Panel, xOf, yOf } from './panel.js';
import { placeInRows } from './place-labels.js';
import { seriesSign } from './series-mark.js';
import { ticksEvery } from './ticks.js';
import { TYPE } from './type-scale.js';

/** What the percentages are of. */
export type Base = 'stance' | 'stride';

/** The named points that each direction has. */
const NAMED: Readonly<Record<keyof Force<unknown>, readonly (readonly [keyof TextbookPoints, string])[]>> = {
  vertical: [
    ['firstPeak', 'first peak'],
    ['secondPeak', 'second peak'],
    ['valley', 'valley'],
  ],
  forward: [
    ['braking', 'braking'],
    ['propulsion', 'propulsion'],
  ],
  side: [],
};

/** Where the across-axis is marked. */
export const PERCENT_TICKS = ticksEvery(0, 100, 10);

/** Faint uprights at every fifth part. */
export function drawFifths(panel: Panel): string {
  return group(
    {},
    ...[20, 40, 60, 80].map((percent) =>
      lineBetween(xOf(panel, percent), panel.top, xOf(panel, percent), panel.top + panel.height, {
        stroke: GROUND.faint,
        'stroke-width': 1,
      }),
    ),
  );
}

/** Each pace's line in one direction, with its signs and, over stance, the points' names. */
export function drawPaceLines(
  paces: readonly TextbookPace[],
  component: keyof Force<unknown>,
  panel: Panel,
  base: Base,
): string {
  const lines = paces.map((pace, i) => drawLine(panel, linePoints(pace, component, base), SERIES[i]));
  const signs = paces.flatMap((pace, i) =>
    signedPoints(pace, component, base).map(([x, y]) =>
      seriesSign(i, xOf(panel, x), yOf(panel, y), SERIES[i]),
    ),
  );
  const names = base === 'stance' ? pointNames(paces, component, panel) : '';
  return group({}, ...lines, ...signs, names);
}

/** A line while the foot stands: in the air there is no force to draw. */
function linePoints(pace: TextbookPace, component: keyof Force<unknown>, base: Base): Point[] {
  const { percent, [component]: values } = pace[base];
  const points = percent.map((x, i): Point => [x, values[i]]);
  if (base === 'stance') return points;
  return [...points.filter(([x]) => x < pace.stancePercent), [pace.stancePercent, 0]];
}

/** Points that carry the pace's sign: the named ones, or where there are none the farthest from 0. */
function signedPoints(pace: TextbookPace, component: keyof Force<unknown>, base: Base): Point[] {
  const named = NAMED[component].map(([key]) => pace.points[key]);
  const own = named.length > 0 ? named : [farthest(pace, component)];
  const share = base === 'stance' ? 1 : pace.stancePercent / 100;
  return own.map(({ percent, value }): Point => [percent * share, value]);
}

function farthest({ stance }: TextbookPace, component: keyof Force<unknown>) {
  const values = stance[component];
  const best = values.reduce((most, x, i) => (Math.abs(x) > Math.abs(values[most]) ? i : most), 0);
  return { percent: stance.percent[best], value: values[best] };
}

/** Names over peaks and under valleys, clear of every pace's own point. */
function pointNames(paces: readonly TextbookPace[], component: keyof Force<unknown>, panel: Panel): string {
  const labels = NAMED[component].map(([key, words]) => {
    const points = paces.map((pace) => pace.points[key]);
    const below = key === 'valley' || key === 'braking';
    const values = points.map(({ value }) => value);
    const value = below ? Math.min(...values) : Math.max(...values);
    const percent = points.reduce((sum, point) => sum + point.percent, 0) / points.length;
    const y = yOf(panel, value) + (below ? 20 : -10);
    return { words, below, y, x: xOf(panel, percent), width: textWidth(words, TYPE.tick) };
  });
  return [false, true]
    .flatMap((side) => {
      const row = labels.filter(({ below }) => below === side).sort((a, b) => a.x - b.x);
      const places = placeInRows(row, panel.left + 4, panel.left + panel.width - 4);
      return row.map(({ words, y }, i) =>
        textAt(places[i].x, y + (side ? 14 : -14) * places[i].row, words, {
          size: TYPE.tick,
          fill: GROUND.muted,
          anchor: 'middle',
          halo: GROUND.panel,
        }),
      );
    })
    .join('');
}
