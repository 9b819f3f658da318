/**
 * Draws the figures of `docs/method/secondary.md`.
 *
 *     npx tsx tools/secondary/draw-figures.ts <folder to write to>
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { drawFollow } from '../../demo/draw-follow.js';
import { measureFollow } from '../../demo/measure-follow.js';
import type { Series } from '../../src/curves/series.js';
import { GROUND, SERIES, STROKES } from '../../src/exchange/palette.js';
import { element, lineBetween, textAt } from '../../src/exchange/svg/elements.js';
import { drawLegend } from '../../src/exchange/svg/legend.js';
import { drawLine, type Point } from '../../src/exchange/svg/line-mark.js';
import {
  drawAcrossAxis,
  drawGround,
  drawHeading,
  drawUpAxis,
  type Panel,
  xOf,
  yOf,
} from '../../src/exchange/svg/panel.js';
import { drawSheet, HEADER, MARGIN } from '../../src/exchange/svg/sheet.js';
import { niceTicks, ticksEvery } from '../../src/exchange/svg/ticks.js';
import { planShot, shotPathAt } from '../../src/gait/index.js';
import { bellyOf, followBounce, followStrand, STRANDS, trackValue } from '../../src/secondary/index.js';

const WIDTH = 860;
const LEFT = MARGIN + 44;
const BODY = WIDTH - LEFT - MARGIN;
const G = 9.80665;

const bob = (hz: number, amplitude: number): Series => ({
  period: 1 / hz,
  mean: 0,
  drift: 0,
  cos: [amplitude],
  sin: [0],
});

/** Frames at 24 fps by which a part at 2.5 Hz lags its parent in the world, and how far it swings beside it. */
function lagFigure(): string {
  const zeta = 0.35;
  const rates = Array.from({ length: 116 }, (_, i) => 0.4 + i * 0.04);
  const answer = (hz: number, dampedBy: 'air' | 'parent') => {
    const part = { frequencyHz: 2.5, dampingRatio: zeta, dampedBy };
    const { cos, sin } = followBounce({ height: bob(hz, 1) }, part, { space: 'world' }).tracks
      .height as Series;
    return {
      frames: (24 * Math.atan2(sin[0], cos[0])) / (2 * Math.PI * hz),
      size: Math.hypot(cos[0], sin[0]),
    };
  };
  const across = [0, 5] as const;
  const upper: Panel = { left: LEFT, top: HEADER + 50, width: BODY, height: 190, across, up: [0, 3] };
  const lower: Panel = { left: LEFT, top: HEADER + 310, width: BODY, height: 170, across, up: [0, 2] };
  const kinds = [
    ['air', SERIES[1]],
    ['parent', SERIES[2]],
  ] as const;
  const line = (panel: Panel, of: 'frames' | 'size'): string =>
    kinds
      .map(([by, stroke]) =>
        drawLine(
          panel,
          rates.map((hz): Point => [hz, answer(hz, by)[of]]),
          stroke,
        ),
      )
      .join('');
  const marks = kinds.map(([by, stroke]) => {
    const { frames } = answer(2, by);
    const [x, y] = [xOf(upper, 2), yOf(upper, frames)];
    return (
      element('circle', { cx: x, cy: y, r: 4.5, fill: stroke.line }) +
      textAt(x - 10, y - 8, `${frames.toFixed(1)} frames at 2 Hz`, { fill: stroke.text, anchor: 'end' })
    );
  });
  const ticks = ticksEvery(0, 5, 1);
  return drawSheet(
    {
      width: WIDTH,
      height: lower.top + lower.height + 62,
      title: 'What the damper is tied to',
      subtitle:
        'a part of 2.5 Hz and damping ratio 0.35 behind a parent that bobs; world against world, 24 fps',
      description:
        'Lag in frames and size of the swing over the rate of the bob, damped by still air and by the parent.',
    },
    drawLegend(LEFT, upper.top - 12, [
      [SERIES[1], 'damped by still air'],
      [SERIES[2], 'damped by the parent'],
    ]),
    ...[upper, lower].map(drawGround),
    drawUpAxis(upper, { ticks: niceTicks(0, 3, 6) }),
    drawHeading(upper, 'Lag behind the parent, frames', 34),
    drawAcrossAxis(upper, { ticks, words: false }),
    drawUpAxis(lower, { ticks: niceTicks(0, 2, 4), strong: 1, title: 'Swing over the parent’s' }),
    drawAcrossAxis(lower, { ticks, title: 'bob, Hz' }),
    line(upper, 'frames'),
    line(lower, 'size'),
    ...marks,
  );
}

