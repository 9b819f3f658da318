import type { Curve } from '../../curves/curve.js';
import type { MotionDocument } from '../document.js';
import { STROKES } from '../palette.js';
import { requireDocument } from '../require-document.js';
import { curvePoints, type Drawn, drawKeys, handleValues, keysBetween } from './curve-lines.js';
import { rangeOf } from './describe.js';
import { readable } from './format-number.js';
import { type FrameAxis, frameAxis } from './frame-axis.js';
import { drawLine } from './line-mark.js';
import { drawAcrossAxis, drawGround, drawHeading, drawUpAxis, type Panel } from './panel.js';
import { drawPoseMarks, POSE_ROOM } from './pose-marks.js';
import { drawSheet, HEADER, MARGIN } from './sheet.js';
import { drawSpacing, STRIP_HEIGHT } from './spacing-strip.js';
import { niceRange, niceTicks } from './ticks.js';

const WIDTH = 860;
const LEFT = MARGIN + 44;
const BODY = WIDTH - LEFT - MARGIN;

/** Words for what a path is of. */
const TRACKED = { root: 'root', centreOfMass: 'centre of mass' } as const;

/**
 * The keyed root as an SVG drawing: height and the lead over even travel, with keys and tangents against
 * frames, and the spacing of the stride to scale.
 *
 * @param document - a motion document
 * @returns SVG text, free of scripts and outside references
 * @throws TypeError where it is no document
 *
 * @example
 * ```ts
 * import { planWalk } from 'underfoot';
 * import { chartRoot, toDocument } from 'underfoot/exchange';
 *
 * const scene = { up: 'y', forward: '+z', metersPerUnit: 1, fps: 24, firstFrame: 1 } as const;
 * const document = toDocument(planWalk({ pace: 'ordinary' }), { name: 'Lamplighter', scene });
 * console.log(chartRoot(document).startsWith('<svg')); // → true
 * ```
 */
export function chartRoot(document: MotionDocument): string {
  const { root, span } = requireDocument('chartRoot', document);
  const axis = frameAxis(document, 26);
  const who = TRACKED[root.of];
  const height = trackPanel(document, axis, root.height, HEADER + 24 + POSE_ROOM, 200, {
    across: axis.frameOf,
    up: (value) => value * 100,
  });
  const speed = (root.forward.gain ?? 0) / span.duration;
  const start = root.forward.keys[0];
  const even = span.repeats ? start.value - speed * start.time : 0;
  const lead = trackPanel(document, axis, root.forward, height.bottom + 44, 150, {
    across: axis.frameOf,
    up: (value, time) => (value - even - speed * time) * 100,
  });
  const marks = drawPoseMarks(
    [height.panel, lead.panel],
    document.chart.map(({ pose, foot, time, frame }) => ({
      pose,
      foot,
      at: axis.frameOf(time),
      extra: String(frame),
    })),
  );
  const stripTop = lead.bottom + 76;
  return drawSheet(
    {
      width: WIDTH,
      height: stripTop + STRIP_HEIGHT + 8,
      title: document.name,
      subtitle: summary(document),
      description: `Keyed height of the ${who} and its way forward, with keys and tangents, against frames.`,
    },
    drawGround(height.panel),
    drawGround(lead.panel),
    drawUpAxis(height.panel, { ticks: niceTicks(...height.panel.up, 5) }),
    drawHeading(height.panel, `Height of the ${who}, cm above the floor`, POSE_ROOM + 4),
    drawUpAxis(lead.panel, {
      ticks: niceTicks(...lead.panel.up, 4),
      title: span.repeats ? `Lead over even travel at ${readable(speed, 3)} m/s, cm` : 'Way forward, cm',
      strong: 0,
    }),
    marks.uprights,
    height.drawing,
    lead.drawing,
    marks.names,
    drawAcrossAxis(lead.panel, { ticks: axis.ticks, title: axis.title }),
    drawSpacing(document, { left: LEFT, top: stripTop, width: BODY }),
  );
}

function trackPanel(
  { span }: MotionDocument,
  axis: FrameAxis,
  curve: Curve,
  top: number,
  height: number,
  drawn: Drawn,
) {
  const [from, to] = [span.start, span.start + span.duration];
  const points = curvePoints(curve, from, to, 400, drawn);
  const keys = keysBetween(curve, from, to);
  const [low, high] = rangeOf([...points.map(([, y]) => y), ...handleValues(keys, drawn, [from, to])]);
  const room = Math.max(0.08 * (high - low), 0.05);
  const panel: Panel = {
    left: LEFT,
    top,
    width: BODY,
    height,
    across: axis.range,
    up: niceRange(low - room, high + room, 5),
  };
  const drawing =
    drawLine(panel, points, STROKES.root) + drawKeys(panel, keys, drawn, STROKES.root, [from, to]);
  return { panel, drawing, bottom: top + height };
}

function summary({ root, span }: MotionDocument): string {
  const { height, forward } = root;
  const parts = [
    `${height.keys.length} keys for the height, ${forward.keys.length} for the way, over ${readable(span.duration, 2)} s`,
  ];
  const error = root.error?.height;
  if (error) {
    const [far, load] = [readable(error.value.max * 1000, 2), readable(error.load.rms, 3)];
    parts.push(`height within ${far} mm and ${load} BW rms of the exact path`);
  }
  return parts.join(' · ');
}
