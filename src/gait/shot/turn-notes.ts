import type { Note } from '../note.js';
import type { Shot } from './shot.js';

/**
 * Heading in degrees that two feet in turn may differ by. From memory: each hip turns about 45° out and in, of
 * which the trunk between takes its share.
 */
const MOST_A_STEP = 60;

/** In degrees. */
const ROUNDING = 1e-6;

/** Turn of one stretch in rad that is rather meant in degrees where its steps turn too far: twice round. */
const MOST_MEANT = 4 * Math.PI;

const inDegrees = (angle: number): number => (angle * 180) / Math.PI;

/** Notes where feet in turn point further apart than hips let them, and where degrees were likely given as rad. */
export function turnNotes({ spec, steps }: Shot): Note[] {
  let by = 0;
  let at = 0;
  for (let i = 1; i < steps.length; i++) {
    const turned = steps[i].plant.heading - steps[i - 1].plant.heading;
    // Chosen headings may begin anew after half a turn.
    const angle = Math.abs(
      spec.contacts ? turned - 2 * Math.PI * Math.round(turned / (2 * Math.PI)) : turned,
    );
    if (angle <= by) continue;
    by = angle;
    at = i;
  }
  const degrees = inDegrees(by);
  if (degrees <= MOST_A_STEP + ROUNDING) return [];
  const { index, stretch, land } = steps[at];
  const notes: Note[] = [
    {
      code: 'sharp-turn',
      text: `Step ${index}, in stretch ${stretch}, turns by ${degrees.toFixed(0)}° at ${land.toFixed(2)} s; hips let a step turn by about ${MOST_A_STEP}°. More steps or a wider turn would do.`,
      values: { degrees, limit: MOST_A_STEP, step: index, stretch, time: land },
    },
  ];
  (spec.stretches ?? []).forEach(({ turn }, k) => {
    if (turn?.by === undefined || Math.abs(turn.by) <= MOST_MEANT) return;
    const meant = (turn.by * Math.PI) / 180;
    notes.push({
      code: 'likely-degrees',
      text: `Stretch ${k} turns by ${turn.by} rad, more than twice round; ${turn.by}° would be ${meant.toFixed(3)} rad.`,
      values: { stretch: k, by: turn.by, meant },
    });
  });
  return notes;
}
