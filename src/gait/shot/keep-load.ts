import { scaleSeries } from '../../curves/series.js';
import type { Note } from '../note.js';
import { centreHeight } from '../root-relation.js';
import { deepestDip } from '../swing-limit.js';
import type { Walk } from '../walk.js';
import { prepareCycleHeight } from './cycle-sampler.js';
import type { Course, Layout } from './lay-nodes.js';
import type { Shot } from './shot.js';
import { prepareTrack } from './tracks.js';

/** The least load in BW that a cycle may have, so that coming to it and leaving it never asks for a pull. */
const LEAST_OF_CYCLE = 0.1;

/** The least load in BW between the points that are looked at. */
const LEAST_ON_GRID = 0.02;

/** Points that are looked at in each step: five for each of the load's harmonics. */
const GRID = 25;

/** A walk whose load keeps a margin above nothing, its swing held back where that asks for it, with a note. */
export function calmWalk(walk: Walk, notes: Note[]): Walk {
  const dip = deepestDip(walk.total.vertical);
  const most = 1 - LEAST_OF_CYCLE;
  if (dip <= most) return walk;
  const factor = most / dip;
  notes.push({
    code: 'swing-held-back',
    text: `The load's swing is held back to ${factor.toFixed(3)} of itself, so that steps to it and from it never pull.`,
    values: { factor, leastLoad: LEAST_OF_CYCLE },
  });
  return scaleSwing(walk, factor);
}

/** A walk eased: its swing scaled, and its mean height nearer to standing. */
export function easeWalk(walk: Walk, swing: number, sink: number): Walk {
  const calm = swing === 1 ? walk : scaleSwing(walk, swing);
  if (sink === 1) return calm;
  const { height } = calm.centre;
  const standing = centreHeight(calm.body, calm.body.legLength);
  const up = (1 - sink) * (standing - height.mean);
  return {
    ...calm,
    centre: { ...calm.centre, height: { ...height, mean: height.mean + up } },
    root: { ...calm.root, height: calm.root.height + up },
  };
}

/** A walk with the oscillation of load and height scaled. */
function scaleSwing(walk: Walk, factor: number): Walk {
  const { total, centre } = walk;
  return {
    ...walk,
    total: { ...total, vertical: { ...scaleSeries(total.vertical, factor), mean: total.vertical.mean } },
    centre: { ...centre, height: { ...scaleSeries(centre.height, factor), mean: centre.height.mean } },
  };
}

/** What of a shot its load follows from. */
type LoadPath = Pick<Shot, 'gravity' | 'duration' | 'base' | 'layers' | 'cycles'>;

/** The step in which the load is least, where it is too little; looked at away from the steady stretches. */
export function lightestStep(
  shot: LoadPath,
  { nodes }: Layout,
): { readonly step: number; readonly load: number } | undefined {
  const loadAt = prepareLoad(shot);
  let step = 0;
  let least = LEAST_ON_GRID;
  const look = (i: number, from: number, to: number): void => {
    for (let j = 0; j <= GRID; j++) {
      const load = loadAt(from + ((to - from) * j) / GRID);
      if (load >= least) continue;
      least = load;
      step = i;
    }
  };
  for (let i = 1; i < nodes.length; i++) {
    const { pure } = nodes[i];
    if (pure === undefined || pure !== nodes[i - 1].pure) look(i, nodes[i - 1].time, nodes[i].time);
  }
  const last = nodes.length - 1;
  if (shot.duration > nodes[last].time) look(last, nodes[last].time, shot.duration);
  return step === 0 ? undefined : { step, load: least };
}

/** A reader of both feet's load in BW, from the height alone. */
function prepareLoad({ base, layers, cycles, gravity }: LoadPath): (t: number) => number {
  const height = prepareTrack(base.height);
  const out = new Float64Array(3);
  const [at, by, swing] = [new Float64Array(3), new Float64Array(3), new Float64Array(3)];
  const parts = layers.map((layer) => ({
    times: layer.weight.times,
    phase: prepareTrack(layer.phase),
    weight: prepareTrack(layer.weight),
    cycle: prepareCycleHeight(cycles[layer.cycle]),
  }));
  return (t) => {
    height(t, out, 0);
    let bend = out[2];
    for (const { times, phase, weight, cycle } of parts) {
      if (t < times[0] || t > times[times.length - 1]) continue;
      phase(t, at, 0);
      weight(t, by, 0);
      cycle(at[0], swing);
      const [x, rate, second] = [swing[0], swing[1] * at[1], swing[2] * at[1] ** 2 + swing[1] * at[2]];
      bend += by[0] * second + 2 * by[1] * rate + by[2] * x;
    }
    return 1 + bend / gravity;
  };
}

/** What is eased where a transition would pull: the swing of its cycles, the time of first and last step. */
export interface Easing {
  /** Factor on the swing of each stretch. */
  readonly swing: readonly number[];
  /** How many times longer the first and the last step take. */
  readonly patience: number;
  /** Fraction that is kept of the differences in mean height. */
  readonly sink: number;
  /** How often the floor under the body is smoothed over neighbouring steps. */
  readonly smoothing: number;
}

/** Nothing eased. */
export function noEasing(stretches: number): Easing {
  return { swing: new Array<number>(stretches).fill(1), patience: 1, sink: 1, smoothing: 0 };
}

/** Eased further about a step. */
export function easeAbout(easing: Easing, course: Course, { nodes }: Layout, step: number): Easing {
  const [a, b] = [nodes[step - 1], nodes[step]];
  const swing = easing.swing.map((factor, k) => {
    const { cycle } = course.stretches[k];
    return a.mix[cycle] > 0 || b.mix[cycle] > 0 ? 0.85 * factor : factor;
  });
  const edge = a.profile === 0 || b.profile === 0;
  return {
    swing,
    patience: edge ? 1.15 * easing.patience : easing.patience,
    sink: 0.85 * easing.sink,
    smoothing: easing.smoothing + 1,
  };
}

/** What easing did, said. */
export function easingNotes({ swing, patience, sink }: Easing): Note[] {
  const least = Math.min(...swing);
  if (least === 1) return [];
  return [
    {
      code: 'shot-eased',
      text:
        `A change of pace would need the feet to pull; swings are held back to ${least.toFixed(3)} of themselves, ` +
        `first and last steps take ${patience.toFixed(2)} times as long.`,
      values: { swing: least, patience, heights: sink },
    },
  ];
}
