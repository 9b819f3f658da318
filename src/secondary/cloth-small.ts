import type { Series } from '../curves/series.js';
import type { Swing } from './chain.js';
import { solveKrylov } from './gmres.js';
import { type Balance, prepareBalance } from './harmonic-balance.js';
import type { PlaneDrive } from './strand-drive.js';

/** The loop of a cloth in one plane, strand by strand and link by link, in rad about each link's mean. */
export interface ClothLoop {
  readonly strands: readonly (readonly Series[])[];
  /** What the equations leave over, as a part of the drive. */
  readonly residual: number;
}

const TOLERANCE = 3e-13;
const STEPS = 300;
/** Harmonics kept beyond the drive's own to begin with, and at most in all. */
const BEYOND = 14;
const MOST = 90;
/** A tail below this is rounding for every purpose here. */
const TAIL = 1e-10;

/**
 * The periodic small swing of strands coupled side to side: the harmonic balance of each, with a pull on every
 * link of `coupling` (1/s²) times the bends of its neighbours less its own. One GMRES solve takes them all,
 * each strand's own answer divided out.
 */
export function solveCloth(
  swings: readonly Swing[],
  drive: PlaneDrive,
  coupling: number,
  ring: boolean,
): ClothLoop {
  for (let top = drive.top + BEYOND; ; top = Math.ceil(1.5 * top)) {
    const { tail, ...loop } = solveWith(swings, drive, coupling, ring, top);
    if (tail <= TAIL || 1.5 * top > MOST) return loop;
  }
}

function solveWith(
  swings: readonly Swing[],
  drive: PlaneDrive,
  coupling: number,
  ring: boolean,
  top: number,
): ClothLoop & { readonly tail: number } {
  const count = swings.length;
  // Strands with the same chain share what is prepared for it.
  const known = new Map<Swing, Balance>();
  const balances = swings.map((swing) => {
    const balance = known.get(swing) ?? prepareBalance(swing, drive, top, 2 * coupling);
    known.set(swing, balance);
    return balance;
  });
  const { size } = balances[0];
  const n = swings[0].chain.links;
  const links = swings.map(() => new Float64Array(size));
  const pull = new Float64Array(size);
  const at = (x: Float64Array, s: number): Float64Array => x.subarray(s * size, (s + 1) * size);
  const beside = (s: number): readonly number[] =>
    ring
      ? [(s + count - 1) % count, (s + 1) % count]
      : [s - 1, s + 1].filter((other) => other >= 0 && other < count);
  const neighbours = swings.map((_, s) => beside(s));
  /** Pull on strand `s`, but for twice its own bend, which is divided out; a missing neighbour gives one back. */
  const setPull = (s: number, bends: readonly Float64Array[]): void => {
    const others = neighbours[s];
    for (let i = 0; i < size; i++) {
      let sum = (2 - others.length) * bends[s][i];
      for (const other of others) sum += bends[other][i];
      pull[i] = coupling * sum;
    }
  };
  const b = new Float64Array(count * size);
  // Where they hang on average they differ: a steady pull.
  const leans = swings.map(({ chain, mean }) => {
    const lean = new Float64Array(size);
    for (let i = 0; i < n; i++) lean[i] = mean[i] - chain.rest[i];
    return lean;
  });
  for (let s = 0; s < count; s++) {
    const own = at(b, s);
    balances[s].setDriven(own);
    setPull(s, leans);
    for (let i = 0; i < n; i++) pull[i] -= 2 * coupling * leans[s][i];
    balances[s].addPushed(pull, own);
  }
  if (b.every((x) => x === 0)) return readAll(balances, b, size, 0);
  const minus = new Float64Array(size);
  const apply = (x: Float64Array, out: Float64Array): void => {
    for (let s = 0; s < count; s++) balances[s].readLinks(at(x, s), links[s]);
    for (let s = 0; s < count; s++) {
      const own = at(out, s);
      balances[s].respond(at(x, s), own);
      setPull(s, links);
      minus.fill(0);
      balances[s].addPushed(pull, minus);
      for (let i = 0; i < size; i++) own[i] += x[s * size + i] - minus[i];
    }
  };
  const { x, residual } = solveKrylov(apply, b, TOLERANCE, STEPS);
  return readAll(balances, x, size, residual);
}

function readAll(
  balances: readonly Balance[],
  x: Float64Array,
  size: number,
  residual: number,
): ClothLoop & { readonly tail: number } {
  const loops = balances.map((balance, s) => balance.readLoop(x.subarray(s * size, (s + 1) * size)));
  const tail = loops.reduce((most, loop) => Math.max(most, loop.tail), 0);
  return { strands: loops.map((loop) => loop.links), residual, tail };
}
