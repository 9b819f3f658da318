import { Solver } from 'odex';

/** The state at `to` of y' = f(t, y), by extrapolation (Hairer & Wanner's ODEX) at a tolerance of 1e-13. */
export function solveOde(
  f: (t: number, y: number[]) => number[],
  from: number,
  state: readonly number[],
  to: number,
): number[] {
  const solver = new Solver(state.length);
  solver.absoluteTolerance = 1e-14;
  solver.relativeTolerance = 1e-13;
  solver.maxSteps = 1e6;
  const done = solver.solve(f, from, [...state], to);
  if (done.outcome !== 0) throw new Error(`odex stopped with outcome ${done.outcome}`);
  return done.y;
}
