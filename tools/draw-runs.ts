/**
 * Draws the figure of `docs/method/runs.md`.
 *
 *     npx tsx tools/draw-runs.ts docs/method/figures
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { STROKES, type Stroke } from '../src/exchange/palette.js';
import { group } from '../src/exchange/svg/elements.js';
import { drawLegend } from '../src/exchange/svg/legend.js';
import { drawLine, type Point } from '../src/exchange/svg/line-mark.js';
import {
  drawAcrossAxis,
  drawGround,
  drawHeading,
  drawUpAxis,
  type Panel,
} from '../src/exchange/svg/panel.js';
import { drawSheet, HEADER, MARGIN } from '../src/exchange/svg/sheet.js';
import { niceTicks, ticksEvery } from '../src/exchange/svg/ticks.js';
import { planRun, planWalk } from '../src/gait/index.js';
import { readMotion } from '../src/gait/read-motion.js';
import { readRun } from '../src/gait/run/read-run.js';

const WIDTH = 860;
const LEFT = MARGIN + 44;
const BODY = WIDTH - LEFT - MARGIN;

const LINES: readonly { readonly speed: number; readonly name: string; readonly stroke: Stroke }[] = [
  { speed: 1.5, name: 'walk, 1.5 m/s', stroke: { ...STROKES.total, width: 2.4 } },
  { speed: 2.5, name: 'run, 2.5 m/s', stroke: STROKES.right },
  { speed: 4, name: '4 m/s', stroke: STROKES.left },
  { speed: 6, name: '6 m/s', stroke: STROKES.follower },
];

const PANELS = [
  { heading: 'Upwards, both feet, BW', up: [0, 3] as const, height: 250, ticks: 6, strong: 1 },
  { heading: 'Fore-aft, both feet, BW', up: [-0.5, 0.5] as const, height: 150, ticks: 4, strong: 0 },
  { heading: 'Height about its mean, cm', up: [-6, 6] as const, height: 150, ticks: 4, strong: 0 },
];

/** Load, fore-aft force and height about its mean in cm against time, from the right foot's contact. */
function traces(speed: number, until: number): readonly (readonly Point[])[] {
  const reader =
    speed < 2 ? readMotion(planWalk({ pace: { speed } })) : readRun(planRun({ pace: { speed } }));
  const [centre, forces] = [new Float64Array(9), new Float64Array(6)];
  const rows = Array.from({ length: 1201 }, (_, i) => {
    const t = (until * i) / 1200;
    reader.sampleCentre(t, centre);
    reader.sampleForces(t, forces);
    return [t, forces[0] + forces[3], forces[1] + forces[4], centre[0]] as const;
  });
  const oneStride = rows.filter(([t]) => t < Math.min(until, reader.duration));
  const mean = oneStride.reduce((sum, row) => sum + row[3], 0) / oneStride.length;
  return [1, 2, 3].map((k) => rows.map((row): Point => [row[0], k === 3 ? 100 * (row[3] - mean) : row[k]]));
}

function runsFigure(): string {
  const until = 0.8;
  let top = HEADER + 60;
  const panels = PANELS.map(({ up, height }): Panel => {
    const panel = { left: LEFT, top, width: BODY, height, across: [0, until] as const, up };
    top += height + 44;
    return panel;
  });
  const lines = LINES.map(({ speed }) => traces(speed, until));
  const last = panels[panels.length - 1];
  const ticks = ticksEvery(0, until, 0.1, 1);
  return drawSheet(
    {
      width: WIDTH,
      height: last.top + last.height + 62,
      title: 'A walk and three runs',
      subtitle: 'leg 0.90 m; from the right foot’s contact on; between its pulses a run has no load at all',
      description:
        'Vertical load, fore-aft force and height of a walk at 1.5 m/s and of runs at 2.5, 4 and 6 m/s against time.',
    },
    drawLegend(
      LEFT,
      panels[0].top - 32,
      LINES.map(({ stroke, name }) => [stroke, name] as const),
    ),
    ...panels.map((panel, k) =>
      group(
        {},
        drawGround(panel),
        drawUpAxis(panel, {
          ticks: niceTicks(panel.up[0], panel.up[1], PANELS[k].ticks),
          strong: PANELS[k].strong,
        }),
        drawHeading(panel, PANELS[k].heading, 8),
        drawAcrossAxis(panel, panel === last ? { ticks, title: 's' } : { ticks, words: false }),
        ...LINES.map(({ stroke }, i) => drawLine(panel, lines[i][k], stroke)),
      ),
    ),
  );
}

const [target] = process.argv.slice(2);
if (!target) throw new RangeError('draw-runs: needs a folder to write to');
writeFileSync(join(target, 'runs.svg'), runsFigure());
