import { errorOf } from '../internal/check.js';
import { factorise, findModes, type Modes, solveFactorised } from './modes.js';
import { ownPower, ownSinCos } from './own-math.js';
import type { StrandSpec } from './strand-part.js';

/**
 * A chain of rods in one plane, by each link's angle θ from plumb:
 *
 *     Σ A_ij [cos(θi − θj) (θj'' + α θj') + sin(θi − θj) θj'²] + C θ'
 *       + B_i [(g + b_h) sin θi + b_f cos θi] + joint torques = 0
 *
 * with b the carrier's acceleration, to which still air adds α times its velocity. Masses are parts of the
 * whole, so nothing depends on how heavy the strand is.
 */
export interface Chain {
  readonly links: number;
  readonly lengths: Float64Array;
  /** Second moments A_ij in m², by rows. */
  readonly second: Float64Array;
  /** First moments B_i in m. */
  readonly first: Float64Array;
  /** Stiffness of the joint above each link, in m²/s². */
  readonly joints: Float64Array;
  /** Angle from plumb at rest in rad, tip forward (or left) positive. */
  readonly rest: Float64Array;
  /** Torque of the joints at rest on each link, which holds the rest against standing weight. */
  readonly hold: Float64Array;
  readonly gravity: number;
  /** Drag against still air in 1/s. */
  readonly alpha: number;
  /** Damping against the parent, by rows, in m²/s. */
  readonly damping: Float64Array;
  /** β of that damping, C = β K; 0 where damped by the air. */
  readonly beta: number;
  readonly limit: number;
  /** Slowest swing about the rest under standing weight, in rad/s. */
  readonly omega: number;
}

const angle = new Float64Array(2);

// Of our own, so that live followers come out the same on every engine.
function sine(x: number): number {
  ownSinCos(x, angle);
  return angle[0];
}

function cosine(x: number): number {
  ownSinCos(x, angle);
  return angle[1];
}

/** Lengths, and mass moments of tapered rods with a mass at the tip. */
function moments(spec: StrandSpec): Pick<Chain, 'lengths' | 'second' | 'first'> & { masses: Float64Array } {
  const { links: n, length, taper, tipMass } = spec;
  const lengths = new Float64Array(n).fill(length / n);
  const raw = Float64Array.from({ length: n }, (_, i) => ownPower(taper, (i + 0.5) / n));
  const whole = raw.reduce((sum, m) => sum + m, 0);
  const masses = raw.map((m) => m / whole);
  const second = new Float64Array(n * n);
  const first = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let below = tipMass;
    for (let k = i + 1; k < n; k++) below += masses[k];
    first[i] = lengths[i] * (below + masses[i] / 2);
    second[i * n + i] = lengths[i] * lengths[i] * (below + masses[i] / 3);
    for (let j = 0; j < i; j++) {
      second[i * n + j] = lengths[j] * first[i];
      second[j * n + i] = second[i * n + j];
    }
  }
  return { lengths, second, first, masses };
}

/** Stiffness of joints and felt weight about angles, by rows, for gravity `down` and steady push `along`. */
export function stiffnessAt(
  chain: Pick<Chain, 'links' | 'first' | 'joints'>,
  angles: Float64Array,
  down: number,
  along: number,
): Float64Array {
  const { links: n, first, joints } = chain;
  const k = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    k[i * n + i] += joints[i] + first[i] * (down * cosine(angles[i]) - along * sine(angles[i]));
    if (i === 0) continue;
    k[(i - 1) * n + i - 1] += joints[i];
    k[i * n + i - 1] -= joints[i];
    k[(i - 1) * n + i] -= joints[i];
  }
  return k;
}

/** The mass matrix about angles, by rows. */
export function massAt(chain: Pick<Chain, 'links' | 'second'>, angles: Float64Array): Float64Array {
  const { links: n, second } = chain;
  return Float64Array.from(second, (a, at) => a * cosine(angles[Math.floor(at / n)] - angles[at % n]));
}

/** How many times the stiffness of the joints is sought; the search is a bracketed secant. */
const STIFFENINGS = 80;

