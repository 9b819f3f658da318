import type { Force } from '../../gait/walk.js';
import { refuseAny, requireArray, requireRecord, show } from '../../internal/check.js';
import { compareReactions, type ReactionComparison } from '../../weigh/compare-reactions.js';
import { GROUND, SERIES, type Stroke } from '../palette.js';
import { drawAgainstTable, tableHeight } from './against-table.js';
import { rangeOf } from './describe.js';
import { element, group, lineBetween, textAt } from './elements.js';
import { readable } from './format-number.js';
import { drawBand, drawBetween, drawLine, type Point } from './line-mark.js';
import { fitText, textWidth, wrapText } from './measure-text.js';
import { drawAcrossAxis, drawGround, drawUpAxis, type Panel, xOf, yOf } from './panel.js';
import { SAMPLE, seriesSample } from './series-mark.js';
import { drawSheet, HEADER, MARGIN } from './sheet.js';
import { type DrawnStride, type StrideSource, strideOf } from './strides-of.js';
import { niceRange, niceTicks, rangeAt, type Ticks, ticksEvery } from './ticks.js';
import { TYPE } from './type-scale.js';

const LEFT = MARGIN + 44;
const COLUMN = 400;
const GAP = 44;
const WIDTH = LEFT + 2 * COLUMN + GAP + MARGIN;
const WHOLE = 2 * COLUMN + GAP;
const LINE = 17;

/** How the sheet and what it compares are called. */
export interface AgainstOptions {
  /** What the first and the second are called. Default "First" and "Second". */
  readonly names?: readonly [string, string];
  /** Headline. Default the two names. */
  readonly title?: string;
}

type Part = 'left' | 'right' | 'total';
type Component = keyof Force<unknown>;

/** A panel with what it shows. */
interface Row {
  readonly panel: Panel;
  readonly part: Part;
  readonly component: Component;
  readonly ticks: Ticks;
  readonly title?: string;
}

const HEADINGS: Readonly<Record<Component, string>> = {
  vertical: 'upwards, BW',
  forward: 'fore-aft, BW   (+ drives forwards)',
  side: 'sideways, BW   (+ to the left)',
};

/** The first is drawn unbroken, the second broken and darker. */
const STROKE: readonly [Stroke, Stroke] = [SERIES[1], SERIES[2]];

/**
 * Two strides of floor forces on the same scales as one SVG drawing: measured against modelled, or one
 * walker against another. The load of both feet and each foot's force in BW over the phase of the stride,
 * the difference filled, a band of one standard deviation where there are several strides, then peaks,
 * valleys and times of both side by side and the verdict of `compareReactions` in words.
 *
 * Both are lined up and stretched as `compareReactions` does: from the right foot's landing.
 *
 * @param a - a stride of `sampleReactions` or `averageStride`, a recording of `readPlates`, or a walk
 * @param b - another one
 * @param options - names of the two, and the headline
 * @returns SVG text, free of scripts and outside references
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planWalk, readPlates, writePlates } from 'underfoot';
 * import { chartAgainst } from 'underfoot/exchange';
 *
 * const walk = planWalk({ pace: 'ordinary' });
 * const recording = readPlates(writePlates(walk, { strides: 4 }));
 * const svg = chartAgainst(recording, walk, { names: ['measured', 'modelled'] });
 * console.log(svg.includes('measured against modelled')); // → true
 * ```
 */
