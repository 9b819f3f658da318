import { bodyProblems, resolveBody, STANDARD_GRAVITY } from '../gait/body.js';
import { planWalk } from '../gait/plan-walk.js';
import type { Walk } from '../gait/walk.js';
import {
  numberProblem,
  refuseAny,
  requireArray,
  requireChoice,
  requireNumber,
  requireRecord,
  show,
} from '../internal/check.js';
import { readPath } from './read-path.js';
import { refuse } from './refuse.js';
import { takeCurves } from './take-curves.js';
import type { ReadPath, Weighed, WeighedCurves, WeighedFoot, WeighOptions } from './weighed.js';

const OPTIONS = ['of', 'fps', 'body', 'gravity', 'gait', 'loops', 'steps', 'stepLength', 'landings'];

/** Fewest grid times in all and between frames. */
const GRID = { all: 480, frame: 8, most: 100_000 } as const;

/** Reads curves and options at the public boundary into what every check reads. */
export function setScale(where: string, given: WeighedCurves, options: WeighOptions): Weighed {
  requireRecord(where, 'options', options, OPTIONS);
  const of = requireChoice(where, 'of', options.of, ['centreOfMass', 'root']);
  const curves = takeCurves(where, given, of);
  const fps = requireNumber(where, 'fps', options.fps, { above: 0, max: 100_000, unit: 'Hz' });
  const { gravity = STANDARD_GRAVITY, gait = 'walk', steps = 2, stepLength } = options;
  refuseAny(where, [
    ...bodyProblems(options.body),
    numberProblem('gravity', gravity, { above: 0, unit: 'm/s²' }),
    numberProblem('steps', steps, { min: 1, max: 64, whole: true }),
    stepLength === undefined ? undefined : numberProblem('stepLength', stepLength, { above: 0, unit: 'm' }),
    options.loops === undefined || typeof options.loops === 'boolean'
      ? undefined
      : { field: 'loops', rule: 'must be true or false', got: show(options.loops), kind: 'type' },
  ]);
  requireChoice(where, 'gait', gait, ['walk', 'sneak', 'limp']);
  const height = readPath(where, 'height', curves.height);
  const forward = curves.forward && readPath(where, 'forward', curves.forward);
  const side = curves.side && readPath(where, 'side', curves.side);
  const { start, duration } = height;
  if (!(duration > 0)) refuse(where, 'height', 'must last longer than 0 s', `${duration} s`);
  const loops = options.loops ?? height.cyclic;
  const feet = readFeet(where, curves.feet);
  const landings = readLandings(where, options.landings, feet, start, duration, loops);
  const body = resolveBody(options.body);
  const stepTime = loops ? duration / steps : stepTimeOf(landings, duration);
  const speed = forward ? speedOf({ forward, side }, loops ? [] : landings, start, duration) : 0;
  const model = modelOf(
    stepTime,
    forward && speed > 0 ? speed * stepTime : stepLength,
    options.body,
    gravity,
  );
  const rise = of === 'root' ? model.root.rise : 1;
  const count = Math.min(GRID.most, Math.max(GRID.all, Math.ceil(duration * fps * GRID.frame)));
  const grid = {
    time: Float64Array.from({ length: count }, (_, i) => start + ((i + 0.5) / count) * duration),
    height: new Float64Array(count),
    load: new Float64Array(count),
    speed: forward ? new Float64Array(count) : undefined,
  };
  const jet = new Float64Array(3);
  for (let i = 0; i < count; i++) {
    height.jet(grid.time[i], jet);
    grid.height[i] = jet[0];
    grid.load[i] = 1 + jet[2] / (gravity * rise);
    if (!forward || !grid.speed) continue;
    forward.jet(grid.time[i], jet);
    grid.speed[i] = jet[1];
  }
  return {
    paths: { height, forward, side },
    feet,
    start,
    duration,
    loops,
    fps,
    gravity,
    body,
    gait,
    steps,
    stepTime,
    stepLength: model.pace.stepLength,
    speed: model.pace.speed,
    rise,
    landings,
    model,
    grid,
    // Never −0, which prints and compares as another number.
    frameOf: (t) => Math.round(t * fps) + 0,
  };
}

function readFeet(where: string, feet: unknown): readonly WeighedFoot[] {
  if (feet === undefined) return [];
  return requireArray(where, 'feet', feet).map((foot, i) => {
    const { foot: side, contacts } = requireRecord(where, `feet[${i}]`, foot);
    requireChoice(where, `feet[${i}].foot`, side, ['left', 'right']);
    requireArray(where, `feet[${i}].contacts`, contacts).forEach((contact, k) => {
      const at = `feet[${i}].contacts[${k}]`;
      const { land, lift } = requireRecord(where, at, contact);
      requireNumber(where, `${at}.land`, land, { unit: 's' });
      requireNumber(where, `${at}.lift`, lift, { above: land as number, unit: 's' });
    });
    const { forward, side: across } = foot as WeighedFoot;
    readPath(where, `feet[${i}].forward`, forward);
    if (across) readPath(where, `feet[${i}].side`, across);
    return foot as WeighedFoot;
  });
}

function readLandings(
  where: string,
  given: unknown,
  feet: readonly WeighedFoot[],
  start: number,
  duration: number,
  loops: boolean,
): number[] {
  const all =
    given === undefined
      ? feet.flatMap(({ contacts }) => contacts.map(({ land }) => land))
      : (requireArray(where, 'landings', given) as number[]);
  all.forEach((land, i) => {
    requireNumber(where, `landings[${i}]`, land, { unit: 's' });
  });
  const wrap = (t: number): number => {
    const turn = (t - start) / duration;
    const part = turn - Math.floor(turn + 1e-9);
    return start + Math.max(0, part) * duration;
  };
  const inside = loops ? all.map(wrap) : all;
  return inside.sort((a, b) => a - b).filter((t, i, list) => i === 0 || t - list[i - 1] > 1e-6 * duration);
}

function stepTimeOf(landings: readonly number[], duration: number): number {
  if (landings.length < 2) return duration;
  return (landings[landings.length - 1] - landings[0]) / (landings.length - 1);
}

/**
 * Mean speed in m/s: of what does not repeat, from landing to landing as seen from above, so that a turn is
 * not cut short and standing before and after does not count; else of the whole, along the way.
 */
function speedOf(
  { forward, side }: { readonly forward: ReadPath; readonly side?: ReadPath },
  landings: readonly number[],
  start: number,
  duration: number,
): number {
  const last = landings.length - 1;
  if (last < 2) return Math.abs(travelOf(forward, start, duration)) / duration;
  let way = 0;
  for (let i = 1; i <= last; i++) {
    const [from, to] = [landings[i - 1], landings[i]];
    way += Math.hypot(changeOf(forward, from, to), side ? changeOf(side, from, to) : 0);
  }
  return way / (landings[last] - landings[0]);
}

function changeOf(path: ReadPath, from: number, to: number): number {
  const jet = new Float64Array(3);
  path.jet(from, jet);
  const before = jet[0];
  path.jet(to, jet);
  return jet[0] - before;
}

function travelOf(path: ReadPath, start: number, duration: number): number {
  return path.cyclic ? path.gain : changeOf(path, start, start + duration);
}

function modelOf(
  stepTime: number,
  stepLength: number | undefined,
  body: WeighOptions['body'],
  gravity: number,
): Walk {
  const strideRate = 1 / (2 * stepTime);
  const pace = stepLength === undefined ? { strideRate } : { strideRate, strideLength: 2 * stepLength };
  return planWalk({ pace, body, gravity });
}
