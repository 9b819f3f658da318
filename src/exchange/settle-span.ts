import type { FrameRate } from '../curves/time/frame-rate.js';
import type { FootTrack } from '../gait/feet/foot-tracks.js';
import type { Note } from '../gait/note.js';
import type { Shot } from '../gait/shot/shot.js';
import type { DocumentFollower } from './document.js';
import { framesPerSecond } from './frame-rate.js';

/** How far from a frame still is on it, in frames. */
const ON_FRAME = 1e-6;

/**
 * The last frame of a shot's document: where the last follower ends, if that is behind the shot's own last
 * frame and the shot stands there. One that walks on is not stood still; a note says what is left out.
 */
export function settleSpan(
  { spec }: Shot,
  rate: FrameRate,
  frames: number,
  followers: readonly DocumentFollower[],
): { readonly frames: number; readonly notes: readonly Note[] } {
  const fps = framesPerSecond(rate);
  const ends = followers.map(({ curve: { keys } }) => keys[keys.length - 1].time * fps);
  const last = Math.ceil(Math.max(frames, ...ends) - ON_FRAME);
  if (last <= frames) return { frames, notes: [] };
  const added = last - frames;
  if ((spec.to ?? 'standing') !== 'standing') {
    const text = `What follows goes on for ${added} frames behind the end, which are left out, as the body walks on; end standing to show them.`;
    return { frames, notes: [{ code: 'settling-left-out', text, values: { frames: added } }] };
  }
  const text = `The body stands on for ${added} frames after the end of the shot, while what follows settles; still.after makes the shot itself as long.`;
  return { frames: last, notes: [{ code: 'stands-on', text, values: { frames: added } }] };
}

/** A foot that stands at the end of its shot, standing on to a later time in s. */
export function standingOn<T extends FootTrack>(foot: T, duration: number, end: number): T {
  const contacts = foot.contacts.map((contact) =>
    contact.lift < duration - ON_FRAME
      ? contact
      : { ...contact, heelOff: contact.heelOff < duration - ON_FRAME ? contact.heelOff : end, lift: end },
  );
  return { ...foot, contacts };
}
