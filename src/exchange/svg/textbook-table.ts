import type { TextbookPace, TextbookPoint, TextbookPoints } from '../../gait/textbook-curves.js';
import { GROUND, SERIES } from '../palette.js';
import { group, lineBetween, textAt } from './elements.js';
import { readable, signed } from './format-number.js';
import { fitText } from './measure-text.js';
import { SAMPLE, seriesSample } from './series-mark.js';
import { TYPE } from './type-scale.js';

/** Height in px of the table's heading, and of each of its rows. */
export const TABLE_HEAD = 46;
export const TABLE_ROW = 21;

/** Share of the width at which each column begins. */
const BEGINS = [0, 0.235, 0.325, 0.415, 0.53, 0.645, 0.76, 0.88] as const;

const POINTS: readonly (readonly [keyof TextbookPoints, string])[] = [
  ['firstPeak', 'First peak'],
  ['valley', 'Valley'],
  ['secondPeak', 'Second peak'],
  ['braking', 'Braking'],
  ['propulsion', 'Propulsion'],
];

/** The named points of each pace: BW, and the per cent of stance at which they fall. */
export function drawTextbookTable(
  paces: readonly TextbookPace[],
  left: number,
  top: number,
  width: number,
): string {
  const at = (column: number): number => left + BEGINS[column] * width;
  const heads = ['Pace', 'Speed', 'Stance', ...POINTS.map(([, words]) => words)];
  const ruled = (y: number, stroke: string): string =>
    lineBetween(left, y, left + width, y, { stroke, 'stroke-width': 1 });
  return group(
    {},
    textAt(left, top, 'Named points: BW, and where they fall in per cent of stance', {
      size: TYPE.panel,
      weight: 600,
    }),
    ...heads.map((words, i) => textAt(at(i), top + 26, words, { fill: GROUND.muted, weight: 600 })),
    ruled(top + 33, GROUND.muted),
    ...paces.flatMap((pace, i) => {
      const y = top + TABLE_HEAD + 4 + i * TABLE_ROW;
      const { name, speed, stancePercent, points } = pace;
      const room = at(1) - left - SAMPLE - 16;
      const cells = [
        `${readable(speed)} m/s`,
        `${readable(stancePercent, 0)} %`,
        ...POINTS.map(([key]) => pointWords(points[key], key === 'braking' || key === 'propulsion')),
      ];
      return [
        seriesSample(i, left, y - 4, SERIES[i]),
        textAt(left + SAMPLE + 8, y, fitText(name, room), { weight: 600 }),
        ...cells.map((words, j) => textAt(at(j + 1), y, words)),
        ruled(y + 7, GROUND.faint),
      ];
    }),
  );
}

function pointWords({ value, percent }: TextbookPoint, sign: boolean): string {
  return `${sign ? signed(value) : readable(value)} at ${readable(percent, 0)} %`;
}
