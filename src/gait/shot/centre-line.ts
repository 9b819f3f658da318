import type { CentreLine, LineSegment } from './shot.js';

/** Where a line is at a distance along it, and how it turns there. */
export interface LinePoint {
  forward: number;
  side: number;
  heading: number;
  /** In 1/m, and its derivative along the line. */
  curvature: number;
  bend: number;
}

/** Nodes and weights of the Gauss–Legendre rule of order 10 on [−1, 1] (Abramowitz & Stegun, table 25.4). */
const NODES = [
  0.1488743389816312, 0.4333953941292472, 0.6794095682990244, 0.8650633666889845, 0.9739065285171717,
] as const;
const WEIGHTS = [
  0.2955242247147529, 0.2692667193099964, 0.219086362515982, 0.1494513491505806, 0.0666713443086881,
] as const;

/** Largest turn in rad that one rule integrates; at half a radian its error is under 1e-20 of the length. */
const TURN_PER_RULE = 0.5;

/** Curvature of a segment at a fraction of its length: a quintic ease, so smooth to the second derivative. */
function curvatureAt({ from, to }: LineSegment, u: number): number {
  return from + (to - from) * u * u * u * (10 + u * (6 * u - 15));
}

/** Turn in rad from the start of a segment to a fraction of its length. */
function turnAt({ from, to, length }: LineSegment, u: number): number {
  return length * (from * u + (to - from) * u ** 4 * (2.5 + u * (u - 3)));
}

/** Writes position, heading and curvature at a fraction `u` of a segment. */
function pointIn(segment: LineSegment, u: number, out: LinePoint): void {
  const { from, to, length, heading, forward, side } = segment;
  out.curvature = curvatureAt(segment, u);
  out.bend = ((to - from) * 30 * u * u * (1 - u) * (1 - u)) / length;
  out.heading = heading + turnAt(segment, u);
  out.forward = forward;
  out.side = side;
  if (from === to) {
    // The chord of an arc, which points half of its turn on.
    const way = length * u;
    const half = (from * way) / 2;
    // So little turn is none: its square is below rounding.
    const chord = Math.abs(half) < 1e-9 ? way : (way * Math.sin(half)) / half;
    out.forward += chord * Math.cos(heading + half);
    out.side += chord * Math.sin(heading + half);
    return;
  }
  const reach = Math.max(Math.abs(from), Math.abs(to)) * length * u;
  const rules = Math.max(1, Math.ceil(reach / TURN_PER_RULE));
  const half = (length * u) / (2 * rules);
  for (let r = 0; r < rules; r++) {
    const middle = (u * (r + 0.5)) / rules;
    for (let n = 0; n < NODES.length; n++) {
      for (let sign = -1; sign <= 1; sign += 2) {
        const angle = heading + turnAt(segment, middle + (sign * NODES[n] * half) / length);
        out.forward += WEIGHTS[n] * half * Math.cos(angle);
        out.side += WEIGHTS[n] * half * Math.sin(angle);
      }
    }
  }
}

const straight = (start: number, forward: number, side: number, heading: number): LineSegment => ({
  start,
  length: 1,
  from: 0,
  to: 0,
  heading,
  forward,
  side,
});

const point = (): LinePoint => ({ forward: 0, side: 0, heading: 0, curvature: 0, bend: 0 });

/** A reader of a line at any distance along it; allocates nothing. */
export function prepareLine({ segments }: CentreLine): (along: number, out: LinePoint) => void {
  const before = straight(segments[0]?.start ?? 0, 0, 0, segments[0]?.heading ?? 0);
  let after = before;
  if (segments.length > 0) {
    const last = segments[segments.length - 1];
    const end = point();
    pointIn(last, 1, end);
    after = straight(last.start + last.length, end.forward, end.side, end.heading);
  }
  // Straight pieces are given by a point on them; before the first segment that is where it starts.
  const first = segments[0];
  const opening = first ? { ...before, forward: first.forward, side: first.side } : before;
  let last = 0;
  return (along, out) => {
    if (segments.length === 0 || along < opening.start) return pointIn(opening, along - opening.start, out);
    if (along >= after.start) return pointIn(after, along - after.start, out);
    while (last > 0 && along < segments[last].start) last--;
    while (last + 1 < segments.length && along >= segments[last + 1].start) last++;
    const segment = segments[last];
    pointIn(segment, (along - segment.start) / segment.length, out);
  };
}

/** Curvatures along a line, between which it eases; lengths in m, curvatures in 1/m. */
export interface LineBend {
  readonly length: number;
  readonly from: number;
  readonly to: number;
}

/**
 * The line that starts at a distance along it and bends as told; at `anchor` it is as far forward as along,
 * not to the side, and heads straight on.
 */
export function lineThrough(start: number, bends: readonly LineBend[], anchor: number): CentreLine {
  const segments: LineSegment[] = [];
  const at = { ...point(), forward: start };
  let along = start;
  for (const bend of bends) {
    const { heading, forward, side } = at;
    const segment = { start: along, ...bend, heading, forward, side };
    segments.push(segment);
    pointIn(segment, 1, at);
    along += bend.length;
  }
  const origin = point();
  prepareLine({ segments })(anchor, origin);
  if (origin.heading === 0 && origin.side === 0) return { segments };
  const [c, s] = [Math.cos(origin.heading), Math.sin(origin.heading)];
  return {
    segments: segments.map((segment) => {
      const [x, y] = [segment.forward - origin.forward, segment.side - origin.side];
      return {
        ...segment,
        heading: segment.heading - origin.heading,
        forward: anchor + x * c + y * s,
        side: y * c - x * s,
      };
    }),
  };
}
