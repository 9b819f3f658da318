import { createSampler } from '../../curves/sampler.js';
import { heelOf, toeOf } from '../../gait/feet/foot-shape.js';
import type { Side } from '../../gait/walk.js';
import type { DocumentFoot, MotionDocument } from '../document.js';
import type { FigureShape } from './figure-shape.js';
import { plus, type Triple, type Turn, turned, turnOf, UNTURNED } from './turns.js';

/** A foot at one time. */
export interface FootPose {
  readonly heel: Triple;
  readonly ball: Triple;
  readonly toe: Triple;
  readonly ankle: Triple;
  /** Pitch of the foot, positive with the front down, and bend of the toes, positive up, in rad. */
  readonly pitch: number;
  readonly toeBend: number;
  /** Direction in which it points, in rad. */
  readonly heading: number;
}

/** How a body's parts are turned in the world, and where its arms are asked to be. */
export interface BodyTurns {
  /** Of the direction of travel. */
  readonly heading: Turn;
  readonly pelvis: Turn;
  readonly chest: Turn;
  readonly head: Turn;
  /** Pitch from hanging and bend of the elbow in rad, where the document has them. */
  readonly arms?: Readonly<Record<Side, { readonly pitch: number; readonly elbow: number }>>;
}

/** Reads a document's turns at a time in s. */
export function turnReader({ root, turns }: MotionDocument): (time: number) => BodyTurns {
  const heading = root.heading && createSampler(root.heading);
  const out = new Float64Array(13);
  const headingAt = (time: number): number => {
    if (!heading) return 0;
    heading.sample(time, out);
    return out[0];
  };
  if (!turns) {
    return (time) => {
      const turn = heading ? turnOf(headingAt(time), 0, 0) : UNTURNED;
      return { heading: turn, pelvis: turn, chest: turn, head: turn };
    };
  }
  const { pelvis, chest, head, arms } = turns;
  const sampler = createSampler([
    ...[pelvis, chest, head].flatMap((part) => [part.heading, part.roll, part.pitch]),
    ...[arms.left, arms.right].flatMap(({ pitch, elbow }) => [pitch, elbow]),
  ]);
  return (time) => {
    const way = headingAt(time);
    sampler.sample(time, out);
    const part = (i: number): Turn => turnOf(way + out[i], out[i + 1], out[i + 2]);
    return {
      heading: turnOf(way, 0, 0),
      pelvis: part(0),
      chest: part(3),
      head: part(6),
      arms: { left: { pitch: out[9], elbow: out[10] }, right: { pitch: out[11], elbow: out[12] } },
    };
  };
}

/** Reads a foot at a time in s. */
export function footReader(
  foot: DocumentFoot,
): (time: number, shape: Pick<FigureShape, 'ankleHeight' | 'ankleForward'>) => FootPose {
  const { forward, height, side, pitch, toeBend, heading, shape: sole } = foot;
  const curves = [forward, height, side, pitch, toeBend];
  const sampler = createSampler(heading ? [...curves, heading] : curves);
  const out = new Float64Array(6);
  return (time, shape) => {
    sampler.sample(time, out);
    const ball: Triple = [out[0], out[1], out[2]];
    const way = turnOf(out[5], 0, 0);
    // In the foot's own upright plane, from its ball.
    const place = { forward: 0, height: 0, side: 0, pitch: out[3], toeBend: out[4] };
    const [heel, toe] = [heelOf(place, sole), toeOf(place, sole)];
    const [c, s] = [Math.cos(out[3]), Math.sin(out[3])];
    const from = (ahead: number, up: number): Triple => plus(ball, turned(way, [ahead, up, 0]));
    return {
      heel: from(heel.forward, heel.height),
      toe: from(toe.forward, toe.height),
      ball,
      ankle: from(
        heel.forward + shape.ankleForward * c + shape.ankleHeight * s,
        heel.height - shape.ankleForward * s + shape.ankleHeight * c,
      ),
      pitch: out[3],
      toeBend: out[4],
      heading: out[5],
    };
  };
}
