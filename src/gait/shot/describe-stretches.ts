import type { Course, CourseStretch, Layout } from './lay-nodes.js';
import type { PieceTrack, PlannedStretch, ShotBase } from './shot.js';

/** What each stretch became: its steps, its time, and where it is its own walk and nothing else. */
export function describeStretches(
  course: Course,
  { nodes }: Layout,
  duration: number,
  { along, beside, height, turn }: ShotBase,
): PlannedStretch[] {
  const even = (i: number): boolean =>
    [along, beside, height].every((track) => isStraight(track, nodes[i].time));
  let first = 0;
  // Node i is the landing of step i + 1: before the first one a foot is down already.
  return course.stretches.map((stretch, k) => {
    const { cycle, steps: count } = stretch;
    const last = first + count;
    let low = first;
    while (low < last && nodes[low].pure !== cycle) low++;
    // The foot behind stands where the step before put it, so feet are steady from the next contact on.
    if (low > 0 && nodes[low - 1].pure !== cycle) low++;
    let high = last;
    while (high > low && nodes[high].pure !== cycle) high--;
    // Nor is the walk itself what turns or climbs, or has not left the turn before it.
    if (first > 0 && low === first && !isPlain(course.stretches[k - 1])) low++;
    while (low < high && !even(low)) low++;
    while (high > low && !even(high - 1)) high--;
    const steady =
      turn === undefined && isPlain(stretch) && high > low
        ? { start: nodes[low].time, end: nodes[high].time }
        : undefined;
    const planned = {
      cycle,
      firstStep: first + 2,
      lastStep: last + 1,
      start: first === 0 ? 0 : nodes[first].time,
      end: last === nodes.length - 1 ? duration : nodes[last].time,
      ...(steady ? { steady } : {}),
    };
    first = last;
    return planned;
  });
}

/** Whether a stretch goes straight on over level ground. */
function isPlain({ turn, slope, stairs }: CourseStretch): boolean {
  return turn === undefined && !slope && stairs === undefined;
}

/** Whether the piece of a track that begins at a contact goes evenly. */
function isStraight({ times, powers }: PieceTrack, start: number): boolean {
  const piece = powers[times.indexOf(start)];
  return piece?.every((x, k) => k < 2 || x === 0) ?? false;
}
