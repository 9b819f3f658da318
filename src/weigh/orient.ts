import type { Loading } from './find-contacts.js';
import type { PlateOptions, SignedAxis } from './plate-options.js';
import type { PlateNote, RawPlate, Triple } from './raw-plate.js';

/** The room's axes that stand for the directions of travel, each a unit vector in the room. */
export interface Orientation {
  readonly up: Triple<number>;
  readonly forward: Triple<number>;
  /** To the left: up × forward. */
  readonly side: Triple<number>;
}

const NAMES = 'xyz';

/** Unit vector of a signed axis. */
export function axisVector(axis: SignedAxis): Triple<number> {
  const sign = axis[0] === '-' ? -1 : 1;
  return [0, 1, 2].map((i) => (NAMES[i] === axis[1] ? sign : 0)) as unknown as Triple<number>;
}

/** The axis that points up: as stated, else the one that carries the most force on average. */
export function findUp(plates: readonly RawPlate[], options: PlateOptions): Triple<number> {
  if (options.axes?.up) return axisVector(options.axes.up);
  const carried = [0, 1, 2].map((axis) =>
    plates.reduce((sum, { force }) => sum + Math.abs(force[axis].reduce((a, b) => a + b, 0)), 0),
  );
  // A stated forward axis cannot be up.
  const taken = options.axes?.forward ? NAMES.indexOf(options.axes.forward[1]) : -1;
  if (taken >= 0) carried[taken] = -1;
  return axisVector(`+${NAMES[carried.indexOf(Math.max(...carried))]}` as SignedAxis);
}

/**
 * The axis that points along the walk: as stated, else the level one on which the feet push back in the
 * first half of their contacts and forth in the second.
 */
export function findForward(
  plates: readonly RawPlate[],
  loadings: readonly (readonly Loading[])[],
  up: Triple<number>,
  options: PlateOptions,
  notes: PlateNote[],
): Orientation {
  const stated = options.axes?.forward;
  if (stated) return orient(up, axisVector(stated));
  const level = [0, 1, 2].filter((axis) => up[axis] === 0);
  const swing = level.map((axis) => pushAfterBraking(plates, loadings, axis));
  const best = Math.abs(swing[0]) >= Math.abs(swing[1]) ? 0 : 1;
  const forward = axisVector(`${swing[best] < 0 ? '-' : '+'}${NAMES[level[best]]}` as SignedAxis);
  const [strong, weak] = [Math.abs(swing[best]), Math.abs(swing[1 - best])];
  const sure = strong > 2 * weak && strong > 0;
  notes.push({
    code: sure ? 'axes-detected' : 'axes-uncertain',
    text: `The walk is taken to go along ${swing[best] < 0 ? '−' : '+'}${NAMES[level[best]]}: there the feet ${
      sure ? 'brake first and push later' : 'seem to brake first, but not clearly'
    }.`,
    values: { alongNewtons: strong, acrossNewtons: weak },
  });
  return orient(up, forward);
}

function orient(up: Triple<number>, forward: Triple<number>): Orientation {
  const side: Triple<number> = [
    up[1] * forward[2] - up[2] * forward[1],
    up[2] * forward[0] - up[0] * forward[2],
    up[0] * forward[1] - up[1] * forward[0],
  ];
  return { up, forward, side };
}

/** Mean force over the second halves of contacts less that over the first halves, in N. */
function pushAfterBraking(
  plates: readonly RawPlate[],
  loadings: readonly (readonly Loading[])[],
  axis: number,
): number {
  let [early, late, earlyCount, lateCount] = [0, 0, 0, 0];
  loadings.forEach((list, p) => {
    const column = plates[p].force[axis];
    for (const { from, to, cut } of list) {
      if (cut && list.length > 2) continue;
      const middle = (from + to) / 2;
      for (let i = Math.ceil(from); i <= to; i++) {
        if (i < middle) {
          early += column[i];
          earlyCount++;
        } else {
          late += column[i];
          lateCount++;
        }
      }
    }
  });
  return late / Math.max(1, lateCount) - early / Math.max(1, earlyCount);
}

/** The component of three columns along a unit vector on an axis. */
export function along(columns: Triple<Float64Array>, axis: Triple<number>): Float64Array {
  const at = axis.findIndex((x) => x !== 0);
  return axis[at] < 0 ? columns[at].map((x) => (x === 0 ? 0 : -x)) : columns[at].slice();
}
