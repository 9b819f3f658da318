import type { StanceCurves } from './adults.js';
import type { SpeedGroup } from './children.js';

const stances = new WeakMap<SpeedGroup, Pick<StanceCurves, 'vertical' | 'forward'>>();

/** A group's mean curves brought to even fractions of stance, by the cubic through four neighbours. */
export function stanceOf(group: SpeedGroup): Pick<StanceCurves, 'vertical' | 'forward'> {
  const known = stances.get(group);
  if (known) return known;
  const steps = 200;
  const between = (values: readonly number[]): number[] =>
    Array.from({ length: steps + 1 }, (_, i) =>
      cubicAt(values, ((i / steps) * group.stance) / group.phase[1]),
    );
  const made = { vertical: between(group.vertical), forward: between(group.forward) };
  stances.set(group, made);
  return made;
}

/** Catmull and Rom's cubic through even samples, at a place counted in them. */
function cubicAt(values: readonly number[], at: number): number {
  const i = Math.min(Math.floor(at), values.length - 2);
  const u = at - i;
  const value = (j: number): number => values[Math.max(0, Math.min(values.length - 1, j))];
  const [a, b, c, d] = [value(i - 1), value(i), value(i + 1), value(i + 2)];
  return b + (u / 2) * (c - a + u * (2 * a - 5 * b + 4 * c - d + u * (3 * (b - c) + d - a)));
}
