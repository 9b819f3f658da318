import type { Curve } from '../curves/curve.js';
import type { Channels } from '../gait/walk.js';
import { refuseAny, requireChoice, requireNumber, requireRecord, show } from '../internal/check.js';
import type { BounceFollower } from '../secondary/bounce.js';
import type { ClothFollower } from '../secondary/cloth.js';
import { type ClothPart, readClothPart } from '../secondary/cloth-part.js';
import { CHANNELS } from '../secondary/driver.js';
import { keyTrack } from '../secondary/follower.js';
import type { FollowerTrack } from '../secondary/follower-track.js';
import type { LinkTracks, StrandFollower } from '../secondary/strand.js';
import { readStrandPart, type StrandPart } from '../secondary/strand-part.js';
import type { DocumentFollower, FollowerCarrier, FollowerPart } from './document.js';

/** How a follower goes into a document. */
export interface FollowerCurvesOptions {
  /** Frames per second of the keys, > 0. */
  readonly fps: number;
  /** Bound on the keys' error in m or rad, > 0. Default a hundredth of each track's range. */
  readonly tolerance?: number;
  /** The strand or cloth that was made to follow: its lengths and rest shape are for drawing it. Required for a cloth. */
  readonly part?: StrandPart | ClothPart;
  /** What it hangs from. Default `head` for a strand, else `hips`. */
  readonly carrier?: FollowerCarrier;
  /** Where it hangs, in m from the carrier. Default by its kind: before the belly, behind the head, about the hips. */
  readonly at?: Channels<number>;
}

const FIELDS = ['fps', 'tolerance', 'part', 'carrier', 'at'];

/**
 * The curves of a part that was made to follow, keyed on whole frames, as documents hold them: one for each
 * channel of a bouncing part, two for each link of a strand or cloth, with what a figure needs to draw it.
 *
 * Tracks that are keyed already are keyed anew at the frame rate given.
 *
 * @param name - of the part, any text in any language
 * @param follower - what `followBounce`, `followStrand` or `followCloth` gave
 * @param options - frame rate, tolerance, the part itself, what it hangs from and where
 * @returns followers for `toDocument`, in the order of channels, strands and links
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { followStrand, planWalk } from 'underfoot';
 * import { followerCurves } from 'underfoot/exchange';
 *
 * const part = { length: 0.3, links: 3, dampingRatio: 0.3, rest: { pitch: 0.4 }, frequencyHz: 2 };
 * const plait = followStrand(planWalk({ pace: { framesPerStep: 12, fps: 24 } }), part);
 * const curves = followerCurves('plait', plait, { fps: 24, part });
 * console.log(curves.map(({ name }) => name)[1]); // → plait 1 roll
 * ```
 */
export function followerCurves(
  name: string,
  follower: BounceFollower | StrandFollower | ClothFollower,
  options: FollowerCurvesOptions,
): DocumentFollower[] {
  const where = 'followerCurves';
  if (typeof name !== 'string')
    refuseAny(where, [{ field: 'name', rule: 'must be a string', got: show(name), kind: 'type' }]);
  const { kind } = requireRecord(where, 'follower', follower);
  requireChoice(where, 'follower.kind', kind, ['bounce', 'strand', 'cloth']);
  requireRecord(where, 'options', options, FIELDS);
  const { fps, tolerance, at } = options;
  requireNumber(where, 'fps', fps, { above: 0, unit: '1/s' });
  if (tolerance !== undefined) requireNumber(where, 'tolerance', tolerance, { above: 0 });
  const carrier = requireChoice<FollowerCarrier>(
    where,
    'carrier',
    options.carrier ?? (kind === 'strand' ? 'head' : 'hips'),
    ['hips', 'chest', 'head'],
  );
  if (at !== undefined) {
    requireRecord(where, 'at', at, CHANNELS);
    for (const channel of CHANNELS) requireNumber(where, `at.${channel}`, at[channel], { unit: 'm' });
  }
  const key = (track: FollowerTrack): { curve: Curve; error: number } => {
    const { curve, error } = keyTrack(track, { fps, tolerance });
    return { curve, error: error.value.max };
  };
  const own: FollowerPart = { name, kind: follower.kind, carrier, ...(at ? { at } : {}) };
  if (follower.kind === 'bounce') return bounceCurves(name, follower, own, key);
  const laid = follower.kind === 'cloth' ? clothStrands(where, follower, options.part) : undefined;
  const strands = laid ?? [strandOf(where, follower as StrandFollower, options.part)];
  return strands.flatMap(({ tracks, rest, lengths, at: place, ring }, s) =>
    tracks.flatMap((link, i) => {
      const shared: FollowerPart = {
        ...own,
        ...(place ? { at: addPlaces(place, at) } : {}),
        ...(laid ? { strand: s, ring: ring === true } : {}),
        link: i,
        length: lengths[i],
      };
      const label = laid ? `${name} ${s + 1}.${i + 1}` : `${name} ${i + 1}`;
      return (['pitch', 'roll'] as const).map(
        (turn): DocumentFollower => ({
          name: `${label} ${turn}`,
          unit: 'rad',
          channel: turn === 'pitch' ? 'side' : 'forward',
          space: follower.kind === 'strand' ? follower.space : 'relative',
          ...key(link[turn]),
          part: { ...shared, rest: rest[turn][i] },
        }),
      );
    }),
  );
}

