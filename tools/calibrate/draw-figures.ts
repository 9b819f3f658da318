/**
 * Draws the figures of `docs/method/gait.md`.
 *
 *     npx tsx tools/calibrate/draw-figures.ts <data folder> <folder to write to>
 *
 * Of the data only the children's published table is used.
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { seriesValue } from '../../src/curves/series.js';
import { GROUND, STROKES, type Stroke } from '../../src/exchange/palette.js';
import { element, group, lineBetween, textAt } from '../../src/exchange/svg/elements.js';
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
import { planWalk, readMotion, sampleReactions } from '../../src/gait/index.js';
import { PEAKS, type PeakName, readChildren, type SpeedGroup } from './children.js';
import { findPeaks } from './peaks.js';
import { footOverStance, planAt } from './predict.js';

const WIDTH = 860;
const LEFT = MARGIN + 44;
const BODY = WIDTH - LEFT - MARGIN;

const LINES: Readonly<Record<PeakName, { stroke: Stroke; name: string }>> = {
  first: { stroke: STROKES.right, name: 'F1' },
  valley: { stroke: STROKES.follower, name: 'F2' },
  second: { stroke: STROKES.left, name: 'F3' },
  braking: { stroke: STROKES.right, name: 'braking' },
  propulsion: { stroke: STROKES.left, name: 'propulsion' },
};

/** Step length over leg length between the groups of the table, by straight lines. */
function stepAt(groups: readonly SpeedGroup[], speed: number): number {
  const i = Math.max(
    1,
    groups.findIndex((group) => group.speed >= speed),
  );
  const [a, b] = [groups[i - 1], groups[i]];
  return a.stepLength + ((speed - a.speed) / (b.speed - a.speed)) * (b.stepLength - a.stepLength);
}

function peaksFigure(groups: readonly SpeedGroup[]): string {
  const across = [0.12, 0.75] as const;
  const upper: Panel = { left: LEFT, top: HEADER + 50, width: BODY, height: 300, across, up: [0.2, 1.8] };
  const lower: Panel = { left: LEFT, top: HEADER + 420, width: BODY, height: 170, across, up: [0, 0.4] };
  const [from, to] = [groups[0].speed, groups[4].speed];
  const speeds = Array.from({ length: 60 }, (_, i) => Math.min(to, from + ((to - from) * i) / 59));
  const sizes = speeds.map((v) => findPeaks(footOverStance(planAt(v, stepAt(groups, v)), 400)).size);
  const draw = (panel: Panel, name: PeakName): string => {
    const { stroke } = LINES[name];
    // F1 and F3 lie close together at slow speeds, so that their bars stand side by side.
    const aside = name === 'first' ? -4 : name === 'second' ? 4 : 0;
    const bars = groups.map(({ speed, peaks }) => {
      const { mean, sd } = peaks[name];
      const x = xOf(panel, speed) + aside;
      return (
        lineBetween(x, yOf(panel, mean - sd), x, yOf(panel, mean + sd), {
          stroke: stroke.line,
          'stroke-width': 1.4,
        }) + element('circle', { cx: x, cy: yOf(panel, mean), r: 3.6, fill: stroke.line })
      );
    });
    return (
      drawLine(
        panel,
        speeds.map((v, i): Point => [v, sizes[i][name]]),
        stroke,
      ) + bars.join('')
    );
  };
  const legend = (y: number, names: readonly PeakName[]): string =>
    drawLegend(
      LEFT,
      y,
      names.map((name) => [LINES[name].stroke, LINES[name].name] as const),
    );
  const ticks = ticksEvery(0.2, 0.7, 0.1, 1);
  const names = (panel: Panel): readonly PeakName[] => (panel === upper ? PEAKS.slice(0, 3) : PEAKS.slice(3));
  return drawSheet(
    {
      width: WIDTH,
      height: lower.top + lower.height + 62,
      title: 'Peaks against speed',
      subtitle:
        'lines: the model; points and bars: mean and standard deviation of 82 children (Schwartz et al. 2008)',
      description:
        'First peak, valley and second peak of the vertical force, and braking and propulsion, in BW.',
    },
    ...[upper, lower].map((panel) =>
      group(
        {},
        drawGround(panel),
        drawUpAxis(panel, { ticks: niceTicks(panel.up[0], panel.up[1], panel === upper ? 8 : 4), strong: 1 }),
        drawHeading(panel, panel === upper ? 'Upwards, BW' : 'Fore-aft, BW', 26),
        legend(panel.top - 8, names(panel)),
        ...names(panel).map((name) => draw(panel, name)),
      ),
    ),
    drawAcrossAxis(upper, { ticks, words: false }),
    drawAcrossAxis(lower, { ticks, title: 'speed / √(gravity × leg length)' }),
  );
}

