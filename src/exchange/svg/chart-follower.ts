import { requireCurve } from '../../curves/check-curve.js';
import { createSampler } from '../../curves/sampler.js';
import { requireRecord } from '../../internal/check.js';
import type { DocumentFollower, MotionDocument } from '../document.js';
import { framesPerSecond } from '../frame-rate.js';
import { GROUND, STROKES } from '../palette.js';
import { requireDocument } from '../require-document.js';
import { curvePoints, type Drawn, drawKeys, handleValues, keysBetween } from './curve-lines.js';
import { rangeOf } from './describe.js';
import { lineBetween, textAt } from './elements.js';
import { readable } from './format-number.js';
import { frameAxis } from './frame-axis.js';
import { drawLegend } from './legend.js';
import { drawLine, type Point } from './line-mark.js';
import { fitText } from './measure-text.js';
import { drawAcrossAxis, drawGround, drawHeading, drawUpAxis, type Panel, xOf, yOf } from './panel.js';
import { drawPoseMarks, POSE_ROOM } from './pose-marks.js';
import { drawSheet, HEADER, MARGIN } from './sheet.js';
import { niceRange, niceTicks } from './ticks.js';
import { TYPE } from './type-scale.js';

const WIDTH = 860;
const LEFT = MARGIN + 44;
const BODY = WIDTH - LEFT - MARGIN;
const SAMPLES = 480;

/**
 * A follower against what it hangs from, as an SVG drawing: above, both paths in space about their means
 * on one scale, with the lag of the lowest points; below, the keyed displacement between them.
 *
 * @param document - a motion document
 * @param follower - one of the document's followers
 * @returns SVG text, free of scripts and outside references
 * @throws RangeError or TypeError naming field, rule and value
 */
export function chartFollower(document: MotionDocument, follower: DocumentFollower): string {
  const where = 'chartFollower';
  const { span } = requireDocument(where, document);
  requireRecord(where, 'follower', follower);
  requireCurve(where, follower.curve, 'follower.curve');
  const axis = frameAxis(document, 26);
  const [from, to] = [span.start, span.start + span.duration];
  const [scale, unit] = follower.unit === 'm' ? [100, 'cm'] : [180 / Math.PI, '°'];
  const drawn: Drawn = { across: axis.frameOf, up: (value) => value * scale };
  const carrier = carrierPoints(document, follower);
  const own = curvePoints(follower.curve, from, to, SAMPLES, drawn);
  const world = follower.unit === 'm' ? worldPoints(carrier, own, follower) : undefined;
  const paths = [centred(carrier), ...(world ? [centred(world)] : [])];
  const keys = keysBetween(follower.curve, from, to);
  const upper = panelFor(
    paths.flatMap((points) => points.map(([, y]) => y)),
    HEADER + 50 + POSE_ROOM,
    210,
    axis.range,
  );
  const lower = panelFor(
    [...own.map(([, y]) => y), ...handleValues(keys, drawn, [from, to])],
    upper.top + upper.height + 44,
    150,
    axis.range,
  );
  const marks = drawPoseMarks(
    [upper, lower],
    document.chart.map(({ pose, foot, time, frame }) => ({
      pose,
      foot,
      at: axis.frameOf(time),
      extra: String(frame),
    })),
  );
  const lag = world ? lagMark(upper, centred(carrier), centred(world), follower.name) : undefined;
  const carrierName = document.root.of === 'root' ? 'root' : 'centre of mass';
  return drawSheet(
    {
      width: WIDTH,
      height: lower.top + lower.height + 62,
      title: `${document.name}: ${follower.name}`,
      subtitle: summary(document, follower, lag?.frames),
      description: `Path of the ${follower.name} against the ${carrierName} it hangs from, and its keyed displacement.`,
    },
    drawLegend(LEFT, HEADER + 18, [
      [STROKES.root, `${carrierName}, about its mean`],
      ...(world ? [[STROKES.follower, fitText(`${follower.name}, about its mean`, BODY / 2)] as const] : []),
    ]),
    drawGround(upper),
    drawGround(lower),
    drawUpAxis(upper, { ticks: niceTicks(...upper.up, 5), strong: 0 }),
    drawHeading(upper, `${DIRECTION[follower.channel]}, cm`, POSE_ROOM + 4),
    drawUpAxis(lower, {
      ticks: niceTicks(...lower.up, 4),
      title: fitText(`${follower.name}, relative to the ${carrierName}, ${unit}`, BODY, TYPE.panel),
      strong: 0,
    }),
    marks.uprights,
    drawLine(upper, paths[0], STROKES.root),
    ...(world ? [drawLine(upper, paths[1], STROKES.follower)] : []),
    lag?.drawing ?? '',
    drawLine(lower, own, STROKES.relative),
    drawKeys(lower, keys, drawn, STROKES.relative, [from, to]),
    marks.names,
    drawAcrossAxis(lower, { ticks: axis.ticks, title: axis.title }),
  );
}

