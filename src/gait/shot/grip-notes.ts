import type { Note } from '../note.js';
import type { Shot } from './shot.js';
import { createShotSampler } from './shot-sampler.js';

/**
 * Horizontal over vertical force that shoes hardly give: dry floors have 0.5 to 0.8. From memory of tables of
 * slip resistance.
 */
const MOST_GRIP = 0.6;

/** How often a second the forces are looked at. */
const PER_SECOND = 20;

/** A note where both feet together would need more grip than floors give. */
export function gripNotes(shot: Shot): Note[] {
  const sampler = createShotSampler(shot);
  const centre = new Float64Array(9);
  const count = Math.ceil(shot.duration * PER_SECOND);
  let grip = 0;
  let time = 0;
  for (let i = 0; i <= count; i++) {
    const t = (shot.duration * i) / count;
    sampler.read(t);
    sampler.write(centre, 'centreOfMass');
    const ratio = Math.hypot(centre[5], centre[8]) / (centre[2] + shot.gravity);
    if (ratio <= grip) continue;
    grip = ratio;
    time = t;
  }
  if (grip <= MOST_GRIP) return [];
  return [
    {
      code: 'needs-grip',
      text: `At ${time.toFixed(2)} s the feet push ${grip.toFixed(2)} times as hard sideways as down, and would slip on most floors.`,
      values: { grip, time, limit: MOST_GRIP },
    },
  ];
}
