import type { MotionDocument } from '../document.js';
import { GROUND, STROKES } from '../palette.js';
import { requireDocument } from '../require-document.js';
import { describeMotion, rangeOf } from './describe.js';
import { textAt } from './elements.js';
import { acrossOf, acrossRange, type Component, drawFoot, forceRange, totalPoints } from './force-lines.js';
import { readable } from './format-number.js';
import { drawLegend } from './legend.js';
import { drawLine } from './line-mark.js';
import { textWidth } from './measure-text.js';
import { drawAcrossAxis, drawGround, drawHeading, drawUpAxis, type Panel, xOf } from './panel.js';
import { placeInRows } from './place-labels.js';
import { drawPoseMarks, POSE_ROOM } from './pose-marks.js';
import { drawSheet, HEADER, MARGIN } from './sheet.js';
import { niceRange, niceTicks, rangeAt, ticksEvery } from './ticks.js';

const WIDTH = 860;
const LEFT = MARGIN + 44;
const BODY = WIDTH - LEFT - MARGIN;

/**
 * Each foot's force and the total of both against the phase of the stride, as an SVG drawing: upwards,
 * fore-aft and sideways in BW, with the pose marks. Fore-aft and sideways share one scale.
 *
 * @param document - a motion document
 * @returns SVG text, free of scripts and outside references
 * @throws TypeError where it is no document
 *
 * @example
 * ```ts
 * import { planWalk } from 'underfoot';
 * import { chartForces, toDocument } from 'underfoot/exchange';
 *
 * const scene = { up: 'y', forward: '+z', metersPerUnit: 1, fps: 24, firstFrame: 1 } as const;
 * const document = toDocument(planWalk({ pace: 'ordinary' }), { name: 'Lamplighter', scene });
 * console.log(chartForces(document).startsWith('<svg')); // → true
 * ```
 */
export function chartForces(document: MotionDocument): string {
  requireDocument('chartForces', document);
  const across = acrossRange(document);
  const vertical = forceRange([document], ['vertical']);
  const shear = forceRange([document], ['forward', 'side']);
  const upRange = niceRange(0, vertical[1] * 1.06, 5);
  const shearTicks = niceTicks(shear[0], shear[1], 4);
  const perUnit = 120 / Math.max(0.05, shear[1] - shear[0]);
  const small = (component: Component, top: number): Panel => {
    const [from, to] = rangeAt(...padded(forceRange([document], [component])), shearTicks.step);
    return { left: LEFT, top, width: BODY, height: (to - from) * perUnit, across, up: [from, to] };
  };
  const main: Panel = {
    left: LEFT,
    top: HEADER + 26 + 24 + POSE_ROOM,
    width: BODY,
    height: 250,
    across,
    up: upRange,
  };
  const foreAft = small('forward', main.top + main.height + 44);
  const sideways = small('side', foreAft.top + foreAft.height + 44);
  const bottom = sideways.top + sideways.height;
  const marks = drawPoseMarks(
    [main, foreAft, sideways],
    document.chart.map(({ pose, foot, time }) => ({ pose, foot, at: acrossOf(document, time) })),
  );
  const shearAxis = (panel: Panel, title: string): string =>
    drawUpAxis(panel, {
      ticks: ticksEvery(panel.up[0], panel.up[1], shearTicks.step, shearTicks.decimals),
      title,
      strong: 0,
    });
  const [low, high] = rangeOf(document.forces.total.vertical);
  const panels: readonly (readonly [Panel, Component])[] = [
    [main, 'vertical'],
    [foreAft, 'forward'],
    [sideways, 'side'],
  ];
  return drawSheet(
    {
      width: WIDTH,
      height: bottom + 62,
      title: document.name,
      subtitle: describeMotion(document),
      description:
        `Force of the floor on each foot and on both, in body weights, over ${document.span.repeats ? 'one stride' : 'the shot'}. ` +
        `Both feet together carry between ${readable(low)} and ${readable(high)} body weights.`,
    },
    drawLegend(LEFT, HEADER + 18, [
      [STROKES.total, 'both feet'],
      [STROKES.right, 'right foot'],
      [STROKES.left, 'left foot'],
    ]),
    ...panels.map(([panel]) => drawGround(panel)),
    drawUpAxis(main, { ticks: niceTicks(upRange[0], upRange[1], 5), strong: 1 }),
    drawHeading(main, 'Upwards, BW   (1 = standing still)', POSE_ROOM + 4),
    shearAxis(
      foreAft,
      document.root.heading
        ? 'Forward, BW   (as the shot begins)'
        : 'Fore-aft, BW   (+ drives forwards, − brakes)',
    ),
    shearAxis(sideways, 'Sideways, BW   (+ to the left)'),
    marks.uprights,
    ...panels.map(([panel, component]) => drawLine(panel, totalPoints(document, component), STROKES.total)),
    ...panels.flatMap(([panel, component]) => [
      drawFoot(panel, document, 'right', component),
      drawFoot(panel, document, 'left', component),
    ]),
    ...footNames(document, main),
    marks.names,
    drawAcrossAxis(sideways, acrossAxis(document)),
  );
}

/** Ticks and title of the across-axis. */
export function acrossAxis(document: MotionDocument) {
  const range = acrossRange(document);
  return document.span.repeats
    ? { ticks: ticksEvery(0, 1, 0.1, 1), title: 'Phase of the stride (0 = contact)' }
    : { ticks: niceTicks(range[0], range[1], 8), title: 'Time, s' };
}

function padded([low, high]: readonly [number, number]): [number, number] {
  const room = 0.08 * Math.max(high - low, 0.02);
  return [low - room, high + room];
}

/** The feet's names under their own humps, where nothing else is drawn; a hump that is too narrow has none. */
function footNames(document: MotionDocument, panel: Panel): string[] {
  const [from, to] = acrossRange(document);
  const wanted = (['right', 'left'] as const)
    .flatMap((side) =>
      document.feet[side].contacts
        .map(({ land, lift }) => [acrossOf(document, land), acrossOf(document, lift)] as const)
        .filter(([land, lift]) => (land + lift) / 2 > from && (land + lift) / 2 < to)
        .filter(([land, lift]) => document.span.repeats || (land > from && lift < to))
        .map(([land, lift]) => ({
          side,
          x: xOf(panel, (land + lift) / 2),
          width: textWidth(`${side} foot`),
          room: xOf(panel, lift) - xOf(panel, land),
        })),
    )
    .filter(({ width, room }) => room > width + 8)
    .sort((a, b) => a.x - b.x);
  const places = placeInRows(wanted, panel.left, panel.left + panel.width);
  return wanted
    .filter((_, i) => places[i].row === 0)
    .map(({ side, x }) =>
      textAt(x, panel.top + panel.height * 0.66, `${side} foot`, {
        fill: STROKES[side].text,
        anchor: 'middle',
        weight: 600,
        halo: GROUND.panel,
      }),
    );
}
