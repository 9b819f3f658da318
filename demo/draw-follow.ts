import { GROUND, STROKES, type Stroke } from '../src/exchange/palette.js';
import { textAt } from '../src/exchange/svg/elements.js';
import { drawLine } from '../src/exchange/svg/line-mark.js';
import { drawAcrossAxis, drawGround, drawUpAxis, type Panel } from '../src/exchange/svg/panel.js';
import { drawSheet, HEADER, MARGIN } from '../src/exchange/svg/sheet.js';
import { niceRange, niceTicks, ticksEvery } from '../src/exchange/svg/ticks.js';
import { TYPE } from '../src/exchange/svg/type-scale.js';
import type { Followed, Swing } from './measure-follow.js';

const WIDTH = 900;
const LEFT = MARGIN + 48;
const GAP = 22;
const HEIGHT = 120;
const BETWEEN = 46;

interface Row {
  readonly title: string;
  readonly stroke: Stroke;
  readonly swing: (walk: Followed) => Swing;
  readonly words: (range: number) => string;
  /** What the values are drawn about; their middle where left out. */
  readonly about?: number;
}

const ROWS: readonly Row[] = [
  {
    title: 'Load of both feet, BW',
    stroke: STROKES.total,
    swing: ({ load }) => load,
    words: (range) => `${range.toFixed(2)} BW`,
    about: 1,
  },
  {
    title: 'Belly against the hips, cm',
    stroke: STROKES.follower,
    swing: ({ belly }) => belly,
    words: (range) => `${range.toFixed(1)} cm`,
    about: 0,
  },
  {
    title: 'Tip of the hair, fore and aft, cm',
    stroke: STROKES.root,
    swing: ({ hair }) => hair,
    words: (range) => `${range.toFixed(1)} cm`,
  },
];

const middle = ({ values }: Swing): number => (Math.max(...values) + Math.min(...values)) / 2;

/** Load, belly and hair of several walks over a stride, side by side on the same scales. */
export function drawFollow(walks: readonly Followed[], title: string): string {
  const width = (WIDTH - LEFT - MARGIN - GAP * (walks.length - 1)) / walks.length;
  const height = HEADER + 52 + ROWS.length * (HEIGHT + BETWEEN) + 24;
  const parts: string[] = [];
  ROWS.forEach((row, r) => {
    const lines = walks.map((walk) => {
      const swing = row.swing(walk);
      const by = row.about === undefined ? middle(swing) : 0;
      return swing.values.map((value) => value - by);
    });
    const low = Math.min(...lines.flat());
    const high = Math.max(...lines.flat());
    const up = niceRange(low, high, 4);
    walks.forEach((walk, w) => {
      const panel: Panel = {
        left: LEFT + w * (width + GAP),
        top: HEADER + 52 + r * (HEIGHT + BETWEEN),
        width,
        height: HEIGHT,
        across: [0, 100],
        up,
      };
      if (r === 0) {
        const words = `${walk.name}, ${walk.speed.toFixed(2)} m/s`;
        parts.push(textAt(panel.left, panel.top - 28, words, { size: TYPE.panel, weight: 600 }));
      }
      const bottom = r === ROWS.length - 1;
      parts.push(
        drawGround(panel),
        drawUpAxis(panel, {
          ticks: niceTicks(up[0], up[1], 4),
          words: w === 0,
          strong: row.about ?? 0,
          ...(w === 0 ? { title: row.title } : {}),
        }),
        drawAcrossAxis(panel, {
          ticks: ticksEvery(0, 100, 25),
          words: bottom,
          ...(bottom && w === 1 ? { title: 'per cent of the stride' } : {}),
        }),
        drawLine(
          panel,
          lines[w].map((value, i) => [(100 * i) / (lines[w].length - 1), value] as const),
          row.stroke,
        ),
        textAt(panel.left + width - 4, panel.top - 9, row.words(row.swing(walk).range), {
          size: TYPE.panel,
          weight: 600,
          fill: row.stroke.text,
          anchor: 'end',
        }),
      );
    });
  });
  return drawSheet(
    {
      width: WIDTH,
      height,
      title,
      subtitle: 'one stride each, the same scales across; numbers: highest less lowest',
      description: walks
        .map(
          ({ name, load, belly, hair }) =>
            `${name}: load ${load.range.toFixed(2)} BW, belly ${belly.range.toFixed(1)} cm, hair ${hair.range.toFixed(1)} cm.`,
        )
        .join(' '),
    },
    textAt(MARGIN, height - 12, 'Calculated; belly and hair are presets, not measurements.', {
      size: TYPE.tick,
      fill: GROUND.muted,
    }),
    ...parts,
  );
}
