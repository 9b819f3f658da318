import type { Curve } from '../curves/curve.js';
import { createSampler } from '../curves/sampler.js';
import type { Channels, Side } from '../gait/walk.js';
import type { MotionDocument } from './document.js';
import { requireDocument } from './require-document.js';
import { sceneAxes, unitName } from './scene-axes.js';

/** One column: its name with its unit, and its value at a row. */
interface Column {
  readonly name: string;
  readonly at: (row: number) => number;
}

/**
 * The document's motion as comma-separated values (RFC 4180), one row a frame over one span: frame, time,
 * phase, root, feet, turns of the body, followers and each foot's force. Every column's name ends in its unit; lengths are in the
 * scene's unit and along its axes, forces in BW.
 *
 * @param document - a motion document
 * @returns the text, lines ended by CR LF; numbers are written so that reading them gives the same bits
 * @throws TypeError where it is no document
 *
 * @example
 * ```ts
 * import { planWalk } from 'underfoot';
 * import { toCsv, toDocument } from 'underfoot/exchange';
 *
 * const scene = { up: 'y', forward: '+z', metersPerUnit: 1, fps: 24, firstFrame: 1 } as const;
 * const document = toDocument(planWalk({ pace: 'ordinary' }), { name: 'Lamplighter', scene });
 * console.log(toCsv(document).trim().split('\r\n').length); // → 27
 * ```
 */
export function toCsv(document: MotionDocument): string {
  const { scene, span, forces } = requireDocument('toCsv', document);
  const rows = Math.ceil(forces.time.length / forces.perFrame);
  const time = (row: number): number => forces.time[row * forces.perFrame];
  const columns: Column[] = [
    { name: 'frame', at: (row) => scene.firstFrame + row },
    { name: 'time [s]', at: time },
    ...(span.repeats
      ? [{ name: 'phase [1]', at: (row: number) => (time(row) - span.start) / span.duration }]
      : []),
    ...rootColumns(document, time),
    ...(['left', 'right'] as const).flatMap((side) => footColumns(document, side, time)),
    ...turnColumns(document, time),
    ...followerColumns(document, time),
    ...forceColumns(document),
  ];
  const lines = [columns.map(({ name }) => quote(name)).join(',')];
  for (let row = 0; row < rows; row++) lines.push(columns.map(({ at }) => String(at(row))).join(','));
  return `${lines.join('\r\n')}\r\n`;
}

/** A curve's column along the scene axis of a channel, or about it. */
function curveColumn(
  { scene }: MotionDocument,
  name: string,
  curve: Curve,
  channel: keyof Channels<unknown>,
  unit: 'm' | 'rad',
  time: (row: number) => number,
): Column {
  const { letter, sign } = sceneAxes(scene)[channel];
  const sampler = createSampler(curve);
  const out = new Float64Array(1);
  const size = unit === 'm' ? scene.metersPerUnit : 1;
  return {
    name: `${name} ${letter} [${unit === 'm' ? unitName(scene.metersPerUnit) : unit}]`,
    at: (row) => {
      sampler.sample(time(row), out);
      return (sign * out[0]) / size + 0;
    },
  };
}

const CHANNELS = ['height', 'forward', 'side'] as const;

function rootColumns(document: MotionDocument, time: (row: number) => number): Column[] {
  const { root } = document;
  const who = root.of === 'root' ? 'root' : 'centre of mass';
  return [
    ...CHANNELS.map((channel) =>
      curveColumn(document, `${who} ${channel}`, root[channel], channel, 'm', time),
    ),
    ...headingColumn(document, `${who} heading`, root.heading, time),
  ];
}

function footColumns(document: MotionDocument, side: Side, time: (row: number) => number): Column[] {
  const foot = document.feet[side];
  return [
    ...CHANNELS.map((channel) =>
      curveColumn(document, `${side} ball ${channel}`, foot[channel], channel, 'm', time),
    ),
    curveColumn(document, `${side} foot pitch`, foot.pitch, 'side', 'rad', time),
    curveColumn(document, `${side} toe bend`, foot.toeBend, 'side', 'rad', time),
    ...headingColumn(document, `${side} foot heading`, foot.heading, time),
  ];
}

function headingColumn(
  document: MotionDocument,
  name: string,
  curve: Curve | undefined,
  time: (row: number) => number,
): Column[] {
  return curve ? [curveColumn(document, name, curve, 'height', 'rad', time)] : [];
}

function turnColumns(document: MotionDocument, time: (row: number) => number): Column[] {
  const { turns } = document;
  if (!turns) return [];
  const angle = (name: string, curve: Curve, channel: keyof Channels<unknown>): Column =>
    curveColumn(document, name, curve, channel, 'rad', time);
  return [
    ...(['pelvis', 'chest', 'head'] as const).flatMap((part) => [
      angle(`${part} heading`, turns[part].heading, 'height'),
      angle(`${part} roll`, turns[part].roll, 'forward'),
      angle(`${part} pitch`, turns[part].pitch, 'side'),
    ]),
    ...(['left', 'right'] as const).flatMap((side) => [
      angle(`${side} arm pitch`, turns.arms[side].pitch, 'side'),
      angle(`${side} elbow`, turns.arms[side].elbow, 'side'),
    ]),
  ];
}

function followerColumns(document: MotionDocument, time: (row: number) => number): Column[] {
  return document.followers.map(({ name, unit, channel, curve }) =>
    curveColumn(document, `${name} ${channel}`, curve, channel, unit, time),
  );
}

function forceColumns({ forces, scene }: MotionDocument): Column[] {
  const axes = sceneAxes(scene);
  const named = { vertical: axes.height, forward: axes.forward, side: axes.side };
  return (['left', 'right', 'total'] as const).flatMap((part) =>
    (['vertical', 'forward', 'side'] as const).map((component): Column => {
      const { letter, sign } = named[component];
      const who = part === 'total' ? 'both feet' : `${part} foot`;
      const values = forces[part][component];
      return {
        name: `${who} ${component} ${letter} [BW]`,
        at: (row) => sign * values[row * forces.perFrame] + 0,
      };
    }),
  );
}

/** A field as RFC 4180 wants it, and one that no spreadsheet takes for a formula. */
function quote(name: string): string {
  const safe = /^[=+\-@\t\r]/.test(name) ? `'${name}` : name;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
