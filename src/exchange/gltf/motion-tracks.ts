import type { Curve } from '../../curves/curve.js';
import type { Side } from '../../gait/walk.js';
import type { MotionDocument } from '../document.js';
import { type Figure, type FigurePose, makeFigure } from '../figure/pose-figure.js';
import { minus, multiply, type Turn, turned, turnLimb, turnOf, turnWithin } from '../figure/turns.js';
import { partTracks } from './part-tracks.js';
import { type NodeTrack, TrackMaker, type TrackTolerance } from './track-maker.js';
import { turnCurves } from './turn-curves.js';

/** Every animated property of the preview, by node. */
export function motionTracks(
  document: MotionDocument,
  spot: boolean,
  tolerance: TrackTolerance,
): { readonly tracks: readonly NodeTrack[]; readonly figure: Figure } {
  const figure = makeFigure(document);
  const make = new TrackMaker(document, spot, tolerance);
  const { root, feet } = document;
  make.place('Root', root);
  if (root.heading) make.turn('Root', root.heading, 1, 1);
  bodyTracks(make, document, figure);
  for (const side of ['left', 'right'] as const) {
    const name = side === 'left' ? 'Left' : 'Right';
    const { pitch, heading, toeBend } = feet[side];
    make.place(`${name}Foot`, feet[side]);
    if (heading) {
      make.rotation(`${name}Foot`, [pitch, heading], (time) => {
        const foot = figure.at(time, false).legs[side];
        return turnOf(foot.heading, 0, foot.pitch);
      });
    } else make.turn(`${name}Foot`, pitch, 0, 1);
    make.turn(`${name}Toes`, toeBend, 0, -1);
    limbTracks(make, document, figure, side);
  }
  partTracks(make, document, figure);
  return { tracks: make.tracks, figure };
}

/** Each part of the trunk within the one that it stands on. */
function bodyTracks(make: TrackMaker, document: MotionDocument, figure: Figure): void {
  if (!document.turns) return;
  const { pelvis, chest, head } = document.turns;
  const of = ({ heading, roll, pitch }: typeof pelvis): Curve[] => [heading, roll, pitch];
  const at = (time: number) => figure.at(time, false).turns;
  make.rotation('Pelvis', of(pelvis), (time) => turnWithin(at(time).heading, at(time).pelvis));
  make.rotation('Chest', [...of(pelvis), ...of(chest)], (time) =>
    turnWithin(at(time).pelvis, at(time).chest),
  );
  make.rotation('Head', [...of(chest), ...of(head)], (time) => turnWithin(at(time).chest, at(time).head));
}

const LIMBS = ['Thigh', 'Shin', 'UpperArm', 'LowerArm'] as const;

function limbTracks(make: TrackMaker, document: MotionDocument, figure: Figure, side: Side): void {
  const { root, feet, turns } = document;
  const foot = feet[side];
  const legs = [root.height, root.forward, root.side, foot.height, foot.forward, foot.side, foot.pitch];
  const arms = turns ? [turns.arms[side].pitch, turns.arms[side].elbow] : legs;
  for (const limb of LIMBS) {
    const own = limb.endsWith('Arm') ? arms : legs;
    const curves = [...own, ...turnCurves(document), ...(foot.heading ? [foot.heading] : [])];
    const name = `${side === 'left' ? 'Left' : 'Right'}${limb}`;
    make.rotation(name, curves, (time) => limbTurn(figure.at(time, false), side, limb));
  }
}

/** A limb's turn within what it hangs from. */
function limbTurn(pose: FigurePose, side: Side, limb: (typeof LIMBS)[number]): Turn {
  const { heading, pelvis, chest } = pose.turns;
  const { hip, knee, ankle } = pose.legs[side];
  const { shoulder, elbow, hand } = pose.arms[side];
  const back = turnWithin(heading, [0, 0, 0, 1]);
  // Laid along the limb as seen by the character, so that its left side stays on the left whichever way it walks.
  const lay = (from: typeof hip, to: typeof hip): Turn =>
    multiply(heading, turnLimb([0, 0, 0], turned(back, minus(to, from))));
  switch (limb) {
    case 'Thigh':
      return turnWithin(pelvis, lay(hip, knee));
    case 'Shin':
      return turnWithin(lay(hip, knee), lay(knee, ankle));
    case 'UpperArm':
      return turnWithin(chest, lay(shoulder, elbow));
    case 'LowerArm':
      return turnWithin(lay(shoulder, elbow), lay(elbow, hand));
  }
}
