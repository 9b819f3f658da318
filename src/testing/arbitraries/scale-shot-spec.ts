import type { ChosenContact, ShotSpec, ShotStretch } from '../../gait/shot/shot-spec.js';

/** The same shot of an adult, for a body of another size under another gravity: lengths and times in proportion. */
export function scaleShotSpec(spec: ShotSpec, size: number, weight: number): ShotSpec {
  const slower = Math.sqrt(size / weight);
  const { still, stretches, contacts, wholeFrames, ...rest } = spec;
  return {
    ...rest,
    body: { legLength: 0.9 * size },
    gravity: 9.80665 * weight,
    ...(still ? { still: scaleAll(still, slower) } : {}),
    ...(wholeFrames ? { wholeFrames: { fps: wholeFrames.fps / slower } } : {}),
    ...(stretches ? { stretches: stretches.map((stretch) => scaleStretch(stretch, size, slower)) } : {}),
    ...(contacts ? { contacts: contacts.map((contact) => scaleContact(contact, size, slower)) } : {}),
  };
}

function scaleAll<T extends { readonly [K in keyof T]?: number }>(values: T, by: number): T {
  return Object.fromEntries(
    Object.entries(values).map(([name, value]) => [name, (value as number) * by]),
  ) as unknown as T;
}

function scaleStretch(stretch: ShotStretch, size: number, slower: number): ShotStretch {
  const { pace, distance, duration, turn, stairs, stepWidth, ...rest } = stretch;
  const speed = typeof pace === 'object' ? pace.speed : undefined;
  return {
    ...rest,
    ...(pace === undefined ? {} : { pace: speed === undefined ? pace : { speed: (speed * size) / slower } }),
    ...(distance === undefined ? {} : { distance: distance * size }),
    ...(duration === undefined ? {} : { duration: duration * slower }),
    ...(turn ? { turn: turn.radius === undefined ? turn : { radius: turn.radius * size } } : {}),
    ...(stairs ? { stairs: scaleAll(stairs, size) } : {}),
    ...(stepWidth === undefined ? {} : { stepWidth: stepWidth * size }),
  };
}

function scaleContact(
  { plant, land, lift, foot }: ChosenContact,
  size: number,
  slower: number,
): ChosenContact {
  const { forward, side, height, ...angles } = plant;
  return {
    foot,
    land: land * slower,
    ...(lift === undefined ? {} : { lift: lift * slower }),
    plant: {
      forward: forward * size,
      side: side * size,
      ...(height === undefined ? {} : { height: height * size }),
      ...angles,
    },
  };
}
