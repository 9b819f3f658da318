import type { Side } from '../gait/walk.js';
import type { PlateNote } from './raw-plate.js';

/** One contact before its foot is known. */
export interface Landing {
  readonly plate: number;
  /** Time of landing in s. */
  readonly land: number;
  /** Mean sideways place in m, positive to the left; nothing where it was not recorded. */
  readonly place?: number;
  /** Mean sideways force in N, positive to the left. */
  readonly push: number;
}

const other = (foot: Side): Side => (foot === 'left' ? 'right' : 'left');

/**
 * The foot of each landing (sorted by time). Plates whose foot is stated keep it. Two plates that are each
 * stepped on again and again are one foot's each; otherwise the feet take turns. Which of the two is left
 * is told by where it stands, else by the floor pushing each foot towards the other.
 */
export function assignFeet(
  landings: readonly Landing[],
  stated: readonly (Side | undefined)[],
  notes: PlateNote[],
): Side[] {
  if (landings.every(({ plate }) => stated[plate])) return landings.map(({ plate }) => stated[plate]!);
  const group = groupsOf(landings);
  const first = landings.filter((_, i) => group[i] === 0);
  const second = landings.filter((_, i) => group[i] === 1);
  const firstFoot = footOfFirst(first, second, notes);
  return landings.map(({ plate }, i) => stated[plate] ?? (group[i] === 0 ? firstFoot : other(firstFoot)));
}

/** 0 or 1 for each landing: the same number, the same foot. */
function groupsOf(landings: readonly Landing[]): number[] {
  const plates = [...new Set(landings.map(({ plate }) => plate))];
  const repeated = plates.every((p) => landings.filter(({ plate }) => plate === p).length > 1);
  if (plates.length === 2 && repeated) return landings.map(({ plate }) => plates.indexOf(plate));
  const gaps = landings.slice(1).map(({ land }, i) => land - landings[i].land);
  const step = gaps.slice().sort((a, b) => a - b)[Math.floor((gaps.length - 1) / 2)] ?? 1;
  let turn = 0;
  return landings.map((_, i) => {
    // A gap of two step times hides a step that no plate caught.
    if (i > 0) turn += Math.max(1, Math.round(gaps[i - 1] / Math.max(step, 1e-6)));
    return turn % 2;
  });
}

function footOfFirst(first: readonly Landing[], second: readonly Landing[], notes: PlateNote[]): Side {
  const placed = [...first, ...second].every(({ place }) => place !== undefined);
  if (placed && first.length > 0 && second.length > 0) {
    return meanOf(first, ({ place }) => place!) >= meanOf(second, ({ place }) => place!) ? 'left' : 'right';
  }
  const difference =
    (first.length ? meanOf(first, ({ push }) => push) : 0) -
    (second.length ? meanOf(second, ({ push }) => push) : 0);
  if (difference !== 0) return difference < 0 ? 'left' : 'right';
  notes.push({
    code: 'feet-guessed',
    text: 'Nothing tells left from right; the first contact is taken for the right foot.',
    values: {},
  });
  return 'right';
}

function meanOf(landings: readonly Landing[], value: (landing: Landing) => number): number {
  return landings.reduce((sum, landing) => sum + value(landing), 0) / landings.length;
}
