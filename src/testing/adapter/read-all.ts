import type { RigCurve, RigMode } from '../../exchange/rig/rig-adapter.js';
import type { Probe } from './probe.js';

/** What the adapter says is on each channel and on the layer over it. */
export type RigContents = ReadonlyMap<string, RigCurve | undefined>;

/** A copy of everything that the adapter says is on the rig. */
export function readAll({ trial: { adapter } }: Probe): RigContents {
  const modes: readonly RigMode[] = adapter.facts.layers ? ['replace', 'add'] : ['replace'];
  return new Map(
    adapter
      .channels()
      .flatMap(({ name }) =>
        modes.map((mode) => [`${name} ${mode}`, structuredClone(adapter.readKeys(name, mode))] as const),
      ),
  );
}

/** How far numbers may move, as a fraction: a host may keep handles as points, and reads them back rounded. */
const ROUNDING = 1e-9;

const near = (a: number, b: number): boolean => Math.abs(a - b) <= ROUNDING * Math.max(1, Math.abs(b));

/** Whether two curves have the same keys, but for rounding. */
export function sameCurve(a: RigCurve | undefined, b: RigCurve | undefined): boolean {
  if (!a || !b) return !a && !b;
  if (a.before !== b.before || a.after !== b.after || a.keys.length !== b.keys.length) return false;
  return a.keys.every((key, i) => {
    const other = b.keys[i];
    const sides = near(key.in.frames, other.in.frames) && near(key.out.frames, other.out.frames);
    const jumps = near(key.arrives ?? key.value, other.arrives ?? other.value);
    const values = near(key.value, other.value) && jumps;
    return sides && values && near(key.frame, other.frame) && key.next === other.next;
  });
}

/** Whether a rig has what it had, to the bit or but for rounding. */
export function sameRig(a: RigContents, b: RigContents, exact = false): boolean {
  const same = exact
    ? (x: RigCurve | undefined, y: RigCurve | undefined) => JSON.stringify(x) === JSON.stringify(y)
    : sameCurve;
  return a.size === b.size && [...a].every(([name, curve]) => b.has(name) && same(curve, b.get(name)));
}
