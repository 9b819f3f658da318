import type { PlateContact, WeightSource } from './recording.js';

/** Part of a walk in which a foot has to be on a plate for the plates to have caught the whole weight. */
const CAUGHT = 0.98;

/** Load in N under which nobody stands on the plates. */
const NOBODY = 20;

/**
 * Body weight in N: over whole strides the mean vertical force is the weight, since the body ends as it
 * began; failing those, each step's vertical impulse is the weight times the step's duration.
 */
export function findBodyWeight(
  total: Float64Array,
  rate: number,
  contacts: readonly PlateContact[],
): { newtons: number; from: WeightSource } | undefined {
  return fromStrides(total, rate, contacts) ?? fromSteps(total, rate, contacts);
}

function fromStrides(
  total: Float64Array,
  rate: number,
  contacts: readonly PlateContact[],
): { newtons: number; from: WeightSource } | undefined {
  const spans = (['left', 'right'] as const).map((foot) => {
    const lands = contacts
      .filter((contact) => contact.foot === foot && contact.land > 0)
      .map(({ land }) => land);
    return lands.length > 1 ? [lands[0], lands[lands.length - 1]] : [0, 0];
  });
  const [from, to] = spans[0][1] - spans[0][0] >= spans[1][1] - spans[1][0] ? spans[0] : spans[1];
  if (!(to > from)) return undefined;
  let [sum, count, loaded] = [0, 0, 0];
  for (let i = Math.ceil(from * rate); i < to * rate; i++) {
    sum += total[i];
    count++;
    if (total[i] > NOBODY) loaded++;
  }
  if (count === 0 || loaded < CAUGHT * count) return undefined;
  return { newtons: sum / count, from: 'strides' };
}

function fromSteps(
  total: Float64Array,
  rate: number,
  contacts: readonly PlateContact[],
): { newtons: number; from: WeightSource } | undefined {
  const weights: number[] = [];
  for (let k = 0; k + 1 < contacts.length; k++) {
    const [a, b] = [contacts[k], contacts[k + 1]];
    if (!a.whole || !b.whole || a.foot === b.foot) continue;
    // The total from one landing to the other's lifting is the two contacts' impulse: two steps' worth.
    let impulse = 0;
    for (let i = Math.ceil(a.land * rate); i <= b.lift * rate; i++) impulse += total[i] / rate;
    const next = contacts[k + 2];
    if (next && next.land < b.lift) continue;
    if (k > 0 && contacts[k - 1].lift > a.land) continue;
    weights.push(impulse / (2 * (b.land - a.land)));
  }
  if (weights.length === 0) return undefined;
  return { newtons: weights.reduce((x, y) => x + y, 0) / weights.length, from: 'steps' };
}
