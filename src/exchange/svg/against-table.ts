import type { ReactionComparison } from '../../weigh/compare-reactions.js';
import type { StepMeasures } from '../../weigh/stance-measures.js';
import { GROUND, type Stroke } from '../palette.js';
import { group, lineBetween, textAt } from './elements.js';
import { readable, signed } from './format-number.js';
import { fitText } from './measure-text.js';
import { TYPE } from './type-scale.js';

const HEAD = 62;
const ROW = 20;

/** Measures that are listed, what they are called, and their unit. */
const LISTED: readonly (readonly [keyof StepMeasures, string, 'BW' | '%' | 's'])[] = [
  ['firstPeak', 'First peak', 'BW'],
  ['firstPeakAt', 'First peak at, of the contact', '%'],
  ['trough', 'Valley', 'BW'],
  ['secondPeak', 'Second peak', 'BW'],
  ['secondPeakAt', 'Second peak at, of the contact', '%'],
  ['braking', 'Braking', 'BW'],
  ['propulsion', 'Propulsion', 'BW'],
  ['contactTime', 'Contact', 's'],
];

/** Where the columns of numbers end, as shares of the width: first, second, difference for each foot. */
const ENDS = { right: [0.4, 0.5, 0.61], left: [0.77, 0.87, 0.985] } as const;

/** Height in px of the table. */
export function tableHeight(): number {
  return HEAD + LISTED.length * ROW;
}

/** Peaks, valleys and times of both, foot by foot, with the difference. */
export function drawAgainstTable(
  { measures }: ReactionComparison,
  names: readonly [string, string],
  strokes: readonly [Stroke, Stroke],
  left: number,
  top: number,
  width: number,
): string {
  const ruled = (y: number, stroke: string): string =>
    lineBetween(left, y, left + width, y, { stroke, 'stroke-width': 1 });
  const end = (x: number, y: number, words: string, more = {}): string =>
    textAt(left + x * width, y, words, { anchor: 'end', ...more });
  const feet = ['right', 'left'] as const;
  const heads = feet.flatMap((foot) => [
    textAt(left + (ENDS[foot][0] - 0.09) * width, top + 22, foot === 'right' ? 'Right foot' : 'Left foot', {
      weight: 600,
    }),
    ...names.map((name, i) =>
      end(ENDS[foot][i], top + 41, fitText(name, 0.092 * width), { fill: strokes[i].text, weight: 600 }),
    ),
    end(ENDS[foot][2], top + 41, 'difference', { fill: GROUND.muted }),
  ]);
  const rows = LISTED.flatMap(([name, words, unit], row) => {
    const y = top + HEAD + 2 + row * ROW;
    const cells = feet.flatMap((foot) => {
      const pair = measures.find((measure) => measure.foot === foot && measure.name === name);
      if (!pair) return [];
      const [a, b, by] = [pair.a, pair.b, pair.difference];
      return [
        end(ENDS[foot][0], y, written(a, unit)),
        end(ENDS[foot][1], y, written(b, unit)),
        end(ENDS[foot][2], y, written(by, unit, true), { weight: 600 }),
      ];
    });
    return [
      textAt(left, y, `${words}${unit === '%' ? '' : `, ${unit}`}`),
      ...cells,
      ruled(y + 6, GROUND.faint),
    ];
  });
  return group(
    {},
    textAt(left, top, 'Foot by foot', { size: TYPE.panel, weight: 600 }),
    ...heads,
    ruled(top + 47, GROUND.muted),
    ...rows,
  );
}

function written(value: number, unit: 'BW' | '%' | 's', sign = false): string {
  const text = (x: number, decimals: number): string => (sign ? signed(x, decimals) : readable(x, decimals));
  return unit === '%' ? `${text(100 * value, 0)} %` : text(value, 2);
}
