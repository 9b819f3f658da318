import { planWalk } from '../plan-walk.js';
import { snapToFrames } from '../snap-to-frames.js';
import type { Walk, WalkSpec } from '../walk.js';
import type { ShotStretch, StretchedSpec } from './shot-spec.js';

/**
 * Turns as wide as this many leg lengths and wider are taken at full speed; tighter ones at a speed that goes
 * with the cube root of the radius, as walkers' does along curves (Vieilledent, Kerlirzin, Dalbera & Berthoz
 * 2001; Hicheur, Vieilledent, Richardson, Flash & Berthoz 2005). The width itself: by eye.
 */
const WIDE = 2.5;

/** The walk that each stretch asks for, before anything is fitted. */
export function stretchWalks(spec: StretchedSpec): Walk[] {
  const { wholeFrames } = spec;
  const walks = freeWalks(spec);
  return wholeFrames ? walks.map((walk) => snapToFrames(walk, { fps: wholeFrames.fps })) : walks;
}

function freeWalks(spec: StretchedSpec): Walk[] {
  const { body, gravity, carry, firstFoot } = spec;
  let pace: WalkSpec['pace'] = 'ordinary';
  return spec.stretches.map((stretch) => {
    pace = stretch.pace ?? pace;
    const walk = planWalk({ ...dialsOf(stretch), pace, body, gravity, carry, firstFoot });
    if (stretch.stairs) {
      const strideLength = 2 * stretch.stairs.tread;
      return planWalk({ ...walk.spec, pace: { strideLength, strideRate: walk.pace.strideRate } });
    }
    const slower = stretch.pace === undefined ? slowdown(stretch, walk) : 1;
    return slower === 1 ? walk : planWalk({ ...walk.spec, pace: { speed: slower * walk.pace.speed } });
  });
}

function dialsOf(stretch: ShotStretch): Partial<WalkSpec> {
  const {
    distance: _d,
    duration: _t,
    steps: _n,
    turn: _r,
    slope: _s,
    stairs: _u,
    pace: _p,
    ...dials
  } = stretch;
  return dials;
}

/** By what factor a turn is taken slower than straight on. */
function slowdown(stretch: ShotStretch, walk: Walk): number {
  const { turn, distance, duration, steps } = stretch;
  if (!turn) return 1;
  const { speed, stepLength } = walk.pace;
  const length = distance ?? (duration === undefined ? (steps ?? 0) * stepLength : duration * speed);
  const radius = Math.abs(turn.radius ?? length / (turn.by || 1e-9));
  return Math.min(1, Math.cbrt(radius / (WIDE * walk.body.legLength)));
}