export function chartAgainst(a: StrideSource, b: StrideSource, options: AgainstOptions = {}): string {
  const where = 'chartAgainst';
  requireRecord(where, 'options', options, ['names', 'title']);
  const names = requireArray(where, 'names', options.names ?? ['First', 'Second'], 2) as [string, string];
  const title = options.title ?? `${names[0]} against ${names[1]}`;
  for (const [field, text] of Object.entries({ 'names[0]': names[0], 'names[1]': names[1], title })) {
    if (typeof text !== 'string')
      refuseAny(where, [{ field, rule: 'must be a string', got: show(text), kind: 'type' }]);
  }
  const strides = [strideOf(where, 'a', a), strideOf(where, 'b', b)] as const;
  const comparison = compareReactions(strides[0].table, strides[1].table);
  const { rms, worst } = comparison;
  const rows = layOut(strides);
  const lowest = rows[rows.length - 1].panel;
  const table = lowest.top + lowest.height + 76;
  const words = table + tableHeight() + 34;
  const verdict = wrapText(comparison.verdict, WIDTH - 2 * MARGIN);
  return drawSheet(
    {
      width: WIDTH,
      height: words + verdict.length * LINE + MARGIN,
      title,
      subtitle: `One stride from the right foot's landing. Apart (rms): ${readable(rms.total.vertical, 3)} BW in the load of both feet, ${readable(rms.feet.vertical, 3)} BW in each foot's.`,
      description: comparison.verdict,
    },
    drawKey(names, strides),
    ...rows.map((row) => drawRow(row, strides)),
    markWorst(rows, strides, worst),
    drawAgainstTable(comparison, names, STROKE, MARGIN, table, WIDTH - 2 * MARGIN),
    ...verdict.map((line, i) => textAt(MARGIN, words + i * LINE, line)),
  );
}

/** The load of both across the sheet, then each foot's three components in two columns. */
function layOut(strides: readonly DrawnStride[]): Row[] {
  const rows: Row[] = [];
  let top = HEADER + 62;
  const add = (part: Part, component: Component, panel: Panel, ticks: Ticks, words: string): void => {
    const who = part === 'total' ? 'Both feet' : part === 'left' ? 'Left foot' : 'Right foot';
    rows.push({ part, component, panel, ticks, title: `${who}, ${words}` });
  };
  const load = niceRange(...rangeIn(strides, ['total'], 'vertical', 0.12), 5);
  const main: Panel = { left: LEFT, top, width: WHOLE, height: 190, across: [0, 1], up: load };
  add('total', 'vertical', main, niceTicks(...load, 5), `${HEADINGS.vertical}   (1 = body weight)`);
  top += main.height + 54;
  for (const component of ['vertical', 'forward', 'side'] as const) {
    const [low, high] = rangeIn(strides, ['left', 'right'], component, 0.06);
    const { step, decimals } = niceTicks(low, high, component === 'vertical' ? 5 : 4);
    const up = rangeAt(component === 'vertical' ? 0 : low, high, step);
    const height = component === 'vertical' ? 180 : component === 'forward' ? 130 : 100;
    (['right', 'left'] as const).forEach((part, i) => {
      const left = LEFT + i * (COLUMN + GAP);
      const panel: Panel = { left, top, width: COLUMN, height, across: [0, 1], up };
      add(part, component, panel, ticksEvery(...up, step, decimals), HEADINGS[component]);
    });
    top += height + 46;
  }
  return rows;
}

function rangeIn(
  strides: readonly DrawnStride[],
  parts: readonly Part[],
  component: Component,
  room: number,
): [number, number] {
  const values = strides.flatMap(({ lined, spread }) =>
    parts.flatMap((part) => {
      const own = lined[part][component];
      const about = spread?.[part][component];
      return about ? own.flatMap((x, i) => [x - about[i], x + about[i]]) : own;
    }),
  );
  const [low, high] = rangeOf(values);
  const pad = room * Math.max(high - low, 0.05);
  return [low - pad, high + pad];
}

const closed = (values: readonly number[]): Point[] =>
  [...values, values[0]].map((y, i): Point => [i / values.length, y]);

function drawRow(
  { panel, part, component, ticks, title }: Row,
  strides: readonly [DrawnStride, DrawnStride],
) {
  const lines = strides.map(({ lined }) => closed(lined[part][component]));
  const bands = strides.map(({ spread }, i) => {
    if (!spread) return '';
    const about = closed(spread[part][component]);
    const low = lines[i].map(([x, y], k): Point => [x, y - about[k][1]]);
    const high = lines[i].map(([x, y], k): Point => [x, y + about[k][1]]);
    return drawBand(panel, low, high, STROKE[i].line);
  });
  const first = panel.left === LEFT;
  const lowest = component === 'side' || part === 'total';
  return group(
    {},
    drawGround(panel),
    drawBetween(panel, lines[0], lines[1], GROUND),
    ...bands,
    drawUpAxis(panel, { ticks, words: first, title, strong: part === 'total' ? 1 : 0 }),
    ...lines.map((points, i) => drawLine(panel, points, STROKE[i])),
    drawAcrossAxis(panel, {
      ticks: ticksEvery(0, 1, part === 'total' ? 0.1 : 0.2, 1),
      words: lowest,
      title: component === 'side' ? 'Phase of the stride (0 = right foot lands)' : undefined,
    }),
  );
}

