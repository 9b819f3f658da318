import type { Pose } from '../../gait/timing-chart.js';
import { GROUND, STROKES } from '../palette.js';
import { element, group, lineBetween, textAt } from './elements.js';
import { coordinate } from './format-number.js';
import { textWidth } from './measure-text.js';
import { type Panel, xOf } from './panel.js';
import { type PlacedLabel, placeInRows } from './place-labels.js';
import { TYPE } from './type-scale.js';

/** A pose to mark on a panel. */
export interface MarkedPose {
  readonly pose: Pose;
  readonly foot: 'left' | 'right';
  /** Where it falls on the panel's horizontal scale. */
  readonly at: number;
  /** Words after the pose's name, for example its frame. */
  readonly extra?: string;
}

/** Height of a row of pose names in px. */
const ROW = 15;

/** Room in px that the marks want above a panel. */
export const POSE_ROOM = 3 * ROW;

/** A sign for each pose: a foot set down, the lowest point, legs side by side, the highest point. */
export function signOf(pose: Pose, x: number, y: number, fill: string): string {
  const at = (dx: number, dy: number): string => `${coordinate(x + dx)} ${coordinate(y + dy)}`;
  switch (pose) {
    case 'contact':
      return element('rect', { x: x - 3.5, y: y - 3.5, width: 7, height: 7, fill });
    case 'down':
      return element('path', { d: `M${at(-4.5, -3)}L${at(4.5, -3)}L${at(0, 4.5)}Z`, fill });
    case 'passing':
      return element('circle', {
        cx: x,
        cy: y,
        r: 3.4,
        fill: GROUND.panel,
        stroke: fill,
        'stroke-width': 1.6,
      });
    case 'up':
      return element('path', { d: `M${at(-4.5, 3)}L${at(4.5, 3)}L${at(0, -4.5)}Z`, fill });
  }
}

/** Poses that fall on the same place, to be named together. */
interface Cluster {
  readonly x: number;
  readonly marks: readonly MarkedPose[];
  readonly name: string;
}

/** Least distance in px of two signs that stand side by side. */
const SIGN_ROOM = 11;

function clusterMarks(panel: Panel, marks: readonly MarkedPose[]): Cluster[] {
  const clusters: { x: number; marks: MarkedPose[] }[] = [];
  for (const mark of marks) {
    const x = xOf(panel, mark.at);
    const last = clusters[clusters.length - 1];
    if (last && x - last.x < SIGN_ROOM) last.marks.push(mark);
    else clusters.push({ x, marks: [mark] });
  }
  return clusters.map(({ x, marks: together }) => {
    const extras = new Set(together.map(({ extra }) => extra).filter((extra) => extra !== undefined));
    const names = together.map(({ pose }) => pose).join(' + ');
    return { x, marks: together, name: [names, [...extras].join(', ')].filter(Boolean).join(' ') };
  });
}

/** Rows of names that there is room for. */
const MOST_ROWS = POSE_ROOM / ROW;

/** Width in px of a panel's heading, which the highest row must leave free. */
const HEADING = 320;

/**
 * Places for the names of clusters, as many as there is room for: all of them, else those of contacts alone,
 * else the frames of contacts, else none.
 */
function placeNames(panel: Panel, clusters: readonly Cluster[]) {
  const contactOf = ({ marks }: Cluster): MarkedPose | undefined =>
    marks.find(({ pose }) => pose === 'contact');
  const tries: readonly ((cluster: Cluster) => string)[] = [
    ({ name }) => name,
    (cluster) => {
      const contact = contactOf(cluster);
      return contact ? ['contact', contact.extra].filter(Boolean).join(' ') : '';
    },
    (cluster) => contactOf(cluster)?.extra ?? '',
  ];
  for (const nameOf of tries) {
    const named = clusters.map(nameOf);
    const kept = clusters.flatMap((_, i) => (named[i] === '' ? [] : [i]));
    const wanted = kept.map((i) => ({ x: clusters[i].x, width: textWidth(named[i], TYPE.tick) }));
    const found = placeInRows(wanted, panel.left - 20, panel.left + panel.width + 20);
    const tight = found.some(
      ({ row, x }, k) =>
        row >= MOST_ROWS || (row === MOST_ROWS - 1 && x - wanted[k].width / 2 < panel.left + HEADING),
    );
    if (tight) continue;
    const places = new Array<PlacedLabel | undefined>(clusters.length);
    kept.forEach((i, k) => {
      places[i] = found[k];
    });
    return { places, named };
  }
  return { places: [], named: [] };
}

/**
 * The poses of a stride: a thin upright through every panel given, a sign on the first panel's upper edge
 * and the pose's name above it. The colour is that of the foot the step stands on; poses that fall on one
 * place share a name.
 */
export function drawPoseMarks(
  panels: readonly Panel[],
  marks: readonly MarkedPose[],
  words = true,
): { readonly uprights: string; readonly names: string } {
  const first = panels[0];
  const clusters = clusterMarks(first, marks);
  const { places, named } = placeNames(first, clusters);
  const uprights: string[] = [];
  const leaders: string[] = [];
  const signs: string[] = [];
  const names: string[] = [];
  clusters.forEach(({ marks: together, x: left }, i) => {
    const place = places[i];
    const y = first.top - 10 - (place?.row ?? 0) * ROW;
    if (words && place && place.row > 0) {
      leaders.push(lineBetween(left, first.top - 7, left, y + 3, { stroke: GROUND.rule, 'stroke-width': 1 }));
    }
    let free = left;
    for (const mark of together) {
      const x = xOf(first, mark.at);
      for (const panel of panels) uprights.push(drawUpright(panel, x, mark.pose === 'contact'));
      signs.push(signOf(mark.pose, Math.max(x, free), first.top, STROKES[mark.foot].line));
      free = Math.max(x, free) + SIGN_ROOM;
    }
    if (!words || !place) return;
    names.push(
      textAt(place.x, y, named[i], {
        size: TYPE.tick,
        fill: STROKES[together[0].foot].text,
        anchor: 'middle',
        halo: GROUND.paper,
      }),
    );
  });
  return { uprights: group({}, ...uprights), names: group({}, ...leaders, ...signs, ...names) };
}

function drawUpright(panel: Panel, x: number, strong: boolean): string {
  return lineBetween(x, panel.top, x, panel.top + panel.height, {
    stroke: strong ? GROUND.muted : GROUND.rule,
    'stroke-width': 1,
    'stroke-dasharray': strong ? undefined : '1.5 3',
  });
}

/** The signs with their names, ending at `right` px. */
export function drawPoseLegend(right: number, y: number): string {
  const poses: readonly Pose[] = ['contact', 'down', 'passing', 'up'];
  let at = right - poses.reduce((sum, pose) => sum + 14 + textWidth(pose) + 12, -12);
  const parts = poses.map((pose) => {
    const drawn = signOf(pose, at + 4, y - 4, GROUND.muted) + textAt(at + 14, y, pose);
    at += 14 + textWidth(pose) + 12;
    return drawn;
  });
  return group({}, ...parts);
}
