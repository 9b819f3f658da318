import type { ForceColumns, ReactionTable } from '../gait/reactions.js';
import type { Sides } from '../gait/walk.js';
import { refuse } from './refuse.js';

/** Both feet's forces over one stride from the right foot's landing, at even phases. */
export interface LinedUp extends Sides<ForceColumns> {
  readonly total: ForceColumns;
  /** Stride time in s. */
  readonly strideTime: number;
  /** Phases at which the feet land and lift; a lift may lie beyond 1. */
  readonly events: Sides<{ readonly land: number; readonly lift: number }>;
}

/** Vertical force in BW at which a foot counts as landed and lifted: 20 N of an adult. */
export const CONTACT_LOAD = 0.03;

const PARTS = ['left', 'right', 'total'] as const;
const DIRECTIONS = ['vertical', 'forward', 'side'] as const;

/**
 * A table of one stride on `samples` even phases that begin at the right foot's landing, where its vertical
 * force rises through 0.03 BW; values between the table's own samples lie on straight lines.
 */
export function lineUp(where: string, field: string, table: ReactionTable, samples: number): LinedUp {
  const count = table.time.length;
  if (count < 16) refuse(where, `${field}.time`, 'must have at least 16 entries', `${count}`);
  const strideTime = (table.time[count - 1] - table.time[0]) * (count / (count - 1));
  if (!(strideTime > 0 && Number.isFinite(strideTime))) {
    refuse(where, `${field}.time`, 'must rise evenly over one stride', `${strideTime} s`);
  }
  for (const part of PARTS) {
    for (const direction of DIRECTIONS) {
      const column = table[part]?.[direction];
      if (column?.length !== count || !column.every(Number.isFinite)) {
        refuse(where, `${field}.${part}.${direction}`, `must be ${count} finite numbers`, column);
      }
    }
  }
  const start = landingOf(table.right.vertical);
  if (start === undefined) {
    refuse(
      where,
      `${field}.right.vertical`,
      `must rise through ${CONTACT_LOAD} BW once a stride`,
      'no landing',
    );
  }
  const resample = (column: readonly number[]): number[] =>
    Array.from({ length: samples }, (_, i) => cyclicValue(column, start + (i / samples) * count));
  const columns = (part: (typeof PARTS)[number]): ForceColumns => ({
    vertical: resample(table[part].vertical),
    forward: resample(table[part].forward),
    side: resample(table[part].side),
  });
  const spanOf = (column: readonly number[]): { land: number; lift: number } => {
    const land = landingOf(column) ?? start;
    const lift = liftingAfter(column, land);
    const phase = (((land - start) / count) % 1) + (land < start ? 1 : 0);
    return { land: phase, lift: phase + (lift - land) / count };
  };
  return {
    left: columns('left'),
    right: columns('right'),
    total: columns('total'),
    strideTime,
    events: { left: spanOf(table.left.vertical), right: spanOf(table.right.vertical) },
  };
}

/** Place at which the longest loaded stretch of a cyclic column begins, in samples. */
function landingOf(column: readonly number[]): number | undefined {
  const n = column.length;
  let best: { at: number; length: number } | undefined;
  for (let i = 0; i < n; i++) {
    const before = column[(i + n - 1) % n];
    if (!(before < CONTACT_LOAD && column[i] >= CONTACT_LOAD)) continue;
    const at = i - 1 + (CONTACT_LOAD - before) / (column[i] - before);
    const length = liftingAfter(column, at) - at;
    if (!best || length > best.length) best = { at: at < 0 ? at + n : at, length };
  }
  return best?.at;
}

function liftingAfter(column: readonly number[], land: number): number {
  const n = column.length;
  for (let i = Math.floor(land) + 2; i <= land + n; i++) {
    const [before, here] = [column[(i - 1) % n], column[i % n]];
    if (here < CONTACT_LOAD) return i - 1 + (before - CONTACT_LOAD) / Math.max(before - here, 1e-300);
  }
  return land + n;
}

function cyclicValue(column: readonly number[], at: number): number {
  const n = column.length;
  const i = Math.floor(at);
  const [a, b] = [column[((i % n) + n) % n], column[(((i + 1) % n) + n) % n]];
  return a + (b - a) * (at - i);
}
