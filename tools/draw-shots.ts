/**
 * Draws the figures of `docs/method/shots.md`.
 *
 *     npx tsx tools/draw-shots.ts docs/method/figures
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { STROKES } from '../src/exchange/palette.js';
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
import { planShot, readMotion, type Shot } from '../src/gait/index.js';

const WIDTH = 860;
const LEFT = MARGIN + 44;
const BODY = WIDTH - LEFT - MARGIN;

/** Columns of a shot against time: left and right load, total fore-aft, speed, and the centre's place. */
function rowsOf(shot: Shot): { readonly [name: string]: readonly Point[] } {
  const reader = readMotion(shot);
  const [centre, forces] = [new Float64Array(9), new Float64Array(6)];
  const count = 1600;
  const rows = Array.from({ length: count + 1 }, (_, i) => {
    const t = (shot.duration * i) / count;
    reader.sampleCentre(t, centre);
    reader.sampleForces(t, forces);
    return { t, f: [...forces], c: [...centre] };
  });
  const line = (of: (row: (typeof rows)[number]) => number): Point[] => rows.map((row) => [row.t, of(row)]);
  return {
    left: line(({ f }) => f[0]),
    right: line(({ f }) => f[3]),
    along: line(({ f }) => f[1] + f[4]),
    side: line(({ f }) => f[2] + f[5]),
    speed: line(({ c }) => c[4]),
    height: line(({ c }) => c[0]),
    plan: rows.map(({ c }): Point => [c[3], c[6]]),
  };
}

/** A shot from standing to standing: each foot's load, the fore-aft force and the speed. */
function startAndStop(): string {
  const shot = planShot({ stretches: [{ pace: 'ordinary', steps: 9 }], still: { before: 0.3, after: 0.3 } });
  const rows = rowsOf(shot);
  const across = [0, shot.duration] as const;
  const parts = [
    { heading: 'Load of each foot, BW', up: [0, 1.3] as const, height: 190, names: ['left', 'right'] },
    { heading: 'Fore-aft, both feet, BW', up: [-0.4, 0.4] as const, height: 130, names: ['along'] },
    { heading: 'Speed of the centre of mass, m/s', up: [0, 1.6] as const, height: 130, names: ['speed'] },
  ];
  let top = HEADER + 60;
  const panels = parts.map(({ up, height }): Panel => {
    const panel = { left: LEFT, top, width: BODY, height, across, up };
    top += height + 44;
    return panel;
  });
  const last = panels[panels.length - 1];
  const ticks = ticksEvery(0, shot.duration, 1, 0);
  const strokes = { left: STROKES.left, right: STROKES.right, along: STROKES.total, speed: STROKES.total };
  return drawSheet(
    {
      width: WIDTH,
      height: last.top + last.height + 62,
      title: 'From standing to standing in nine steps',
      subtitle:
        'ordinary pace, leg 0.90 m; the right foot is loaded before it leaves, and so the body goes left',
      description: 'Load of each foot, fore-aft force and speed of a shot of nine steps against time.',
    },
    drawLegend(LEFT, panels[0].top - 32, [
      [STROKES.left, 'left foot'],
      [STROKES.right, 'right foot'],
      [STROKES.total, 'both'],
    ]),
    ...panels.map((panel, k) =>
      group(
        {},
        drawGround(panel),
        drawUpAxis(panel, { ticks: niceTicks(panel.up[0], panel.up[1], 4), strong: 0 }),
        drawHeading(panel, parts[k].heading, 8),
        drawAcrossAxis(panel, panel === last ? { ticks, title: 's' } : { ticks, words: false }),
        ...parts[k].names.map((name) => drawLine(panel, rows[name], strokes[name as keyof typeof strokes])),
      ),
    ),
  );
}

/** A turn seen from above: the centre of mass, and a stroke along each foot. */
function turnFromAbove(): string {
  const shot = planShot({
    from: 'walking',
    to: 'walking',
    stretches: [{ steps: 4 }, { steps: 7, turn: { by: Math.PI / 2 } }, { steps: 3 }],
  });
  const { plan } = rowsOf(shot);
  const panel: Panel = {
    left: LEFT,
    top: HEADER + 60,
    width: BODY,
    height: (BODY * 6) / 7.5,
    across: [-1, 6.5],
    up: [-0.5, 5.5],
  };
  const sole = 0.26;
  const feet = shot.steps.map(({ foot, plant: { forward, side, heading } }) => {
    const toe: Point = [forward + sole * Math.cos(heading), side + sole * Math.sin(heading)];
    return drawLine(panel, [[forward, side], toe], {
      line: STROKES[foot].line,
      text: STROKES[foot].text,
      width: 5,
    });
  });
  return drawSheet(
    {
      width: WIDTH,
      height: panel.top + panel.height + 62,
      title: 'A quarter turn, from above',
      subtitle:
        'ordinary pace, slower in the turn; the feet go outside the path of the body, which leans in over them',
      description: 'Path of the centre of mass and every foot of a shot that turns left by a quarter turn.',
    },
    drawLegend(LEFT, panel.top - 32, [
      [STROKES.left, 'left foot'],
      [STROKES.right, 'right foot'],
      [STROKES.total, 'centre of mass'],
    ]),
    drawGround(panel),
    drawUpAxis(panel, { ticks: niceTicks(-0.5, 5.5, 6), strong: 0 }),
    drawHeading(panel, 'To the left, m', 8),
    drawAcrossAxis(panel, { ticks: ticksEvery(-1, 6.5, 1, 0), title: 'forward, m' }),
    drawLine(panel, plan, STROKES.total),
    ...feet,
  );
}

const [target] = process.argv.slice(2);
if (!target) throw new RangeError('draw-shots: needs a folder to write to');
writeFileSync(join(target, 'shot-start-stop.svg'), startAndStop());
writeFileSync(join(target, 'shot-turn.svg'), turnFromAbove());
