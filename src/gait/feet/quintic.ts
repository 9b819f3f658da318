/** A value with its first and second derivative. */
export type Jet3 = readonly [value: number, slope: number, bend: number];

/** A polynomial of fifth degree over a span: its coefficients in powers of the elapsed fraction. */
export interface Quintic {
  readonly span: number;
  readonly powers: readonly number[];
}

/** The polynomial of fifth degree that has one jet at its beginning and another `span` later. */
export function joinJets(from: Jet3, to: Jet3, span: number): Quintic {
  const [f, d, c] = [from[0], from[1] * span, (from[2] * span * span) / 2];
  const left = to[0] - f - d - c;
  const slope = to[1] * span - d - 2 * c;
  const bend = to[2] * span * span - 2 * c;
  return {
    span,
    powers: [
      f,
      d,
      c,
      10 * left - 4 * slope + bend / 2,
      -15 * left + 7 * slope - bend,
      6 * left - 3 * slope + bend / 2,
    ],
  };
}

/** Writes value, first and second derivative, `since` after the beginning, into `out[at…at + 2]`. */
export function writeQuintic(quintic: Quintic, since: number, out: Float64Array, at: number): void {
  const { span, powers } = quintic;
  const u = since / span;
  let value = 0;
  let slope = 0;
  let bend = 0;
  for (let i = 5; i >= 0; i--) {
    bend = bend * u + 2 * slope;
    slope = slope * u + value;
    value = value * u + powers[i];
  }
  out[at] = value;
  out[at + 1] = slope / span;
  out[at + 2] = bend / (span * span);
}
