import { type ForceColumns, type ReactionTable, sampleReactions } from '../../gait/reactions.js';
import type { Sides, Walk } from '../../gait/walk.js';
import { refuseAny, requireArray, requireRecord, show } from '../../internal/check.js';
import { averageStride } from '../../weigh/average-stride.js';
import { type LinedUp, lineUp } from '../../weigh/line-up.js';
import type { PlateRecording } from '../../weigh/recording.js';

/** What can be drawn against another: one stride of forces, a recording's mean stride, or a walk's. */
export type StrideSource = ReactionTable | PlateRecording | Walk;

/** Columns of both feet and of their total. */
export type BothFeet = Sides<ForceColumns> & { readonly total: ForceColumns };

/** One stride of both feet from the right foot's landing, at even phases. */
export interface DrawnStride {
  readonly table: ReactionTable;
  readonly lined: LinedUp;
  /** Standard deviations in BW at the same phases, where there are several strides. */
  readonly spread?: BothFeet;
}

/** Even phases that are drawn. */
const SAMPLES = 400;

/** One stride of a source, ready to be drawn. */
export function strideOf(where: string, field: string, source: StrideSource): DrawnStride {
  const { kind } = requireRecord(where, field, source);
  if (kind === 'shot') {
    const rule = 'must be what repeats: a walk, a recording or one stride of forces';
    refuseAny(where, [{ field: `${field}.kind`, rule, got: show(kind), kind: 'range' }]);
  }
  const table = tableOf(source);
  requireArray(where, `${field}.time`, table.time, 16);
  const lined = lineUp(where, field, table, SAMPLES);
  const { spread } = table as { readonly spread?: BothFeet };
  if (!spread) return { table, lined };
  // Lined up by the forces themselves, which keep their place as the right foot.
  const beside = (left: ForceColumns, total: ForceColumns): LinedUp =>
    lineUp(where, `${field}.spread`, { ...table, left, total }, SAMPLES);
  const first = beside(spread.left, spread.total);
  const second = beside(spread.right, spread.total);
  return { table, lined, spread: { left: first.left, right: second.left, total: first.total } };
}

function tableOf(source: StrideSource): ReactionTable {
  if (!('kind' in source)) return source;
  return source.kind === 'recording' ? averageStride(source) : sampleReactions(source, { samples: SAMPLES });
}