function loadFigure(): string {
  const walk = planWalk({ pace: 'ordinary' });
  const { left, right, total } = sampleReactions(walk, { samples: 400 });
  const phase = Array.from({ length: 401 }, (_, i) => (100 * i) / 400);
  const looped = (values: readonly number[]): Point[] => phase.map((x, i) => [x, values[i % 400]]);
  const { vertical } = walk.total;
  const first = { ...vertical, cos: vertical.cos.slice(0, 2), sin: vertical.sin.slice(0, 2) };
  const panel: Panel = {
    left: LEFT,
    top: HEADER + 50,
    width: BODY,
    height: 280,
    across: [0, 100],
    up: [0, 1.4],
  };
  const support = 100 * (walk.stance.right.fraction - 0.5);
  const shade = (from: number): string =>
    element('rect', {
      x: xOf(panel, from),
      y: panel.top,
      width: xOf(panel, support) - xOf(panel, 0),
      height: panel.height,
      fill: GROUND.below,
    });
  return drawSheet(
    {
      width: WIDTH,
      height: panel.top + panel.height + 62,
      title: 'A load, shared',
      subtitle: '1.28 m/s, leg 0.90 m; shaded: both feet down, and the load handed over',
      description: 'Total load of both feet, its first harmonic alone, and each foot’s vertical force in BW.',
    },
    drawLegend(LEFT, panel.top - 14, [
      [STROKES.total, 'both feet'],
      [STROKES.relative, 'first harmonic alone'],
      [STROKES.right, 'right foot'],
      [STROKES.left, 'left foot'],
    ]),
    drawGround(panel),
    shade(0),
    shade(50),
    drawUpAxis(panel, { ticks: niceTicks(0, 1.4, 7), strong: 1 }),
    drawHeading(panel, 'Upwards, BW', 36),
    drawAcrossAxis(panel, { ticks: ticksEvery(0, 100, 10), title: 'per cent of the stride' }),
    drawLine(panel, looped(total.vertical), STROKES.total),
    drawLine(
      panel,
      phase.map((x): Point => [x, seriesValue(first, (x / 100) * vertical.period)]),
      STROKES.relative,
    ),
    drawLine(panel, looped(right.vertical), STROKES.right),
    drawLine(panel, looped(left.vertical), STROKES.left),
  );
}

function pivotFigure(): string {
  const walk = planWalk({ pace: 'ordinary' });
  const { pivot, pace, stance } = walk;
  const reader = readMotion(walk);
  const forces = new Float64Array(6);
  const centre = new Float64Array(9);
  const width = 600;
  const body = width - LEFT - MARGIN;
  const height = 500;
  // The same scale both ways: 1.6 m tall.
  const scale = height / 1.6;
  const across = [-body / scale / 2, body / scale / 2] as const;
  const panel: Panel = { left: LEFT, top: HEADER + 50, width: body, height, across, up: [0, 1.6] };
  const count = 24;
  const rays = Array.from({ length: count + 1 }, (_, i) => {
    const u = (i + 0.001) / (count + 0.002);
    const t = u * stance.right.fraction * pace.strideTime;
    reader.sampleForces(t, forces);
    reader.sampleCentre(t, centre);
    const pressure = stance.right.forward + pivot.pressureTravel * u * u * (3 - 2 * u) - centre[3];
    const [x, y] = [xOf(panel, pressure), yOf(panel, 0)];
    // A body weight is drawn 0.9 m long, so that it ends near the hips.
    const tip = [xOf(panel, pressure + 0.9 * forces[4]), yOf(panel, 0.9 * forces[3])] as const;
    const { line } = forces[4] < 0 ? STROKES.right : STROKES.left;
    return lineBetween(x, y, tip[0], tip[1], { stroke: line, 'stroke-width': 1.8 });
  });
  const [px, py] = [xOf(panel, 0), yOf(panel, pivot.forwardHeight)];
  const cy = yOf(panel, walk.centre.height.mean);
  return drawSheet(
    {
      width,
      height: panel.top + height + 62,
      title: 'Where the forces aim',
      subtitle: 'one stance of the right foot at 1.28 m/s, carried along with the centre of mass',
      description:
        'Forces of the floor on the right foot from its centre of pressure; they aim at a point above the centre of mass.',
    },
    drawLegend(LEFT, panel.top - 14, [
      [{ ...STROKES.right, dash: undefined }, 'braking'],
      [{ ...STROKES.left, dash: undefined }, 'propelling'],
    ]),
    drawGround(panel),
    drawUpAxis(panel, { ticks: ticksEvery(0, 1.6, 0.2, 1) }),
    drawHeading(panel, 'm above the floor; 1 BW drawn 0.9 m long', 36),
    drawAcrossAxis(panel, { ticks: ticksEvery(-0.8, 0.8, 0.2, 1), title: 'm ahead of the centre of mass' }),
    ...rays,
    element('circle', { cx: px, cy, r: 5, fill: GROUND.ink }),
    lineBetween(px, cy, px + 74, cy, { stroke: GROUND.ink, 'stroke-width': 1 }),
    textAt(px + 80, cy + 4, 'centre of mass'),
    element('circle', { cx: px, cy: py, r: 5, fill: GROUND.panel, stroke: GROUND.ink, 'stroke-width': 2 }),
    textAt(px + 12, py + 4, 'pivot'),
  );
}

const [folder, target] = process.argv.slice(2);
if (!folder || !target) throw new RangeError('draw-figures: needs a data folder and a folder to write to');
const groups = readChildren(join(folder, 'children'));
writeFileSync(join(target, 'peaks.svg'), peaksFigure(groups));
writeFileSync(join(target, 'load.svg'), loadFigure());
writeFileSync(join(target, 'pivot.svg'), pivotFigure());
