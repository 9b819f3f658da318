import type { TextbookCurves, TextbookPace } from '../../gait/textbook-curves.js';
import type { Force } from '../../gait/walk.js';
import { refuseAny, requireRecord, show } from '../../internal/check.js';
import { SERIES } from '../palette.js';
import { checkTextbook } from './check-textbook.js';
import { rangeOf } from './describe.js';
import { group, textAt } from './elements.js';
import { readable } from './format-number.js';
import { fitText, textWidth } from './measure-text.js';
import { drawAcrossAxis, drawGround, drawUpAxis, type Panel } from './panel.js';
import { SAMPLE, seriesSample } from './series-mark.js';
import { drawSheet, HEADER, MARGIN } from './sheet.js';
import { type Base, drawFifths, drawPaceLines, PERCENT_TICKS } from './textbook-panel.js';
import { drawTextbookTable, TABLE_HEAD, TABLE_ROW } from './textbook-table.js';
import { niceRange, niceTicks, rangeAt, type Ticks, ticksEvery } from './ticks.js';
import { TYPE } from './type-scale.js';

const LEFT = MARGIN + 44;
const COLUMN = 400;
const GAP = 44;
const WIDTH = LEFT + 2 * COLUMN + GAP + MARGIN;
const VERTICAL = 240;
/** Height in px of both shear panels together. */
const SHEAR = 310;
/** How many times larger sideways forces are drawn than fore-aft ones. */
const ENLARGED = 2;

/** What the sheet is called. */
export interface TextbookChartOptions {
  /** Headline. Default "The floor's force on one foot". */
  readonly title?: string;
}

type Component = keyof Force<unknown>;

const HEADINGS: Readonly<Record<Component, string>> = {
  vertical: 'Upwards, BW   (1 = body weight)',
  forward: 'Fore-aft, BW   (+ drives forwards, − brakes)',
  side: 'Sideways, BW   (+ towards the middle of the body), at twice the scale',
};

/**
 * The curves of `textbookCurves` as one SVG drawing: a foot's force in BW upwards, fore-aft and sideways,
 * on the left against per cent of stance, on the right against per cent of the stride, a line for each
 * pace, with the points that textbooks name marked and listed below.
 *
 * Paces differ by dash, sign and lightness as well as by hue. Sideways is drawn at twice the scale of
 * fore-aft.
 *
 * @param curves - what `textbookCurves` gave, of one to six paces
 * @param options - the headline
 * @returns SVG text, free of scripts and outside references
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { textbookCurves } from 'underfoot';
 * import { chartTextbook } from 'underfoot/exchange';
 *
 * const svg = chartTextbook(textbookCurves());
 * console.log(svg.startsWith('<svg'), svg.includes('Per cent of stance')); // → true true
 * ```
 */
export function chartTextbook(curves: TextbookCurves, options: TextbookChartOptions = {}): string {
  const where = 'chartTextbook';
  requireRecord(where, 'options', options, ['title']);
  checkTextbook(where, curves);
  const { paces, foot } = curves;
  const { title = "The floor's force on one foot" } = options;
  if (typeof title !== 'string') {
    refuseAny(where, [{ field: 'title', rule: 'must be a string', got: show(title), kind: 'type' }]);
  }
  const rows = panelRows(paces);
  const { stance: last } = rows[rows.length - 1];
  const table = last.top + last.height + 78;
  return drawSheet(
    {
      width: WIDTH,
      height: table + TABLE_HEAD + paces.length * TABLE_ROW + MARGIN - 8,
      title,
      subtitle: `The ${foot === 'left' ? 'left' : 'right'} foot, in body weights (BW): from contact to lift, and from contact to contact.`,
      description: paces.map(paceWords).join('. '),
    },
    drawPaceLegend(paces),
    ...rows.map((row, i) =>
      group(
        {},
        drawBase(paces, row, 'stance', i === rows.length - 1),
        drawBase(paces, row, 'stride', i === rows.length - 1),
      ),
    ),
    drawTextbookTable(paces, MARGIN, table, WIDTH - 2 * MARGIN),
  );
}

interface Row {
  readonly component: Component;
  readonly stance: Panel;
  readonly stride: Panel;
  readonly ticks: Ticks;
}

