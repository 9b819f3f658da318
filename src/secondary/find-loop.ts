/** A state that comes back after a whole number of the driver's cycles. */
export interface FoundLoop {
  readonly state: Float64Array;
  /** Cycles after which it comes back; 0 where no number up to the limit was found. */
  readonly cycles: number;
  /** How far it is from coming back, as a part of `scale`. */
  readonly residual: number;
}

/** Most cycles that a loop is looked for over. */
export const MOST_CYCLES = 8;
const NEWTON_STEPS = 16;
const RUN_IN = 400;
/** Counts as coming back, as a part of the scale. */
const CLOSED = 1e-11;
/** Near enough for Newton to be tried. */
const NEAR = 3e-3;

type Map = (state: Float64Array) => void;

function distance(a: Float64Array, b: Float64Array, scale: Float64Array): number {
  let most = 0;
  for (let i = 0; i < a.length; i++) most = Math.max(most, Math.abs(a[i] - b[i]) / scale[i]);
  return most;
}

function repeat(map: Map, state: Float64Array, times: number): Float64Array {
  const out = Float64Array.from(state);
  for (let i = 0; i < times; i++) map(out);
  return out;
}

/** Solves A x = b in place by elimination with row pivoting; A by rows. */
export function solveDense(a: Float64Array, b: Float64Array): boolean {
  const n = b.length;
  for (let k = 0; k < n; k++) {
    let pivot = k;
    for (let i = k + 1; i < n; i++) if (Math.abs(a[i * n + k]) > Math.abs(a[pivot * n + k])) pivot = i;
    if (a[pivot * n + k] === 0) return false;
    if (pivot !== k) {
      for (let j = k; j < n; j++) [a[k * n + j], a[pivot * n + j]] = [a[pivot * n + j], a[k * n + j]];
      [b[k], b[pivot]] = [b[pivot], b[k]];
    }
    for (let i = k + 1; i < n; i++) {
      const f = a[i * n + k] / a[k * n + k];
      if (f === 0) continue;
      for (let j = k + 1; j < n; j++) a[i * n + j] -= f * a[k * n + j];
      b[i] -= f * b[k];
    }
  }
  for (let k = n - 1; k >= 0; k--) {
    for (let j = k + 1; j < n; j++) b[k] -= a[k * n + j] * b[j];
    b[k] /= a[k * n + k];
  }
  return true;
}

/** Largest size of an eigenvalue of a matrix by rows, by squaring it 24 times. */
export function spectralRadius(matrix: Float64Array, n: number): number {
  let m = Float64Array.from(matrix);
  let log = 0;
  let power = 1;
  for (let step = 0; step < 24; step++) {
    const size = Math.sqrt(m.reduce((sum, x) => sum + x * x, 0));
    if (size === 0) return 0;
    log += Math.log(size) / power;
    for (let i = 0; i < m.length; i++) m[i] /= size;
    const square = new Float64Array(n * n);
    for (let i = 0; i < n; i++) {
      for (let k = 0; k < n; k++) {
        const f = m[i * n + k];
        if (f !== 0) for (let j = 0; j < n; j++) square[i * n + j] += f * m[k * n + j];
      }
    }
    m = square;
    power *= 2;
  }
  return Math.exp(log);
}

/** Newton on the map taken `cycles` times, from `guess`; the answer has to be one that attracts. */
function polish(map: Map, guess: Float64Array, scale: Float64Array, cycles: number): FoundLoop | undefined {
  const n = guess.length;
  let state = Float64Array.from(guess);
  let best = Number.POSITIVE_INFINITY;
  for (let step = 0; step < NEWTON_STEPS; step++) {
    const image = repeat(map, state, cycles);
    const residual = distance(image, state, scale);
    const jacobian = new Float64Array(n * n);
    for (let j = 0; j < n; j++) {
      const moved = Float64Array.from(state);
      const by = 1e-7 * scale[j];
      moved[j] += by;
      const there = repeat(map, moved, cycles);
      for (let i = 0; i < n; i++) jacobian[i * n + j] = (there[i] - image[i]) / by;
    }
    if (residual <= CLOSED || (residual >= 0.5 * best && residual < 1e-9)) {
      return spectralRadius(jacobian, n) <= 1 + 1e-6 ? { state, cycles, residual } : undefined;
    }
    if (step > 3 && residual > best) return undefined;
    best = Math.min(best, residual);
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) jacobian[i * n + j] = (i === j ? 1 : 0) - jacobian[i * n + j];
    }
    const change = Float64Array.from(image, (x, i) => x - state[i]);
    if (!solveDense(jacobian, change)) return undefined;
    state = Float64Array.from(state, (x, i) => x + change[i]);
  }
  return undefined;
}

/**
 * The attracting loop of a map over one cycle: by Newton from the guess, else from where at most 400
 * cycles of running in have led, over 1…8 cycles. Where neither finds one, `cycles` is 0 and the state is
 * the last one.
 */
export function findLoop(map: Map, guess: Float64Array, scale: Float64Array): FoundLoop {
  const direct = polish(map, guess, scale, 1);
  if (direct) return direct;
  const history: Float64Array[] = [Float64Array.from(guess)];
  for (let cycle = 1; cycle <= RUN_IN; cycle++) {
    const state = repeat(map, history[history.length - 1], 1);
    history.push(state);
    if (history.length > MOST_CYCLES + 1) history.shift();
    if (cycle % MOST_CYCLES !== 0) continue;
    for (let cycles = 1; cycles <= MOST_CYCLES; cycles++) {
      const back = history[history.length - 1 - cycles];
      if (!back || distance(back, state, scale) > NEAR) continue;
      const found = polish(map, state, scale, cycles);
      if (found) return found;
      break;
    }
  }
  const state = history[history.length - 1];
  return { state, cycles: 0, residual: distance(repeat(map, state, 1), state, scale) };
}

/** Cycles run in before a state is looked for that comes back after several. */
const SEARCHED = 64;

/** Runs a map in from a state and counts the cycles, 1…8, after which it comes back to within `near` of `scale`. */
export function findRepeat(map: Map, from: Float64Array, scale: number, near: number): FoundLoop {
  let state: Float64Array = Float64Array.from(from);
  const history: Float64Array[] = [];
  for (let cycle = 0; cycle < SEARCHED; cycle++) {
    state = repeat(map, state, 1);
    history.push(state);
    if (history.length > MOST_CYCLES + 1) history.shift();
  }
  const scales = new Float64Array(state.length).fill(scale);
  let least = Number.POSITIVE_INFINITY;
  for (let cycles = 1; cycles <= MOST_CYCLES; cycles++) {
    const residual = distance(history[history.length - 1 - cycles], state, scales);
    if (residual <= near) return { state, cycles, residual };
    least = Math.min(least, residual);
  }
  return { state, cycles: 0, residual: least };
}
