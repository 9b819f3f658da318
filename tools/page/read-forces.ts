import type { MotionDocument } from '../../src/exchange/document.js';

/** One foot's force in BW: upwards, forward, to the left. */
export type FootForce = readonly [number, number, number];

/** Both feet's forces at a time in s, straight between the document's samples. */
export function readForces({
  forces,
  span,
}: MotionDocument): (time: number) => { left: FootForce; right: FootForce } {
  const { time: times } = forces;
  const count = times.length;
  const every = count > 1 ? times[1] - times[0] : 1;
  const at = (values: readonly number[], i: number, j: number, u: number): number =>
    values[i] + u * (values[j] - values[i]);
  return (time) => {
    const x = (time - span.start) / every;
    const i = Math.min(Math.max(Math.floor(x), 0), count - 1);
    const j = i + 1 < count ? i + 1 : span.repeats ? 0 : i;
    const u = Math.min(Math.max(x - i, 0), 1);
    const foot = (side: 'left' | 'right'): FootForce => [
      at(forces[side].vertical, i, j, u),
      at(forces[side].forward, i, j, u),
      at(forces[side].side, i, j, u),
    ];
    return { left: foot('left'), right: foot('right') };
  };
}
