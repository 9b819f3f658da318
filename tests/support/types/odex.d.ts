// The package ships its source in place of types, and that does not pass our compiler's settings.

/** Extrapolation solver of Hairer & Wanner for y' = f(t, y); only what our tests call. */
export class Solver {
  constructor(dimension: number);
  absoluteTolerance: number;
  relativeTolerance: number;
  maxSteps: number;
  solve(
    f: (t: number, y: number[]) => number[],
    from: number,
    state: number[],
    to: number,
  ): { readonly y: number[]; readonly outcome: number };
}
