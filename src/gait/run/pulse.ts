import { integratePowers, type PartedPath, type PathPart, powersAt } from './parted-path.js';

/**
 * Powers of the load over a contact, in BW, u the elapsed fraction: 6 u(1−u) and 30 u²(1−u)², both of mean 1, mixed
 * so that the peak in the middle is `peakOverMean` times the mean. Never negative from 1.406 to 1.875, 0 at both ends.
 */
export function pulsePowers(mean: number, peakOverMean: number): number[] {
  const a = (peakOverMean - 1.5) / 0.375;
  const [parabola, bell] = [6 * (1 - a) * mean, 30 * a * mean];
  return [0, parabola, bell - parabola, -2 * bell, bell];
}

/** What a step's paths are made of. */
export interface StepForces {
  /** Load over the contact in BW, as powers of the elapsed fraction. */
  readonly load: readonly number[];
  /** Fore-aft force over the load as the foot leaves; as much against the motion as it lands. */
  readonly push: number;
  /** Sideways over vertical force. */
  readonly inwards: number;
  /** Contact and flight in s. */
  readonly contact: number;
  readonly flight: number;
  readonly gravity: number;
  readonly stepLength: number;
}

/** Fore-aft force over a contact, in BW: against the motion, then along it, as much of the one as of the other. */
export function pushPowers({ load, push }: StepForces): number[] {
  return [
    ...load.map((c, i) => push * (2 * (i > 0 ? load[i - 1] : 0) - c)),
    2 * push * load[load.length - 1],
  ];
}

/** Powers of the way that a force in BW leads to over `span` s, from rest. */
function wayOf(force: readonly number[], gravity: number, span: number): number[] {
  return integratePowers(integratePowers(force)).map((c) => c * gravity * span * span);
}

/** Adds place and velocity at the beginning of a span to what is covered in it. */
function from(place: number, velocity: number, span: number, way: readonly number[]): number[] {
  return [place, velocity * span, ...way.slice(2)];
}

/** Height over one step from the height at which the foot lands, contact then flight, in powers. */
export function heightPowers(forces: StepForces): readonly [contact: number[], flight: number[]] {
  const { load, contact, flight, gravity } = forces;
  const fall = [...load];
  fall[0] -= 1;
  const takeOff = (gravity * flight) / 2;
  return [
    from(0, -takeOff, contact, wayOf(fall, gravity, contact)),
    from(0, takeOff, flight, [0, 0, (-gravity * flight * flight) / 2]),
  ];
}

/** Way forwards over one step from where the foot lands. */
export function forwardPowers(forces: StepForces): readonly [contact: number[], flight: number[]] {
  const { contact, flight, gravity, stepLength } = forces;
  const way = wayOf(pushPowers(forces), gravity, contact);
  const held = powersAt(way, 1);
  // Landing and leaving are equally fast, for as much is pushed as braked.
  const velocity = (stepLength - held) / (contact + flight);
  const lift = velocity * contact + held;
  return [from(0, velocity, contact, way), from(lift, velocity, flight, [0, 0])];
}

/** Sway over one step on the right foot, such that the next step, on the left one, is its mirror image. */
export function sidePowers(forces: StepForces): readonly [contact: number[], flight: number[]] {
  const { load, inwards, contact, flight, gravity } = forces;
  const force = load.map((c) => c * inwards);
  const way = wayOf(force, gravity, contact);
  const gained = powersAt(integratePowers(force), 1) * gravity * contact;
  const velocity = -gained / 2;
  const covered = velocity * contact + powersAt(way, 1) + (velocity + gained) * flight;
  const place = -covered / 2;
  const lift = place + velocity * contact + powersAt(way, 1);
  return [from(place, velocity, contact, way), from(lift, velocity + gained, flight, [0, 0])];
}

/**
 * Two steps as one period of four parts: contact, flight, contact, flight.
 *
 * @param step - one step's powers, over contact and flight
 * @param raise - what the second step is raised by, for a path that travels
 * @param sign - −1 where the second step is the first turned over
 */
export function twoSteps(
  step: readonly [contact: readonly number[], flight: readonly number[]],
  { contact, flight }: StepForces,
  raise = 0,
  sign: 1 | -1 = 1,
): PartedPath {
  const time = contact + flight;
  const second = (powers: readonly number[]): number[] =>
    powers.map((c, i) => sign * c + (i === 0 ? raise : 0) + 0);
  const parts: PathPart[] = [
    { start: 0, span: contact, powers: step[0] },
    { start: contact, span: flight, powers: step[1] },
    { start: time, span: contact, powers: second(step[0]) },
    { start: time + contact, span: flight, powers: second(step[1]) },
  ];
  return { period: 2 * time, gain: 2 * raise, parts };
}
