import { refuseAny, requireArray } from '../../internal/check.js';
import type { MotionDocument } from '../document.js';
import { framesPerSecond } from '../frame-rate.js';
import { GROUND, STROKES } from '../palette.js';
import { requireDocument } from '../require-document.js';
import { curvePoints, type Drawn } from './curve-lines.js';
import { rangeOf } from './describe.js';
import { group, textAt } from './elements.js';
import { acrossOf, acrossRange, drawFoot, forceRange, totalPoints } from './force-lines.js';
import { readable } from './format-number.js';
import { drawLegend } from './legend.js';
import { drawLine, drawSwing, type Point } from './line-mark.js';
import { fitText } from './measure-text.js';
import { drawAcrossAxis, drawGround, drawUpAxis, type Panel, xOf, yOf } from './panel.js';
import { drawPoseLegend, drawPoseMarks } from './pose-marks.js';
import { drawSheet, HEADER, MARGIN } from './sheet.js';
import { niceRange, niceTicks, ticksEvery } from './ticks.js';
import { TYPE } from './type-scale.js';

const LEFT = MARGIN + 44;
const COLUMN = 300;
const GAP = 36;
const LOAD_HEIGHT = 260;
const BOB_HEIGHT = 130;
const SAMPLES = 240;

/** What the sheet is called. */
export interface PacesOptions {
  /** Headline. Default "Side by side, on the same scales". */
  readonly title?: string;
}

/**
 * Motions side by side on the same scales, as one SVG drawing: the load of both feet about body weight,
 * filled where it swings away from it, each foot's share, and the rise and fall of the root.
 *
 * @param documents - one to six motion documents, in the order to show them
 * @param options - the headline
 * @returns SVG text, free of scripts and outside references
 * @throws RangeError where there are none or more than six
 *
 * @example
 * ```ts
 * import { planWalk } from 'underfoot';
 * import { chartPaces, toDocument } from 'underfoot/exchange';
 *
 * const scene = { up: 'y', forward: '+z', metersPerUnit: 1, fps: 24, firstFrame: 1 } as const;
 * const document = toDocument(planWalk({ pace: 'ordinary' }), { name: 'Lamplighter', scene });
 * console.log(chartPaces([document]).startsWith('<svg')); // → true
 * ```
 */
export function chartPaces(documents: readonly MotionDocument[], options: PacesOptions = {}): string {
  requireArray('chartPaces', 'documents', documents);
  if (documents.length < 1 || documents.length > 6) {
    const rule = 'must have 1 to 6 entries';
    refuseAny('chartPaces', [{ field: 'documents', rule, got: String(documents.length), kind: 'range' }]);
  }
  documents.forEach((document, i) => {
    requireDocument('chartPaces', document, `documents[${i}]`);
  });
  const { title = 'Side by side, on the same scales' } = options;
  const width = LEFT + documents.length * (COLUMN + GAP) - GAP + MARGIN;
  const loads = niceRange(0, forceRange(documents, ['vertical'])[1] * 1.04, 5);
  const bobs = documents.map(bobPoints);
  const [low, high] = rangeOf(bobs.flatMap((points) => points.map(([, y]) => y)));
  const bobRange = niceRange(low * 1.15, high * 1.15, 4);
  const loadTop = HEADER + 118;
  const bobTop = loadTop + LOAD_HEIGHT + 76;
  const columns = documents.map((document, i) => {
    const left = LEFT + i * (COLUMN + GAP);
    const across = acrossRange(document);
    const load: Panel = { left, top: loadTop, width: COLUMN, height: LOAD_HEIGHT, across, up: loads };
    const bob: Panel = { left, top: bobTop, width: COLUMN, height: BOB_HEIGHT, across, up: bobRange };
    return group({}, drawColumn(document, load, i === 0), drawBob(document, bobs[i], bob, i === 0));
  });
  return drawSheet(
    {
      width,
      height: bobTop + BOB_HEIGHT + 56,
      title,
      subtitle:
        'Same scales throughout. Filled: how far the load of both feet swings above and below body weight.',
      description: documents.map((document) => `${document.name}: ${loadWords(document)}`).join('. '),
    },
    drawLegend(LEFT, HEADER + 16, [
      [STROKES.total, 'both feet'],
      [STROKES.right, 'right foot'],
      [STROKES.left, 'left foot'],
    ]),
    drawPoseLegend(width - MARGIN, HEADER + 16),
    ...columns,
  );
}

