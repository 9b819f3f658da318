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
    return sides && near(key.frame, other.frame) && near(key.value, other.value) && key.next === other.next;
  });
}

/** Whether a rig has what it had. */
export function sameRig(a: RigContents, b: RigContents): boolean {
  return a.size === b.size && [...a].every(([name, curve]) => b.has(name) && sameCurve(curve, b.get(name)));
}