/** Both lines' names, and what the fills mean. */
function drawKey(names: readonly [string, string], strides: readonly DrawnStride[]): string {
  const y = HEADER + 18;
  const room = 180;
  let x = MARGIN;
  const parts = names.map((name, i) => {
    const count = (strides[i].table as { readonly strides?: number }).strides;
    const words = fitText(count ? `${name}, mean of ${count}` : name, room);
    const drawn = seriesSample(i + 1, x, y - 4, STROKE[i], false) + textAt(x + SAMPLE + 8, y, words);
    x += SAMPLE + 8 + textWidth(words) + 20;
    return drawn;
  });
  const fills = [
    [GROUND.above, 'second above'],
    [GROUND.below, 'second below'],
  ] as const;
  for (const [fill, words] of fills) {
    parts.push(element('rect', { x, y: y - 10, width: 16, height: 12, fill }) + textAt(x + 23, y, words));
    x += 23 + textWidth(words) + 18;
  }
  if (strides.some(({ spread }) => spread)) {
    parts.push(
      element('rect', { x, y: y - 10, width: 16, height: 12, fill: GROUND.muted, 'fill-opacity': 0.25 }) +
        textAt(x + 23, y, '± one standard deviation'),
    );
  }
  return group({}, ...parts);
}

/** An upright between the two lines where they are furthest apart. */
function markWorst(
  rows: readonly Row[],
  strides: readonly DrawnStride[],
  { foot, direction, phase, a, b }: ReactionComparison['worst'],
): string {
  const row = rows.find(({ part, component }) => part === foot && component === direction);
  if (!row || Math.abs(b - a) < 0.005) return '';
  const { panel } = row;
  const words = `furthest apart, ${readable(Math.abs(b - a))} BW`;
  const lines = strides.map(({ lined }) => closed(lined[foot][direction]));
  const x = xOf(panel, phase);
  const room = { left: x + 7, width: textWidth(words, TYPE.tick) };
  const before = room.left + room.width > panel.left + panel.width - 4;
  if (before) room.left = x - 7 - room.width;
  const y = freeHeight(panel, lines, room);
  const [top, bottom] = [yOf(panel, Math.max(a, b)), yOf(panel, Math.min(a, b))];
  return group(
    {},
    lineBetween(x, Math.min(top, y), x, Math.max(bottom, y), { stroke: GROUND.ink, 'stroke-width': 1 }),
    lineBetween(x, top, x, bottom, { stroke: GROUND.ink, 'stroke-width': 2.4 }),
    textAt(before ? x - 7 : x + 7, y + 4, words, {
      size: TYPE.tick,
      anchor: before ? 'end' : 'start',
      halo: GROUND.panel,
    }),
  );
}

/** The height in px in a panel at which words of a width stand clearest of its lines. */
function freeHeight(
  panel: Panel,
  lines: readonly (readonly Point[])[],
  { left, width }: { readonly left: number; readonly width: number },
): number {
  const near = lines.flatMap((points) =>
    points
      .filter(([x]) => xOf(panel, x) >= left - 4 && xOf(panel, x) <= left + width + 4)
      .map(([, y]) => yOf(panel, y)),
  );
  const from = panel.top + 10;
  const steps = Math.floor((panel.height - 20) / 4);
  const clear = (y: number): number => Math.min(...near.map((line) => Math.abs(line - y)), 400);
  return Array.from({ length: steps + 1 }, (_, i) => from + 4 * i).reduce((best, y) =>
    clear(y) > clear(best) ? y : best,
  );
}
