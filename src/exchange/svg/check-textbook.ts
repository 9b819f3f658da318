import type { TextbookCurves } from '../../gait/textbook-curves.js';
import {
  isRecord,
  numberProblem,
  type Problem,
  recordProblem,
  refuseAny,
  requireArray,
  requireRecord,
  show,
} from '../../internal/check.js';

/** Most paces on one sheet: as many as there are strokes that stay apart. */
export const MOST_PACES = 6;

const COLUMNS = ['percent', 'vertical', 'forward', 'side'] as const;
const POINTS = ['firstPeak', 'valley', 'secondPeak', 'braking', 'propulsion'] as const;

/** Refuses what is not a set of textbook curves that can be drawn. */
export function checkTextbook(where: string, curves: TextbookCurves): void {
  requireRecord(where, 'curves', curves);
  const paces = requireArray(where, 'curves.paces', curves.paces, 1);
  refuseAny(where, [numberProblem('curves.paces.length', paces.length, { max: MOST_PACES })]);
  paces.forEach((pace, i) => {
    const field = `curves.paces[${i}]`;
    if (!isRecord(pace)) refuseAny(where, [recordProblem(field, pace)]);
    const { name, speed, stancePercent, stance, stride, points } = pace as Record<string, unknown>;
    refuseAny(where, [
      typeof name === 'string'
        ? undefined
        : { field: `${field}.name`, rule: 'must be a string', got: show(name), kind: 'type' },
      numberProblem(`${field}.speed`, speed),
      numberProblem(`${field}.stancePercent`, stancePercent, { above: 0, max: 100 }),
      ...columnProblems(`${field}.stance`, stance),
      ...columnProblems(`${field}.stride`, stride),
      ...pointProblems(`${field}.points`, points),
    ]);
  });
}

function columnProblems(field: string, value: unknown): (Problem | undefined)[] {
  if (!isRecord(value)) return [recordProblem(field, value)];
  const { percent } = value;
  const length = Array.isArray(percent) ? percent.length : 0;
  return COLUMNS.map((name) => {
    const column = value[name];
    const path = `${field}.${name}`;
    if (!Array.isArray(column)) {
      return { field: path, rule: 'must be an array', got: show(column), kind: 'type' };
    }
    if (column.length !== length || length < 2 || length > 100_000) {
      const rule = 'must be as long as percent, and of 2 to 100000 entries';
      return { field: path, rule, got: String(column.length), kind: 'range' };
    }
    const bad = column.findIndex((x) => !Number.isFinite(x));
    return bad < 0 ? undefined : numberProblem(`${path}[${bad}]`, column[bad]);
  });
}

function pointProblems(field: string, value: unknown): (Problem | undefined)[] {
  if (!isRecord(value)) return [recordProblem(field, value)];
  return POINTS.flatMap((name) => {
    const point = value[name];
    const path = `${field}.${name}`;
    if (!isRecord(point)) return [recordProblem(path, point)];
    return [
      numberProblem(`${path}.percent`, point.percent, { min: 0, max: 100 }),
      numberProblem(`${path}.value`, point.value),
    ];
  });
}