function bounceCurves(
  name: string,
  { tracks, space }: BounceFollower,
  part: FollowerPart,
  key: (track: FollowerTrack) => { curve: Curve; error: number },
): DocumentFollower[] {
  const own = CHANNELS.filter((channel) => tracks[channel] !== undefined);
  return own.map((channel) => ({
    name: own.length === 1 ? name : `${name} ${channel}`,
    unit: 'm',
    channel,
    space,
    ...key(tracks[channel] as FollowerTrack),
    part,
  }));
}

/** One strand: its links' tracks and lengths, and the angles from plumb at which they rest. */
interface Laid {
  readonly tracks: readonly LinkTracks[];
  readonly lengths: readonly number[];
  readonly rest: { readonly pitch: readonly number[]; readonly roll: readonly number[] };
  readonly at?: Channels<number>;
  readonly ring?: boolean;
}

const addPlaces = (a: Channels<number>, b: Channels<number> | undefined): Channels<number> => ({
  height: a.height + (b?.height ?? 0),
  forward: a.forward + (b?.forward ?? 0),
  side: a.side + (b?.side ?? 0),
});

/** Pitch is positive with the tip behind, roll with the tip to the left. */
function restOf(rest: { readonly forward: Float64Array; readonly side: Float64Array }): Laid['rest'] {
  return { pitch: Array.from(rest.forward, (x) => -x + 0), roll: Array.from(rest.side) };
}

function strandOf(where: string, { links, lengths }: StrandFollower, part: StrandPart | undefined): Laid {
  const still = links.map(() => 0);
  const rest = part ? restOf(readStrandPart(where, part).rest) : { pitch: still, roll: still };
  requireLinks(where, rest.pitch.length, links.length);
  return { tracks: links, lengths, rest };
}

function clothStrands(where: string, { strands }: ClothFollower, part: StrandPart | undefined): Laid[] {
  const shape = readClothPart(where, requireRecord(where, 'part', part) as unknown as ClothPart);
  if (shape.strands.length !== strands.length) {
    const rule = `must be that of the follower, with ${strands.length} strands`;
    refuseAny(where, [{ field: 'part.strands', rule, got: `${shape.strands.length}`, kind: 'range' }]);
  }
  return strands.map((tracks, s): Laid => {
    const { forward, side, spec } = shape.strands[s];
    requireLinks(where, spec.links, tracks.length);
    return {
      tracks,
      lengths: tracks.map(() => spec.length / spec.links),
      rest: restOf(spec.rest),
      at: { height: 0, forward, side },
      ring: shape.ring,
    };
  });
}

function requireLinks(where: string, got: number, wanted: number): void {
  if (got === wanted) return;
  const rule = `must be that of the follower, with ${wanted} links`;
  refuseAny(where, [{ field: 'part.links', rule, got: `${got}`, kind: 'range' }]);
}