/** A panel over stance and one over the stride for each component, on the same scale. */
function panelRows(paces: readonly TextbookPace[]): Row[] {
  const rangeIn = (component: Component) =>
    rangeOf([0, ...paces.flatMap(({ stance, stride }) => [...stance[component], ...stride[component]])]);
  const shear = (['forward', 'side'] as const).map(rangeIn);
  const [foreAft, sideways] = shear.map(([low, high]) => high - low);
  const step = niceTicks(0, Math.max(0.02, foreAft, ENLARGED * sideways), 5).step;
  // Room for a name beyond the farthest point.
  const rooms = [0.55, 0.15];
  const steps = [step, step / ENLARGED];
  const shearRanges = shear.map(([low, high], i) =>
    rangeAt(low - rooms[i] * steps[i], high + rooms[i] * steps[i], steps[i]),
  );
  const sizes = shearRanges.map(([low, high], i) => (high - low) / steps[i]);
  const heights = sizes.map((size) => (SHEAR * size) / (sizes[0] + sizes[1]));
  const vertical = niceRange(0, Math.max(0.1, rangeIn('vertical')[1] * 1.1), 6);
  let top = HEADER + 88;
  return (['vertical', 'forward', 'side'] as const).map((component, i) => {
    const up = i === 0 ? vertical : shearRanges[i - 1];
    const height = i === 0 ? VERTICAL : heights[i - 1];
    const panel = (left: number): Panel => ({ left, top, width: COLUMN, height, across: [0, 100], up });
    const ticks = i === 0 ? niceTicks(...up, 6) : ticksEvery(...up, steps[i - 1], decimalsOf(steps[i - 1]));
    const row = { component, stance: panel(LEFT), stride: panel(LEFT + COLUMN + GAP), ticks };
    top += height + 44;
    return row;
  });
}

function decimalsOf(step: number): number {
  return (
    [0, 1, 2, 3, 4, 5].find((decimals) => Math.abs(Number(step.toFixed(decimals)) - step) < 1e-6 * step) ?? 6
  );
}

function drawBase(paces: readonly TextbookPace[], row: Row, base: Base, lowest: boolean): string {
  const panel = row[base];
  const { component, ticks } = row;
  const first = base === 'stance';
  const across = first ? 'Per cent of stance' : 'Per cent of the stride';
  return group(
    {},
    drawGround(panel),
    drawFifths(panel),
    drawUpAxis(panel, {
      ticks,
      words: first,
      title: first ? HEADINGS[component] : undefined,
      strong: component === 'vertical' ? 1 : 0,
    }),
    drawPaceLines(paces, component, panel, base),
    drawAcrossAxis(panel, { ticks: PERCENT_TICKS, words: lowest, title: lowest ? across : undefined }),
    component === 'vertical' ? baseHeading(panel, first) : '',
  );
}

/** What the column is against, above its first panel. */
function baseHeading({ left, top }: Panel, first: boolean): string {
  const words = first ? 'While the foot stands' : 'Over the whole stride';
  return textAt(left, top - 32, words, { size: TYPE.panel, weight: 700 });
}

/** Each pace's line, sign and name, with its speed where there is room, in one row. */
function drawPaceLegend(paces: readonly TextbookPace[]): string {
  const room = (WIDTH - 2 * MARGIN) / paces.length - SAMPLE - 28;
  const full = paces.map(({ name, speed }) => paceName(name, speed));
  const short = full.some((words) => textWidth(words) > room);
  let x = MARGIN;
  const parts = paces.map(({ name }, i) => {
    const words = fitText(short ? name : full[i], room);
    const drawn = seriesSample(i, x, HEADER + 14, SERIES[i]) + textAt(x + SAMPLE + 8, HEADER + 18, words);
    x += SAMPLE + 8 + textWidth(words) + 20;
    return drawn;
  });
  return group({}, ...parts);
}

/** A pace whose name is its speed already is not told it twice. */
function paceName(name: string, speed: number): string {
  const words = `${readable(speed)} m/s`;
  return name === words ? name : `${name}, ${words}`;
}

function paceWords({ name, speed, points }: TextbookPace): string {
  const { firstPeak, valley, secondPeak } = points;
  return `${paceName(name, speed)}: first peak ${readable(firstPeak.value)} BW, valley ${readable(valley.value)} BW, second peak ${readable(secondPeak.value)} BW`;
}