const DIRECTION = {
  height: 'Up and down',
  forward: 'Fore and aft, even travel removed',
  side: 'Side to side',
} as const;

function carrierPoints({ root, span, scene }: MotionDocument, { channel }: DocumentFollower): Point[] {
  const curve = root[channel];
  const sampler = createSampler(curve);
  const out = new Float64Array(1);
  const fps = framesPerSecond(scene.frameRate);
  return Array.from({ length: SAMPLES + 1 }, (_, i): Point => {
    const time = span.start + (span.duration * i) / SAMPLES;
    sampler.sample(time, out);
    const even = curve.period ? ((curve.gain ?? 0) * time) / curve.period : 0;
    return [scene.firstFrame + time * fps, (out[0] - even) * 100];
  });
}

function worldPoints(carrier: readonly Point[], own: readonly Point[], { space }: DocumentFollower): Point[] {
  return own.map(([x, y], i): Point => [x, space === 'world' ? y : y + carrier[i][1]]);
}

function centred(points: readonly Point[]): Point[] {
  const inner = points.slice(1);
  const mean = inner.reduce((sum, [, y]) => sum + y, 0) / inner.length;
  return points.map(([x, y]): Point => [x, y - mean]);
}

function panelFor(values: readonly number[], top: number, height: number, across: Panel['across']): Panel {
  const [low, high] = rangeOf(values);
  const room = Math.max(0.12 * (high - low), 0.02);
  return { left: LEFT, top, width: BODY, height, across, up: niceRange(low - room, high + room, 5) };
}

/** Marks a lowest point of the carrier and the follower's nearest one, with the frames between them. */
function lagMark(panel: Panel, carrier: readonly Point[], part: readonly Point[], name: string) {
  const begin = carrier[0][0];
  const length = carrier[carrier.length - 1][0] - begin;
  const low = lowestIn(carrier, begin + length / 4, begin + length * 0.75);
  const near = lowestIn(part, low[0] - length / 4, low[0] + length / 4);
  const frames = near[0] - low[0];
  const y = Math.min(panel.top + panel.height - 8, Math.max(yOf(panel, low[1]), yOf(panel, near[1])) + 16);
  const [x1, x2] = [xOf(panel, low[0]), xOf(panel, near[0])];
  const style = { stroke: GROUND.ink, 'stroke-width': 1 };
  const words = `${name} lowest ${lagWords(frames)}`;
  const drawing = [
    lineBetween(x1, yOf(panel, low[1]) + 3, x1, y + 4, style),
    lineBetween(x2, yOf(panel, near[1]) + 3, x2, y + 4, style),
    lineBetween(x1, y, x2, y, { ...style, 'stroke-width': 1.6 }),
    textAt(
      Math.max(x1, x2) + 7,
      y + 4,
      fitText(words, panel.left + panel.width - Math.max(x1, x2) - 12, TYPE.tick),
      {
        size: TYPE.tick,
        fill: GROUND.ink,
        halo: GROUND.panel,
      },
    ),
  ].join('');
  return { frames, drawing };
}

function lagWords(frames: number): string {
  return `${readable(Math.abs(frames), 1)} frames ${frames < 0 ? 'earlier' : 'later'}`;
}

function lowestIn(points: readonly Point[], from: number, to: number): Point {
  const inside = points.filter(([x]) => x >= from && x <= to);
  return inside.reduce((best, point) => (point[1] < best[1] ? point : best));
}

function summary(document: MotionDocument, follower: DocumentFollower, lag?: number): string {
  const [scale, unit] = follower.unit === 'm' ? [1000, 'mm'] : [180 / Math.PI, '°'];
  const parts = [`${follower.curve.keys.length} keys`];
  if (lag !== undefined)
    parts.push(`lowest ${lagWords(lag)} than the ${document.root.of === 'root' ? 'root' : 'centre of mass'}`);
  if (follower.error !== undefined)
    parts.push(`within ${readable(follower.error * scale, 2)} ${unit} of the exact answer`);
  return parts.join(' · ');
}
