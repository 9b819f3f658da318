import type { Pose } from '../../gait/timing-chart.js';
import { requireArray } from '../../internal/check.js';
import type { MotionDocument } from '../document.js';
import { framesPerSecond } from '../frame-rate.js';
import { GROUND, STROKES } from '../palette.js';
import { requireDocument } from '../require-document.js';
import { describeMotion } from './describe.js';
import { element, group, lineBetween, textAt } from './elements.js';
import { fitText, textWidth } from './measure-text.js';
import { placeInRows } from './place-labels.js';
import { drawPoseLegend, signOf } from './pose-marks.js';
import { drawSheet, HEADER, MARGIN } from './sheet.js';
import { TYPE } from './type-scale.js';

const WIDTH = 860;
const LEFT = MARGIN;
const BODY = WIDTH - 2 * MARGIN;

/** Room in px for the feet's names at the end of the longest strip. */
const NAMES = 42;

/** Height of one motion's strip in px. */
const STRIP = 164;

/** Heights of the poses' marks over the strip's line in px: contacts stand tallest. */
const MARK: Readonly<Record<Pose, number>> = { contact: 34, down: 22, passing: 28, up: 22 };

/**
 * Timing charts as one SVG drawing: for each motion a line of frames, true to time, with contact, down,
 * passing and up on their frames and the spans for which each foot is on the floor.
 *
 * All strips share one scale of seconds, so that slow walks are long and quick ones short.
 *
 * @param documents - one to twelve motion documents
 * @returns SVG text, free of scripts and outside references
 * @throws RangeError or TypeError where there are none
 *
 * @example
 * ```ts
 * import { planWalk } from 'underfoot';
 * import { chartTiming, toDocument } from 'underfoot/exchange';
 *
 * const scene = { up: 'y', forward: '+z', metersPerUnit: 1, fps: 24, firstFrame: 1 } as const;
 * const document = toDocument(planWalk({ pace: 'ordinary' }), { name: 'Lamplighter', scene });
 * console.log(chartTiming([document]).startsWith('<svg')); // → true
 * ```
 */
export function chartTiming(documents: readonly MotionDocument[]): string {
  requireArray('chartTiming', 'documents', documents, 1).forEach((document, i) => {
    requireDocument('chartTiming', document, `documents[${i}]`);
  });
  const longest = Math.max(...documents.map(({ span }) => span.duration));
  const title = documents.length === 1 ? documents[0].name : 'Timing';
  return drawSheet(
    {
      width: WIDTH,
      height: HEADER + 34 + documents.length * STRIP + 10,
      title,
      subtitle: 'Frames from contact to contact, to one scale of time; bars: the foot is on the floor.',
      description: documents.map(tellMarks).join(' '),
    },
    drawPoseLegend(WIDTH - MARGIN, HEADER + 16),
    ...documents.map((document, i) =>
      drawStrip(document, HEADER + 40 + i * STRIP, (BODY - NAMES) / longest, documents.length > 1),
    ),
  );
}

function tellMarks({ name, chart }: MotionDocument): string {
  const told = chart.map(({ pose, foot, frame }) => `${foot} ${pose} ${frame}`).join(', ');
  return `${name}: ${told}.`;
}

function drawStrip(document: MotionDocument, top: number, scale: number, named: boolean): string {
  const { scene, span, chart } = document;
  const rate = framesPerSecond(scene.frameRate);
  const x = (time: number): number => LEFT + (time - span.start) * scale;
  const base = top + 74;
  const frames = Math.floor(span.duration * rate + 1e-6);
  const room = scale / rate >= FRAME_ROOM;
  const facts = describeMotion(document);
  const head = named
    ? [
        textAt(LEFT, top, fitText(document.name, BODY, TYPE.panel), { size: TYPE.panel, weight: 700 }),
        textAt(LEFT, top + 17, fitText(facts, BODY), { fill: GROUND.muted }),
      ]
    : [textAt(LEFT, top, fitText(facts, BODY), { fill: GROUND.muted })];
  const line = lineBetween(x(span.start), base, x(span.start + span.duration), base, {
    stroke: GROUND.ink,
    'stroke-width': 1.6,
  });
  const ticks = Array.from({ length: frames + 1 }, (_, i) => {
    const at = x(span.start + i / rate);
    return lineBetween(at, base, at, base + 5, { stroke: GROUND.muted, 'stroke-width': 1.1 });
  });
  const marked = new Set([scene.firstFrame, ...chart.map(({ frame }) => frame)]);
  const all = Array.from({ length: frames + 1 }, (_, i) => scene.firstFrame + i);
  const shown = all.filter((frame) => room || marked.has(frame));
  const wanted = shown.map((frame) => ({
    x: x(span.start + (frame - scene.firstFrame) / rate),
    width: textWidth(String(frame), TYPE.tick),
  }));
  const places = placeInRows(wanted, 0, WIDTH, 2);
  const numbers = shown.map((frame, i) =>
    frameNumber(places[i].x, base + 18 + 13 * places[i].row, frame, marked.has(frame)),
  );
  return group(
    {},
    ...head,
    line,
    ...ticks,
    ...numbers,
    drawMarks(document, x, base),
    drawStances(document, x, base + 38),
  );
}

/** Room in px that every frame's number wants for itself. */
const FRAME_ROOM = 18;

/** Poses' frames are set strong. */
function frameNumber(x: number, y: number, frame: number, strong: boolean): string {
  return textAt(x, y, String(frame), {
    size: TYPE.tick,
    fill: strong ? GROUND.ink : GROUND.muted,
    weight: strong ? 700 : undefined,
    anchor: 'middle',
  });
}

function drawMarks(
  { chart, span, scene }: MotionDocument,
  x: (time: number) => number,
  base: number,
): string {
  const rate = framesPerSecond(scene.frameRate);
  return group(
    {},
    ...chart.map(({ pose, foot, frame }) => {
      const at = x(span.start + (frame - scene.firstFrame) / rate);
      const { line } = STROKES[foot];
      const top = base - MARK[pose];
      return (
        lineBetween(at, base, at, top + 5, { stroke: line, 'stroke-width': 1.6 }) +
        signOf(pose, at, top, line)
      );
    }),
  );
}

/** For each foot a bar while it stands, once round the cycle: the right one's full, the left one's hollow. */
function drawStances(document: MotionDocument, x: (time: number) => number, top: number): string {
  const { feet, span } = document;
  const end = span.start + span.duration;
  const bars: string[] = [];
  (['right', 'left'] as const).forEach((side, row) => {
    const y = top + row * 13;
    const { line, text } = STROKES[side];
    const look =
      side === 'right' ? { fill: line } : { fill: GROUND.paper, stroke: line, 'stroke-width': 1.6 };
    for (const { land, lift } of feet[side].contacts) {
      const pieces: [number, number][] =
        span.repeats && lift > end
          ? [
              [land, end],
              [span.start, lift - span.duration],
            ]
          : [[Math.max(land, span.start), Math.min(lift, end)]];
      for (const [from, to] of pieces) {
        if (to > from)
          bars.push(element('rect', { x: x(from), y, width: x(to) - x(from), height: 8, ...look }));
      }
    }
    bars.push(textAt(x(end) + 8, y + 8, side, { size: TYPE.tick, fill: text }));
  });
  return group({}, ...bars);
}
