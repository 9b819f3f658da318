/** A point on the stage in px. */
export type Spot = readonly [number, number];

const tenth = (x: number): string => String(Math.round(x * 10) / 10);

const at = ([x, y]: Spot): string => `${tenth(x)} ${tenth(y)}`;

/** Path data of a limb: round at both ends, of one radius at its beginning and another at its end, in px. */
export function taper(a: Spot, b: Spot, ra: number, rb: number): string {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const [nx, ny] = length > 0.1 ? [-(b[1] - a[1]) / length, (b[0] - a[0]) / length] : [1, 0];
  const off = ([x, y]: Spot, r: number): Spot => [x + nx * r, y + ny * r];
  const round = (r: number, to: Spot): string => `A${tenth(r)} ${tenth(r)} 0 0 0 ${at(to)}`;
  return `M${at(off(a, ra))}L${at(off(b, rb))}${round(rb, off(b, -rb))}L${at(off(a, -ra))}${round(ra, off(a, ra))}Z`;
}

/** Path data of a closed shape that runs smoothly past the middles between its corners. */
export function smooth(corners: readonly Spot[]): string {
  const middle = (i: number): Spot => {
    const [a, b] = [corners[i % corners.length], corners[(i + 1) % corners.length]];
    return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  };
  const parts = corners.map((_, i) => `Q${at(corners[(i + 1) % corners.length])} ${at(middle(i + 1))}`);
  return `M${at(middle(0))}${parts.join('')}Z`;
}

/** Path data of a closed shape with corners. */
export function closed(corners: readonly Spot[]): string {
  return `M${corners.map(at).join('L')}Z`;
}
