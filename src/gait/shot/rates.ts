/** A rate at most this many times the slower neighbour's mean never turns back within a piece. */
const MOST_RATE = 1.6;

/** Rate at a node between two means of opposite sides, the nearer in time weighing more; none where they differ in sign. */
export function rateBetween<T extends { readonly time: number }>(
  before: T,
  at: T,
  after: T,
  value: (node: T) => number,
): number {
  const [left, right] = [at.time - before.time, after.time - at.time];
  const a = (value(at) - value(before)) / left;
  const b = (value(after) - value(at)) / right;
  if (a * b <= 0) return 0;
  const mean = (a * right + b * left) / (left + right);
  const most = MOST_RATE * Math.min(Math.abs(a), Math.abs(b));
  return Math.sign(mean) * Math.min(Math.abs(mean), most);
}

/** Rate where the last of some nodes is followed by the first again. */
export function rateAcross<T extends { readonly time: number }>(
  nodes: readonly T[],
  value: (node: T) => number,
): number {
  const last = nodes.length - 1;
  const end = { time: nodes[last].time, x: value(nodes[last]) };
  const before = { time: nodes[last - 1].time, x: value(nodes[last - 1]) };
  const after = {
    time: end.time + nodes[1].time - nodes[0].time,
    x: end.x + value(nodes[1]) - value(nodes[0]),
  };
  return rateBetween(before, end, after, ({ x }) => x);
}
