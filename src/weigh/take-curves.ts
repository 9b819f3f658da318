import type { Tracked } from '../curves/curve.js';
import { requireArray, requireRecord, show } from '../internal/check.js';
import { refuse } from './refuse.js';
import type { WeighedCurves, WeighedFoot } from './weighed.js';

/** Curves as every check reads them: nothing but paths, feet in a list. */
export interface TakenCurves extends Omit<WeighedCurves, 'feet'> {
  readonly feet?: readonly WeighedFoot[];
}

const CHANNELS = ['height', 'forward', 'side'] as const;

/** What `keyRoot` and `keyMotion` return beside the paths: of no weight. */
const BESIDE = [
  'heading',
  'of',
  'fps',
  'frames',
  'error',
  'headingError',
  'met',
  'notes',
  'walk',
  'shot',
  'run',
];

/** Reads what is given to be weighed: paths, or what `keyRoot` returns as a whole. */
export function takeCurves(where: string, curves: WeighedCurves, of: Tracked): TakenCurves {
  const given = requireRecord(where, 'curves', curves, [...CHANNELS, 'feet', ...BESIDE]);
  const known = [given, ...CHANNELS.map((channel) => given[channel])];
  known.forEach((part, i) => {
    const own = (part as { readonly of?: unknown } | null | undefined)?.of;
    const field = i > 0 ? `${CHANNELS[i - 1]}.of` : 'curves.of';
    if (own !== undefined && own !== of)
      refuse(where, field, `must be what of says, ${JSON.stringify(of)}`, show(own));
  });
  const { height, forward, side, feet } = curves;
  return {
    height,
    ...(forward === undefined ? {} : { forward }),
    ...(side === undefined ? {} : { side }),
    ...(feet === undefined ? {} : { feet: listFeet(where, feet) }),
  };
}

function listFeet(where: string, feet: NonNullable<WeighedCurves['feet']>): readonly WeighedFoot[] {
  if (!isPair(feet)) return requireArray(where, 'feet', feet) as readonly WeighedFoot[];
  requireRecord(where, 'feet', feet, ['left', 'right', 'space', 'onFrames', 'fps', 'walk', 'shot']);
  return [feet.left, feet.right];
}

/** Feet in the form in which others were given. */
export function feetLike(
  feet: readonly WeighedFoot[],
  form: NonNullable<WeighedCurves['feet']>,
): NonNullable<WeighedCurves['feet']> {
  return isPair(form) ? { left: feet[0], right: feet[1] } : feet;
}

function isPair(
  feet: NonNullable<WeighedCurves['feet']>,
): feet is Exclude<typeof feet, readonly WeighedFoot[]> {
  return typeof feet === 'object' && feet !== null && !Array.isArray(feet);
}
