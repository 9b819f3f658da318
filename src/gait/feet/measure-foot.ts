import { createSampler } from '../../curves/sampler.js';
import type { Side, Walk } from '../walk.js';
import type { FootSpace } from './foot-at.js';
import { BEND, FOOT_NUMBERS, FORWARD, type FootPath, HEIGHT, PITCH, SIDE } from './foot-path.js';
import { heelOf } from './foot-shape.js';
import type { FootTimes } from './foot-times.js';
import type { FootCurves, FootTrack } from './foot-tracks.js';

/** Points a stride at which the curves are measured; prime, so that they do not fall on frames. */
const LOOKS = 997;

/** What planted feet move and swinging ones stray, in m, measured on the curves themselves. */
export function measureFoot(
  curves: FootCurves,
  walk: Walk,
  side: Side,
  path: FootPath,
  times: FootTimes,
  space: FootSpace,
): FootTrack['error'] {
  const { height, forward, side: across, pitch, toeBend } = curves;
  const sampler = createSampler([forward, across, height, pitch, toeBend]);
  const now = new Float64Array(5);
  const exact = new Float64Array(FOOT_NUMBERS);
  const stance = walk.stance[side];
  const back = space === 'onTheSpot' ? walk.pace.speed : 0;
  const { heelToBall } = path.shape;
  const { flat, lift, next } = times.timing;
  let slip = 0;
  let stray = 0;
  for (let i = 0; i < LOOKS; i++) {
    const since = ((i + 0.5) / LOOKS) * next;
    const t = times.land + since;
    sampler.sample(t, now);
    const place = {
      forward: now[0] + back * t - stance.forward,
      side: now[1],
      height: now[2],
      pitch: now[3],
      toeBend: now[4],
    };
    path.write(since, exact);
    const off = Math.hypot(
      place.forward - exact[FORWARD],
      place.side - exact[SIDE],
      place.height - exact[HEIGHT],
    );
    if (since <= flat) {
      const heel = heelOf(place, path.shape);
      slip = Math.max(slip, Math.hypot(heel.forward, heel.side - stance.side, heel.height));
    } else if (since <= lift) {
      slip = Math.max(slip, off);
    } else {
      const turned = Math.max(Math.abs(place.pitch - exact[PITCH]), Math.abs(place.toeBend - exact[BEND]));
      stray = Math.max(stray, off, turned * heelToBall);
    }
  }
  return { slip, path: stray };
}
