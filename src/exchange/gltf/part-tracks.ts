import type { Curve } from '../../curves/curve.js';
import { createSampler } from '../../curves/sampler.js';
import type { MotionDocument } from '../document.js';
import { type LinkShape, linkTurns, type PartShape } from '../figure/part-shapes.js';
import type { Figure, FigurePose } from '../figure/pose-figure.js';
import { inverse, minus, type Triple, type Turn, turned, turnWithin } from '../figure/turns.js';
import { AXIS_OF, type TrackMaker } from './track-maker.js';
import { turnCurves } from './turn-curves.js';

/** Names of a part's nodes: what holds a strand, or the ball, and each link of it. */
export function partNodes(part: PartShape): {
  readonly holder: (strand: number) => string;
  readonly node: (strand: number, link: number) => string;
} {
  const { first, kind } = part;
  const of = (strand: number): string => (kind === 'cloth' ? `${first}Strand${strand}` : `${first}`);
  return {
    holder: (strand) => `Holder${of(strand)}`,
    node: (strand, link) => (link === 0 ? `Part${of(strand)}` : `Part${of(strand)}Link${link}`),
  };
}

/** Tracks of everything that hangs from the figure. */
export function partTracks(make: TrackMaker, document: MotionDocument, figure: Figure): void {
  const poseAt = remember((time) => figure.at(time, false));
  figure.parts.forEach((part, p) => {
    const { holder, node } = partNodes(part);
    const curveOf = (i: number): Curve => document.followers[i].curve;
    if (part.kind === 'ball') {
      const { height, forward, side } = part.moves;
      const own = [height, forward, side].filter((i) => i >= 0).map(curveOf);
      if (part.world) {
        const { root } = document;
        const all = [...own, root.height, root.forward, root.side, ...turnCurves(document)];
        make.solved(node(0, 0), all, (time) => figure.at(time).parts[p].centre, true);
        return;
      }
      holderTrack(make, document, holder(0), (time) => placeOf(poseAt(time), figure.hipDrop, p, 0));
      make.shift(node(0, 0), {
        ...(height < 0 ? {} : { height: curveOf(height) }),
        ...(forward < 0 ? {} : { forward: curveOf(forward) }),
        ...(side < 0 ? {} : { side: curveOf(side) }),
      });
      return;
    }
    part.strands.forEach(({ links }, s) => {
      const turnsAt = strandTurns(document, links, part.world);
      holderTrack(make, document, holder(s), (time) => placeOf(poseAt(time), figure.hipDrop, p, s));
      links.forEach((_, l) => {
        const lone = loneTurn(links, l, part.world);
        if (lone) {
          make.turn(node(s, l), curveOf(lone.follower), lone.axis, 1);
          return;
        }
        const above = links.slice(part.world ? Math.max(0, l - 1) : 0, l + 1);
        const curves = above.flatMap(followersOf).map(curveOf);
        make.rotation(node(s, l), curves, (time) => {
          const turns = turnsAt(time);
          return l === 0 ? turns[0] : turnWithin(turns[l - 1], turns[l]);
        });
      });
    });
  });
}

/** Reads one strand's turns without the rest of the figure. */
function strandTurns(
  { followers }: MotionDocument,
  links: readonly LinkShape[],
  world: boolean,
): (time: number) => Turn[] {
  const own = links.flatMap(followersOf);
  const sampler = createSampler(own.map((i) => followers[i].curve));
  const out = new Float64Array(own.length);
  const place = new Map(own.map((i, k) => [i, k]));
  return (time) => {
    sampler.sample(time, out);
    return linkTurns(links, (i) => out[place.get(i) ?? -1] ?? 0, world);
  };
}

const followersOf = ({ pitch, roll, twist }: LinkShape): number[] =>
  [pitch, roll, twist].filter((i) => i >= 0);

/** Where one curve alone turns a link against the one above, about an axis of its own, it goes over as it is. */
function loneTurn(links: readonly LinkShape[], l: number, world: boolean) {
  const link = links[l];
  const [follower, ...more] = followersOf(link);
  const plain = link.restPitch === 0 && link.restRoll === 0;
  if (follower === undefined || more.length > 0 || !plain || l > 0 || world) return undefined;
  const channel = link.pitch >= 0 ? 'side' : link.roll >= 0 ? 'forward' : 'height';
  return { follower, axis: AXIS_OF[channel] };
}

/** Where a part hangs, seen from the root; it moves where the body turns. */
function holderTrack(
  make: TrackMaker,
  document: MotionDocument,
  holder: string,
  place: (time: number) => Triple,
): void {
  if (document.turns) make.solved(holder, turnCurves(document), place);
}

/** The holders of one body are asked for at the same times: each pose is worked out once. */
function remember(poseOf: (time: number) => FigurePose): (time: number) => FigurePose {
  const known = new Map<number, FigurePose>();
  return (time) => {
    const pose = known.get(time) ?? poseOf(time);
    known.set(time, pose);
    return pose;
  };
}

/** A holder's place seen from the root, in the character's heading. */
export function holderPlace(figure: Figure, time: number, part: number, strand: number): Triple {
  return placeOf(figure.at(time, false), figure.hipDrop, part, strand);
}

function placeOf(
  { homes, pelvis, turns }: FigurePose,
  hipDrop: number,
  part: number,
  strand: number,
): Triple {
  const seen = turned(inverse(turns.heading), minus(homes[part][strand], pelvis));
  return [seen[0], seen[1] + hipDrop, seen[2]];
}