/** Where a plumb strand sways by itself: growth per bob over its rate and depth. */
function swayFigure(): string {
  const part = { length: 0.37, links: 1, dampingRatio: 0.02 };
  const own = Math.sqrt((3 * G) / (2 * part.length)) / (2 * Math.PI);
  const across = [1.6, 2.4] as const;
  const panel: Panel = { left: LEFT, top: HEADER + 50, width: BODY, height: 330, across, up: [0, 0.5] };
  const [columns, rows] = [80, 40];
  const cells: string[] = [];
  const [w, h] = [panel.width / columns, panel.height / rows];
  for (let i = 0; i < columns; i++) {
    for (let j = 0; j < rows; j++) {
      const ratio = across[0] + ((i + 0.5) * (across[1] - across[0])) / columns;
      const depth = (0.5 * (j + 0.5)) / rows;
      const hz = ratio * own;
      const height = bob(hz, (depth * G) / (2 * Math.PI * hz) ** 2);
      const growth = followStrand({ height }, part, { model: 'small' }).growth?.roll ?? 0;
      if (growth <= 1) continue;
      cells.push(
        element('rect', {
          x: panel.left + i * w,
          y: panel.top + panel.height - (j + 1) * h,
          width: w + 0.5,
          height: h + 0.5,
          fill: GROUND.above,
        }),
      );
    }
  }
  // To first order in the depth: half the band is √((depth/2)² − (2ζ)²)/2 of twice the own frequency.
  const edge = (sign: number): Point[] =>
    Array.from({ length: 60 }, (_, k) => 0.08 + (0.42 * k) / 59).map((depth): Point => {
      const half = Math.sqrt(Math.max(0, (depth / 2) ** 2 - (2 * part.dampingRatio) ** 2));
      return [2 * (1 + (sign * half) / 2), depth];
    });
  return drawSheet(
    {
      width: WIDTH,
      height: panel.top + panel.height + 62,
      title: 'Where a ponytail sways by itself',
      subtitle: 'one plumb rod, damping ratio 0.02, its root bobbing straight up and down',
      description:
        'Shaded: a small sway grows. Lines: the edges of the band by theory, to first order in the depth.',
    },
    drawLegend(LEFT, panel.top - 14, [
      [{ ...STROKES.left, width: 12, line: GROUND.above, dash: undefined }, 'a small sway grows'],
      [SERIES[2], 'edges by theory (Nayfeh & Mook 1979)'],
    ]),
    drawGround(panel),
    ...cells,
    drawUpAxis(panel, { ticks: niceTicks(0, 0.5, 5) }),
    drawHeading(panel, 'Swing of the felt weight over gravity', 36),
    drawAcrossAxis(panel, { ticks: ticksEvery(1.6, 2.4, 0.1, 1), title: 'bobs per own swing' }),
    drawLine(panel, edge(-1), SERIES[2]),
    drawLine(panel, edge(1), SERIES[2]),
  );
}

/** A start and a stop: the speed of the body, belly and hair. */
function stopFigure(): string {
  const shot = planShot({ still: { before: 0.6 }, stretches: [{ pace: 'brisk', steps: 5 }] });
  const settle = 1.4;
  const { height } = followBounce(shot, bellyOf(10).part, { settle }).tracks;
  const hair = STRANDS.ponytail.part;
  const { links, lengths, duration } = followStrand(shot, hair, { settle, space: 'world' });
  const tip = (t: number): number =>
    -100 * links.reduce((sum, { pitch }, i) => sum + lengths[i] * Math.sin(trackValue(pitch, t)), 0);
  const times = Array.from({ length: 600 }, (_, i) => (duration * i) / 599);
  const across = [0, duration] as const;
  const panel = (row: number, up: readonly [number, number]): Panel => ({
    left: LEFT,
    top: HEADER + 26 + row * 150,
    width: BODY,
    height: 110,
    across,
    up,
  });
  const speed = (t: number) => (t > shot.duration ? 0 : shotPathAt(shot, t).along.velocity);
  const rest = tip(0);
  const rows = [
    [panel(0, [0, 2]), speed, STROKES.total, 'Speed of the body, m/s', 0],
    [
      panel(1, [-2, 2]),
      (t: number) => 100 * trackValue(height, t),
      STROKES.follower,
      'Belly against the hips, cm',
      0,
    ],
    [
      panel(2, [-8, 8]),
      (t: number) => tip(t) - rest,
      STROKES.root,
      'Tip of the hair from its rest, forwards, cm',
      0,
    ],
  ] as const;
  const last = rows[2][0];
  const end = xOf(last, shot.duration);
  return drawSheet(
    {
      width: WIDTH,
      height: last.top + last.height + 62,
      title: 'A start, five brisk steps and a stop',
      subtitle: 'hung in the weight of the first moment, run through, and 1.4 s to settle after the end',
      description: 'Speed of the body, belly and hair over a shot; both settle after it.',
    },
    ...rows.map(([at]) => drawGround(at)),
    lineBetween(end, rows[0][0].top, end, last.top + last.height, {
      stroke: GROUND.rule,
      'stroke-width': 1.4,
    }),
    ...rows.flatMap(([at, valueAt, stroke, title, strong]) => [
      drawUpAxis(at, { ticks: niceTicks(at.up[0], at.up[1], 4), title, strong }),
      drawAcrossAxis(at, {
        ticks: ticksEvery(0, duration, 0.5, 1),
        words: at === last,
        ...(at === last ? { title: 's' } : {}),
      }),
      drawLine(
        at,
        times.map((t): Point => [t, valueAt(t)]),
        stroke,
      ),
    ]),
    textAt(end + 6, rows[0][0].top + 14, 'end of the shot', { fill: GROUND.muted }),
  );
}

const [target] = process.argv.slice(2);
if (!target) throw new RangeError('draw-figures: needs a folder to write to');
const parts = { belly: bellyOf(10).part, hair: STRANDS.ponytail.part };
const paces = (['slow', 'ordinary', 'brisk'] as const).map((pace) =>
  measureFollow(pace, { pace, body: { mass: 72, legLength: 0.9 } }, parts),
);
writeFileSync(join(target, 'follow.svg'), drawFollow(paces, 'What three paces do to belly and hair'));
writeFileSync(join(target, 'lag.svg'), lagFigure());
writeFileSync(join(target, 'sway.svg'), swayFigure());
writeFileSync(join(target, 'stop.svg'), stopFigure());
