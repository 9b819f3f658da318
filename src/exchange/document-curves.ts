import type { Curve } from '../curves/curve.js';
import type { MotionDocument } from './document.js';

const CHANNELS = ['height', 'forward', 'side'] as const;
const FOOT = [...CHANNELS, 'pitch', 'toeBend'] as const;
const TURN = ['heading', 'roll', 'pitch'] as const;

/** Every curve of a document, by the path of its field. */
export function documentCurves({ root, feet, turns, followers }: MotionDocument): [string, Curve][] {
  const curves: [string, Curve | undefined][] = [
    ...CHANNELS.map((name): [string, Curve] => [`root.${name}`, root[name]]),
    ['root.heading', root.heading],
    ...(['left', 'right'] as const).flatMap((side): [string, Curve | undefined][] => [
      ...FOOT.map((name): [string, Curve] => [`feet.${side}.${name}`, feet[side][name]]),
      [`feet.${side}.heading`, feet[side].heading],
    ]),
    ...(turns
      ? [
          ...(['pelvis', 'chest', 'head'] as const).flatMap((part) =>
            TURN.map((name): [string, Curve] => [`turns.${part}.${name}`, turns[part][name]]),
          ),
          ...(['left', 'right'] as const).flatMap((side) =>
            (['pitch', 'elbow'] as const).map((name): [string, Curve] => [
              `turns.arms.${side}.${name}`,
              turns.arms[side][name],
            ]),
          ),
        ]
      : []),
    ...followers.map(({ curve }, i): [string, Curve] => [`followers[${i}].curve`, curve]),
  ];
  return curves.filter((entry): entry is [string, Curve] => entry[1] !== undefined);
}
