import type { Key } from '../curve.js';

/** Keys that were added past the end of a cycle, brought to its beginning, less the gain. */
export function wrapKeys(keys: readonly Key[], start: number, period: number, gain: number): Key[] {
  const end = start + period;
  const over = keys.filter((key) => key.time >= end);
  const moved = over.map((key) => ({
    ...key,
    time: Math.max(start, key.time - period),
    value: key.value - gain,
    ...(key.arrives === undefined ? {} : { arrives: key.arrives - gain }),
  }));
  return [...moved, ...keys.filter((key) => key.time < end)];
}
