import { createSampler } from '../curves/sampler.js';
import type { MotionDocument } from './document.js';
import { sceneAxes, unitName } from './scene-axes.js';

/** One column: its name with its unit, and its value at a row. */
interface Column {
  readonly name: string;
  readonly at: (row: number) => number;
}

/**
 * The document's motion as comma-separated values (RFC 4180), one row a frame over one span: frame, time,
 * phase, root, followers and each foot's force. Every column's name ends in its unit; lengths are in the
 * scene's unit and along its axes, forces in BW.
 *
 * @param document - a motion document
 * @returns the text, lines ended by CR LF; numbers are written so that reading them gives the same bits
 */
export function toCsv(document: MotionDocument): string {
  const { scene, span, forces } = document;
  const rows = Math.ceil(forces.time.length / forces.perFrame);
  const time = (row: number): number => forces.time[row * forces.perFrame];
  const columns: Column[] = [
    { name: 'frame', at: (row) => scene.firstFrame + row },
    { name: 'time [s]', at: time },
    ...(span.repeats
      ? [{ name: 'phase [1]', at: (row: number) => (time(row) - span.start) / span.duration }]
      : []),
    ...rootColumns(document, time),
    ...followerColumns(document, time),
    ...forceColumns(document),
  ];
  const lines = [columns.map(({ name }) => quote(name)).join(',')];
  for (let row = 0; row < rows; row++) lines.push(columns.map(({ at }) => String(at(row))).join(','));
  return `${lines.join('\r\n')}\r\n`;
}

function rootColumns({ root, scene }: MotionDocument, time: (row: number) => number): Column[] {
  const axes = sceneAxes(scene);
  const unit = unitName(scene.metersPerUnit);
  const who = root.of === 'root' ? 'root' : 'centre of mass';
  return (['height', 'forward', 'side'] as const).map((channel) => {
    const { letter, sign } = axes[channel];
    const sampler = createSampler(root[channel]);
    const out = new Float64Array(1);
    return {
      name: `${who} ${channel} ${letter} [${unit}]`,
      at: (row) => {
        sampler.sample(time(row), out);
        return (sign * out[0]) / scene.metersPerUnit + 0;
      },
    };
  });
}

function followerColumns({ followers, scene }: MotionDocument, time: (row: number) => number): Column[] {
  return followers.map(({ name, unit, channel, curve }) => {
    const { letter, sign } = sceneAxes(scene)[channel];
    const sampler = createSampler(curve);
    const out = new Float64Array(1);
    const scale = unit === 'm' ? 1 / scene.metersPerUnit : 1;
    return {
      name: `${name} ${channel} ${letter} [${unit === 'm' ? unitName(scene.metersPerUnit) : 'rad'}]`,
      at: (row) => {
        sampler.sample(time(row), out);
        return sign * scale * out[0] + 0;
      },
    };
  });
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
