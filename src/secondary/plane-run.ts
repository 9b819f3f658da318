import { solveDense } from './find-loop.js';
import type { PlaneTables } from './plane-tables.js';
import { LENGTH, Spring, STEP_SIZE, setNumbers } from './spring.js';

/** Longest part of a step, in radians of the quickest mode under the change of weight. */
const PART = 1;
const MOST_PARTS = 64;

/** Angles from rest in rad and their speeds, moment by moment and link by link. */
export interface PlaneRun {
  readonly bends: Float64Array;
  readonly rates: Float64Array;
}

/** Displacements of the modes at which small angles hang still under a steady push, down and along in m/s². */
export function hangSmall(tables: PlaneTables, down: number, along: number): Float64Array {
  const { links: n, springs, byDown, byAlong, pushDown, pushAlong } = tables;
  const matrix = new Float64Array(n * n);
  const q = new Float64Array(n);
  for (let m = 0; m < n; m++) {
    for (let k = 0; k < n; k++) matrix[m * n + k] = down * byDown[m * n + k] + along * byAlong[m * n + k];
    matrix[m * n + m] += springs[m].omega ** 2;
    q[m] = -(pushDown[m] * down + pushAlong[m] * along);
  }
  return solveDense(matrix, q) ? q : q.fill(0);
}

/**
 * Runs small angles in one plane over a whole drive at once: as `PlaneStepper` steps them, but that the kicks
 * at the end of one step and at the beginning of the next are taken as one, and that only every `keep`-th
 * moment is handed out. `push` holds down and along, moment by moment, `h` s apart.
 */
export function runPlane(
  tables: PlaneTables,
  push: Float64Array,
  h: number,
  keep: number,
  state: Float64Array,
): PlaneRun {
  const { links: n, shapes, byDown, byAlong, pushDown, pushAlong, tilted, quickest, gravity } = tables;
  const count = push.length / 2 - 1;
  let most = 0;
  for (let i = 0; i <= count; i++) {
    const size = Math.abs(push[2 * i]) + (tilted ? Math.abs(push[2 * i + 1]) : 0);
    if (size > most) most = size;
  }
  const parts = Math.min(
    MOST_PARTS,
    Math.max(1, Math.ceil((h * quickest * Math.sqrt(most / gravity)) / PART)),
  );
  const part = h / parts;
  const steps = new Float64Array(STEP_SIZE * n);
  for (let m = 0; m < n; m++) {
    const { numbers } = new Spring(tables.springs[m].omega, tables.springs[m].zeta);
    numbers[LENGTH] = part;
    setNumbers(numbers);
    steps.set(numbers.subarray(0, STEP_SIZE), STEP_SIZE * m);
  }
  const kept = Math.floor(count / keep) + 1;
  const bends = new Float64Array(kept * n);
  const rates = new Float64Array(kept * n);
  const speeds = new Float64Array(n);
  const kicked = new Float64Array(n);
  // A slack plumb chain's modes are the same in any weight: the change of stiffness does not couple them.
  const apart = !tilted && isDiagonal(byDown, n);
  /** What a push changes the modes' speeds by, for the displacements they have. */
  const setKick = (down: number, along: number): void => {
    if (apart) {
      for (let m = 0, at = 0; m < n; m++, at += n + 1) kicked[m] = down * byDown[at] * state[m];
      return;
    }
    for (let m = 0, row = 0; m < n; m++, row += n) {
      let sum = 0;
      if (tilted)
        for (let k = 0; k < n; k++) sum += (down * byDown[row + k] + along * byAlong[row + k]) * state[k];
      else for (let k = 0; k < n; k++) sum += byDown[row + k] * state[k];
      kicked[m] = tilted ? sum : down * sum;
    }
  };
  const write = (i: number): void => {
    const to = i * n;
    for (let k = 0; k < n; k++) {
      let x = 0;
      let v = 0;
      for (let m = 0; m < n; m++) {
        x += shapes[k * n + m] * state[m];
        v += shapes[k * n + m] * speeds[m];
      }
      bends[to + k] = x;
      rates[to + k] = v;
    }
  };
  for (let m = 0; m < n; m++) speeds[m] = state[n + m];
  write(0);
  setKick(0.5 * part * push[0], 0.5 * part * push[1]);
  for (let m = 0; m < n; m++) state[n + m] -= kicked[m];
  for (let i = 0; i < count; i++) {
    let d0 = push[2 * i];
    let a0 = push[2 * i + 1];
    const dd = (push[2 * i + 2] - d0) / parts;
    const da = (push[2 * i + 3] - a0) / parts;
    for (let p = 0; p < parts; p++) {
      const d1 = d0 + dd;
      const a1 = a0 + da;
      for (let m = 0, at = 0; m < n; m++, at += STEP_SIZE) {
        const z = state[m];
        const v = state[n + m];
        const b0 = pushDown[m] * d0 + pushAlong[m] * a0;
        const b1 = pushDown[m] * d1 + pushAlong[m] * a1;
        state[m] = steps[at] * z + steps[at + 1] * v + steps[at + 4] * b0 + steps[at + 5] * b1;
        state[n + m] = steps[at + 2] * z + steps[at + 3] * v + steps[at + 6] * b0 + steps[at + 7] * b1;
      }
      setKick(part * d1, part * a1);
      if (p === parts - 1 && (i + 1) % keep === 0) {
        // Half of it belongs to the next step: the speeds in the middle are handed out.
        for (let m = 0; m < n; m++) speeds[m] = state[n + m] - 0.5 * kicked[m];
        write((i + 1) / keep);
      }
      for (let m = 0; m < n; m++) state[n + m] -= kicked[m];
      d0 = d1;
      a0 = a1;
    }
  }
  return { bends, rates };
}

/** Whether nothing but the diagonal of a matrix by rows counts. */
function isDiagonal(matrix: Float64Array, n: number): boolean {
  let on = 0;
  let off = 0;
  for (let i = 0; i < n * n; i++) {
    if (i % (n + 1) === 0) on = Math.max(on, Math.abs(matrix[i]));
    else off = Math.max(off, Math.abs(matrix[i]));
  }
  return off <= 1e-14 * on;
}
