import type { Channels } from '../../gait/walk.js';
import type { DocumentFollower, FollowerCarrier, MotionDocument } from '../document.js';
import type { FigureShape } from './figure-shape.js';
import { multiply, plus, type Triple, type Turn, turned, turnOf } from './turns.js';

/** A link of a strand: the followers that turn it, and how it hangs at rest. */
export interface LinkShape {
  /** Places in the document's followers; −1 where nothing turns it that way. */
  readonly pitch: number;
  readonly roll: number;
  readonly twist: number;
  readonly length: number;
  readonly restPitch: number;
  readonly restRoll: number;
}

/** A strand: where its root is from its carrier, in m, and its links from there down. */
export interface StrandShape {
  readonly at: Triple;
  readonly links: readonly LinkShape[];
}

/** What a follower or a group of them is shown as. */
export type PartShape = {
  readonly name: string;
  /** Place of its first follower in the document. */
  readonly first: number;
  readonly carrier: FollowerCarrier;
  /** Whether its curves are those of places and angles in the world. */
  readonly world: boolean;
} & (
  | { readonly kind: 'ball'; readonly at: Triple; readonly moves: Channels<number> }
  | { readonly kind: 'strand'; readonly strands: readonly StrandShape[] }
  | { readonly kind: 'cloth'; readonly ring: boolean; readonly strands: readonly StrandShape[] }
);

/** The parts of a document: followers of one part together, all others each by itself. */
export function partShapes({ followers }: MotionDocument, shape: FigureShape): PartShape[] {
  const groups = new Map<string, number[]>();
  followers.forEach(({ part }, i) => {
    const key = part ? `${part.kind} ${part.name}` : `alone ${i}`;
    groups.set(key, [...(groups.get(key) ?? []), i]);
  });
  let balls = 0;
  return [...groups.values()].map((members): PartShape => {
    const first = followers[members[0]];
    const kind = first.part?.kind ?? (first.unit === 'm' ? 'bounce' : 'strand');
    const carrier = first.part?.carrier ?? (kind === 'strand' ? 'head' : 'hips');
    const base = {
      name: first.part?.name ?? first.name,
      first: members[0],
      carrier,
      world: first.space === 'world',
    };
    if (kind === 'bounce') {
      const of = (channel: keyof Channels<unknown>): number =>
        members.find((i) => followers[i].channel === channel && followers[i].unit === 'm') ?? -1;
      const moves = { height: of('height'), forward: of('forward'), side: of('side') };
      return { ...base, kind: 'ball', at: placeOf(first) ?? ballPlace(balls++, shape), moves };
    }
    const strands = strandShapes(followers, members, shape, kind === 'cloth');
    return kind === 'cloth'
      ? { ...base, kind, ring: first.part?.ring === true, strands }
      : { ...base, kind, strands };
  });
}

function placeOf({ part }: DocumentFollower): Triple | undefined {
  return part?.at && [part.at.forward, part.at.height, part.at.side];
}

/** Before the belly, then behind the back, by turns. */
function ballPlace(n: number, { trunk, hipWidth }: FigureShape): Triple {
  return [(n % 2 === 0 ? 0.75 : -0.9) * hipWidth, 0.28 * trunk, 0];
}

function strandShapes(
  followers: readonly DocumentFollower[],
  members: readonly number[],
  { headRadius, hipWidth }: FigureShape,
  cloth: boolean,
): StrandShape[] {
  const byStrand = new Map<number, Map<number, LinkShape & { at?: Triple }>>();
  for (const i of members) {
    const { part, channel, unit } = followers[i];
    const [s, l] = [part?.strand ?? 0, part?.link ?? 0];
    const strand = byStrand.get(s) ?? new Map<number, LinkShape & { at?: Triple }>();
    byStrand.set(s, strand);
    const known = strand.get(l) ?? {
      pitch: -1,
      roll: -1,
      twist: -1,
      length: part?.length ?? 2.2 * headRadius,
      restPitch: 0,
      restRoll: 0,
      at: placeOf(followers[i]),
    };
    if (unit !== 'rad') continue;
    const rest = part?.rest ?? 0;
    const about = {
      forward: { roll: i, restRoll: rest },
      side: { pitch: i, restPitch: rest },
      height: { twist: i },
    }[channel];
    strand.set(l, { ...known, ...about });
  }
  // Behind the head; a cloth whose place is not told hangs about the hips.
  const usual: Triple = cloth ? [-0.5 * hipWidth, 0, 0] : [-headRadius, 0, 0];
  return [...byStrand.entries()]
    .sort(([a], [b]) => a - b)
    .map(([, links]) => {
      const ordered = [...links.entries()].sort(([a], [b]) => a - b).map(([, link]) => link);
      return { at: ordered[0]?.at ?? usual, links: ordered };
    });
}

/** A part at one time: the middle of a ball, or the points of strands from their roots down. */
export interface PartPose {
  readonly centre: Triple;
  /** For each strand the turn of each link against plumb, in the character's own heading. */
  readonly turns: readonly (readonly Turn[])[];
  readonly strands: readonly (readonly Triple[])[];
}

/** Where a part hangs from its carrier, in the world. */
export function homesOf(part: PartShape, carrier: { readonly at: Triple; readonly turn: Turn }): Triple[] {
  const places = part.kind === 'ball' ? [part.at] : part.strands.map(({ at }) => at);
  return places.map((at) => plus(carrier.at, turned(carrier.turn, at)));
}

/** Where a part is, from the place and turn of its carrier and the values of the document's followers. */
export function posePart(
  part: PartShape,
  values: ArrayLike<number>,
  carrier: { readonly at: Triple; readonly turn: Turn },
  heading: Turn,
): PartPose {
  const value = (i: number): number => (i < 0 ? 0 : values[i]);
  if (part.kind === 'ball') {
    const [home] = homesOf(part, carrier);
    const { forward, height, side } = part.moves;
    const move: Triple = [value(forward), value(height), value(side)];
    // In the world a curve is the place itself, on the channels that it has.
    const centre: Triple = part.world
      ? [forward < 0 ? home[0] : move[0], height < 0 ? home[1] : move[1], side < 0 ? home[2] : move[2]]
      : plus(home, turned(heading, move));
    return { centre, turns: [], strands: [] };
  }
  const turns = part.strands.map(({ links }) => linkTurns(links, value, part.world));
  const homes = homesOf(part, carrier);
  const strands = part.strands.map(({ links }, s) => {
    const points: Triple[] = [homes[s]];
    links.forEach(({ length }, i) => {
      const down = turned(multiply(heading, turns[s][i]), [0, -length, 0]);
      points.push(plus(points[i], down));
    });
    return points;
  });
  return { centre: carrier.at, turns, strands };
}

/** Turns of a strand's links against plumb: relative angles add up from link to link, away from rest. */
export function linkTurns(links: readonly LinkShape[], value: (i: number) => number, world: boolean): Turn[] {
  let [pitch, roll, twist] = [0, 0, 0];
  return links.map((link) => {
    if (world) return turnOf(value(link.twist), value(link.roll), value(link.pitch));
    pitch += value(link.pitch);
    roll += value(link.roll);
    twist += value(link.twist);
    return turnOf(twist, roll + link.restRoll, pitch + link.restPitch);
  });
}