function loadWords({ forces }: MotionDocument): string {
  const [low, high] = rangeOf(forces.total.vertical);
  return `load ${readable(low)} to ${readable(high)} BW`;
}

function paceWords({ pace, scene, span }: MotionDocument): string {
  if (!pace) return `${readable(span.duration)} s`;
  const frames = pace.stepTime * framesPerSecond(scene.frameRate);
  const count = readable(frames, Math.abs(frames - Math.round(frames)) < 1e-6 ? 0 : 1);
  return `${readable(pace.speed)} m/s · step ${readable(pace.stepLength)} m · ${count} frames`;
}

function drawColumn(document: MotionDocument, panel: Panel, first: boolean): string {
  const points = totalPoints(document, 'vertical');
  const { left, top, width } = panel;
  const marks = drawPoseMarks(
    [panel],
    document.chart.map(({ pose, foot, time }) => ({ pose, foot, at: acrossOf(document, time) })),
    false,
  );
  return group(
    {},
    textAt(left, top - 64, fitText(document.name, width, TYPE.panel), { size: TYPE.panel, weight: 700 }),
    textAt(left, top - 47, fitText(paceWords(document), width, TYPE.body), { fill: GROUND.muted }),
    textAt(left, top - 24, first ? 'Load, BW' : '', { size: TYPE.panel, weight: 600 }),
    drawGround(panel),
    drawSwing(panel, points, 1, GROUND),
    drawUpAxis(panel, { ticks: niceTicks(...panel.up, 5), words: first, strong: 1 }),
    marks.uprights,
    drawLine(panel, points, STROKES.total),
    drawFoot(panel, document, 'right', 'vertical'),
    drawFoot(panel, document, 'left', 'vertical'),
    marks.names,
    drawExtremes(points, panel),
    drawAcrossAxis(panel, acrossTicks(document)),
  );
}

function acrossTicks(document: MotionDocument) {
  const range = acrossRange(document);
  return document.span.repeats
    ? { ticks: ticksEvery(0, 1, 0.25, 2), title: 'Phase of the stride' }
    : { ticks: niceTicks(...range, 4), title: 'Time, s' };
}

/** The lowest and the highest load, told at the points themselves. */
function drawExtremes(points: readonly Point[], panel: Panel): string {
  const high = points.reduce((best, point) => (point[1] > best[1] ? point : best));
  const low = points.reduce((best, point) => (point[1] < best[1] ? point : best));
  const style = { size: TYPE.body, weight: 700, halo: GROUND.panel, anchor: 'middle' } as const;
  const inside = (x: number): number => Math.max(panel.left + 26, Math.min(panel.left + panel.width - 26, x));
  const lowY = yOf(panel, low[1]);
  const below = lowY + 26 < panel.top + panel.height;
  return group(
    {},
    textAt(inside(xOf(panel, high[0])), yOf(panel, high[1]) - 10, readable(high[1]), style),
    textAt(inside(xOf(panel, low[0])), lowY + (below ? 22 : -12), readable(low[1]), style),
  );
}

/** Height of the root about its mean in cm. */
function bobPoints(document: MotionDocument): Point[] {
  const { start, duration } = document.span;
  const drawn: Drawn = { across: (time) => acrossOf(document, time), up: (value) => value * 100 };
  const points = curvePoints(document.root.height, start, start + duration, SAMPLES, drawn);
  const mean = points.slice(1).reduce((sum, [, y]) => sum + y, 0) / SAMPLES;
  return points.map(([x, y]): Point => [x, y - mean]);
}

function drawBob(document: MotionDocument, points: readonly Point[], panel: Panel, first: boolean): string {
  const [low, high] = rangeOf(points.map(([, y]) => y));
  const who = document.root.of === 'root' ? 'Root' : 'Centre of mass';
  return group(
    {},
    drawGround(panel),
    drawUpAxis(panel, {
      ticks: niceTicks(...panel.up, 4),
      words: first,
      title: first ? `${who} about its mean height, cm` : undefined,
      strong: 0,
    }),
    drawLine(panel, points, STROKES.root),
    textAt(panel.left + panel.width - 6, panel.top + 16, `${readable(high - low, 1)} cm`, {
      size: TYPE.body,
      weight: 700,
      fill: STROKES.root.text,
      anchor: 'end',
      halo: GROUND.panel,
    }),
    drawAcrossAxis(panel, { ...acrossTicks(document), title: undefined }),
  );
}
