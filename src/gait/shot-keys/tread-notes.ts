import type { FootShape } from '../feet/foot-shape.js';
import type { Note } from '../note.js';
import type { Shot } from '../shot/shot.js';

/** Says where the steps of stairs are shorter than the foot that stands on them: its toes or its heel cut the next one. */
export function treadNotes({ steps }: Shot, { heelToBall, ballToToe }: FootShape): Note[] {
  const foot = heelToBall + ballToToe;
  let [tread, at] = [Number.POSITIVE_INFINITY, 0];
  steps.slice(1).forEach(({ along, plant, land }, i) => {
    const before = steps[i];
    const climbs = plant.pitch === 0 && before.plant.pitch === 0 && plant.height !== before.plant.height;
    const length = Math.abs(along - before.along);
    if (climbs && length > 0 && length < tread) [tread, at] = [length, land];
  });
  if (tread >= foot) return [];
  return [
    {
      code: 'tread-below-foot',
      text: `A tread of ${tread.toFixed(3)} m is shorter than the foot, ${foot.toFixed(3)} m: feet cut its neighbours, as at ${at.toFixed(2)} s.`,
      values: { tread, foot, at },
    },
  ];
}