function stiffen(
  where: string,
  spec: StrandSpec,
  base: Pick<Chain, 'links' | 'first' | 'second'>,
  rest: Float64Array,
  gravity: number,
): { joints: Float64Array; omega: number } {
  const { links: n, length, taper, frequencyHz } = spec;
  const mass = massAt(base, rest);
  // Bending stiffness goes with the square of the section, mass per length with the section.
  const shape = Float64Array.from({ length: n }, (_, i) => ownPower(taper, (2 * i) / n));
  const squareFor = (k: number): number => {
    const joints = shape.map((x) => k * x);
    return findModes(stiffnessAt({ ...base, joints }, rest, gravity, 0), mass, n).squares[0];
  };
  const slack = squareFor(0);
  const plumb = rest.every((x) => x === 0);
  const slowest = Math.sqrt(Math.max(0, slack));
  if (frequencyHz === undefined) {
    if (plumb && slack > 0) return { joints: new Float64Array(n), omega: slowest };
    const rule = plumb ? 'must be given where nothing weighs' : 'must be given where the rest is off plumb';
    throw errorOf(where, { field: 'part.frequencyHz', rule, got: 'undefined', kind: 'range' });
  }
  const target = 2 * Math.PI * frequencyHz * (2 * Math.PI * frequencyHz);
  if (plumb && Math.abs(target - slack) <= 1e-9 * slack)
    return { joints: new Float64Array(n), omega: slowest };
  if (target <= slack * (plumb ? 1 : 1 + 1e-6)) {
    const least = (slowest / (2 * Math.PI)).toPrecision(6);
    const rule = `must be ${plumb ? '>=' : '>'} ${least} Hz, the slack chain's own: a longer one is slower`;
    throw errorOf(where, { field: 'part.frequencyHz', rule, got: String(frequencyHz), kind: 'range' });
  }
  let low = 0;
  let high = target * length * length;
  while (squareFor(high) < target) high *= 4;
  for (let i = 0; i < STIFFENINGS && high - low > 1e-15 * high; i++) {
    const middle = (low + high) / 2;
    if (squareFor(middle) < target) low = middle;
    else high = middle;
  }
  return { joints: shape.map((x) => high * x), omega: 2 * Math.PI * frequencyHz };
}

/** Builds the chain of a strand in one plane. */
export function buildChain(
  where: string,
  spec: StrandSpec,
  plane: 'forward' | 'side',
  gravity: number,
): Chain {
  const n = spec.links;
  const { lengths, second, first } = moments(spec);
  const rest = spec.rest[plane];
  const base = { links: n, lengths, second, first };
  const { joints, omega } = stiffen(where, spec, base, rest, gravity);
  const beta = spec.air || omega === 0 ? 0 : (2 * spec.zeta) / omega;
  const stiffness = stiffnessAt({ ...base, joints }, rest, gravity, 0);
  const hold = Float64Array.from(rest, (x, i) => first[i] * gravity * sine(x));
  return {
    ...base,
    joints,
    rest,
    hold,
    gravity,
    alpha: spec.air ? 2 * spec.zeta * omega : 0,
    damping: stiffness.map((x) => beta * x),
    beta,
    limit: spec.limit,
    omega,
  };
}

/** Newton steps to the equilibrium in a head wind; each halves until it helps. */
const LEANS = 60;

/** Angles at which the chain hangs still in a steady push `along` (m/s²), standing weight included. */
export function leanIn(chain: Chain, along: number): Float64Array {
  const { links: n, first, joints, rest, hold, gravity } = chain;
  const angles = Float64Array.from(rest);
  if (along === 0) return angles;
  if (joints.every((k) => k === 0)) return angles.fill(Math.atan2(-along, gravity));
  const torque = (push: number): Float64Array => {
    const out = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      out[i] += first[i] * (gravity * sine(angles[i]) + push * cosine(angles[i])) - hold[i];
      const bend = angles[i] - rest[i] - (i > 0 ? angles[i - 1] - rest[i - 1] : 0);
      out[i] += joints[i] * bend;
      if (i > 0) out[i - 1] -= joints[i] * bend;
    }
    return out;
  };
  // The push grows in steps, so that each Newton search starts near its answer.
  for (let part = 1; part <= LEANS; part++) {
    const push = (along * part) / LEANS;
    for (let step = 0; step < 4; step++) {
      const rhs = torque(push);
      const k = stiffnessAt(chain, angles, gravity, push);
      if (!factorise(k, n)) break;
      solveFactorised(k, n, rhs);
      for (let i = 0; i < n; i++) angles[i] -= rhs[i];
    }
  }
  return angles;
}

/** A chain seen from where it hangs on average: its small swings and their damping. */
export interface Swing {
  readonly chain: Chain;
  /** Mean angles in rad. */
  readonly mean: Float64Array;
  readonly modes: Modes;
  /** Angular frequency and damping ratio of each mode. */
  readonly omegas: Float64Array;
  readonly zetas: Float64Array;
}

/** The small swings of a chain about where it hangs while travelling at `speed` (m/s) along its plane. */
export function swingOf(chain: Chain, speed: number): Swing {
  const push = chain.alpha * speed;
  const mean = leanIn(chain, push);
  const modes = findModes(stiffnessAt(chain, mean, chain.gravity, push), massAt(chain, mean), chain.links);
  const omegas = modes.squares.map((x) => Math.sqrt(Math.max(x, 1e-300)));
  const zetas = omegas.map((w) => (chain.beta * w) / 2 + chain.alpha / (2 * w));
  return { chain, mean, modes, omegas, zetas };
}
