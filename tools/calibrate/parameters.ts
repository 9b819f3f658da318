import { COEFFICIENTS } from '../../src/gait/coefficients.js';

/** Numbers that the fit may change, in the order of its vector. */
interface Parameter {
  readonly read: () => number;
  readonly write: (value: number) => void;
}

function field<T extends object>(owner: T, ...names: (keyof T & (string | number))[]): Parameter[] {
  const numbers = owner as Record<string | number, number>;
  return names.map((name) => ({
    read: () => numbers[name],
    write: (value) => {
      numbers[name] = value;
    },
  }));
}

const C = COEFFICIENTS;
const indexed = (values: number[]): Parameter[] => field(values, ...values.keys());

const PLAIN: readonly Parameter[] = [
  ...field(C, 'bobKept'),
  ...field(C.lead, 'base', 'slow'),
  ...C.cosTerms.flatMap(indexed),
  ...C.sinTerms.flatMap(indexed),
  ...field(C.pivot, 'forwardHeight', 'sideHeight', 'pressureTravel', 'sideTravel'),
  ...field(C.landing, 'size', 'growth', 'until', 'untilGrowth'),
  ...field(C.pushOff, 'size', 'growth', 'from'),
  ...field(C.sideLanding, 'size', 'growth', 'until'),
];

/** Least rise between two control values of the hand-over, so that its logarithm is a number. */
const LEAST_RISE = 1e-3;

/**
 * Logarithms of the rises between the hand-over's inner control values, from 0 to 1: any numbers give a
 * monotone hand-over. A common constant has no effect.
 */
function readHandOver(): number[] {
  const inner = C.handOver.slice(1, -1);
  return inner.slice(1).map((value, i) => Math.log(Math.max(value - inner[i], LEAST_RISE)));
}

function writeHandOver(logs: readonly number[]): void {
  const rises = logs.map(Math.exp);
  const whole = rises.reduce((sum, rise) => sum + rise, 0);
  let at = 0;
  for (let i = 0; i < rises.length - 1; i++) {
    at += rises[i] / whole;
    C.handOver[i + 2] = at;
  }
}

/** The library's present coefficients as one vector. */
export function readParameters(): number[] {
  return [...PLAIN.map(({ read }) => read()), ...readHandOver()];
}

/** Makes a vector the library's coefficients, for this process. */
export function writeParameters(values: readonly number[]): void {
  PLAIN.forEach(({ write }, i) => {
    write(values[i]);
  });
  writeHandOver(values.slice(PLAIN.length));
}

/**
 * Sets the coefficients to a walker who knows nothing of the data: half of a stiff walk's bob, no higher
 * harmonics, an even hand-over, forces through one pivot 1.4 legs up and nothing added at landing or
 * push-off but where they would be.
 */
export function writeNeutralStart(): void {
  Object.assign(C, { bobKept: 0.45 });
  Object.assign(C.lead, { base: 0, slow: 0 });
  for (const terms of [...C.cosTerms, ...C.sinTerms]) terms.fill(0);
  C.handOver.splice(0, C.handOver.length, 0, 0, 0.2, 0.4, 0.6, 0.8, 1, 1);
  Object.assign(C.pivot, { forwardHeight: 1.4, sideHeight: 1.4, pressureTravel: 0.2, sideTravel: 0 });
  Object.assign(C.landing, { size: 0, growth: 0, until: 0.2, untilGrowth: 0 });
  Object.assign(C.pushOff, { size: 0, growth: 0, from: 0.7 });
  Object.assign(C.sideLanding, { size: 0, growth: 0, until: 0.3 });
}

/** Rounds every coefficient that the fit may change to 4 decimals, as they are committed. */
export function roundParameters(): void {
  const round = (value: number): number => Math.round(value * 1e4) / 1e4;
  for (const { read, write } of PLAIN) write(round(read()));
  C.handOver.forEach((value, i) => {
    C.handOver[i] = round(value);
  });
  Object.assign(C.rootRise, { base: round(C.rootRise.base), growth: round(C.rootRise.growth) });
}
