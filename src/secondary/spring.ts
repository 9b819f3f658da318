import { ownExp, ownSinCos } from './own-math.js';

/**
 * A mass on spring and damper that hangs from an accelerated point:
 *
 *     z'' + 2ζω z' + ω² z = −a(t)
 *
 * with z the displacement relative to that point. One exact step of it, for an acceleration that runs
 * straight from a₀ to a₁ within the step, is eight numbers in a row:
 * z after per z, per speed; speed after per z, per speed; z after per a₀, per a₁; speed after per a₀, per a₁.
 */
export const STEP_SIZE = 8;

/** Room for a step; until set it changes nothing. */
export function createSpringStep(): Float64Array {
  return Float64Array.of(1, 0, 0, 1, 0, 0, 0, 0);
}

/**
 * Where (ωh)³ is below this much of ζ + 0.1, closed forms lose more than three digits of the answer to a
 * push, and the power series is used.
 */
const SERIES_BELOW = 4e-3;
/** The series is taken at this much or less, and doubled up from there. */
const SERIES_REACH = 0.1;

const angle = new Float64Array(2);

/**
 * Writes the exact step of length `h` (s, > 0) for angular frequency `omega` (rad/s, > 0) and damping
 * ratio `zeta` (≥ 0) into `out[at…at + 7]`. Closed form with decaying exponentials only, 1 − ζ² taken as
 * (1 − ζ)(1 + ζ), entire functions of it near ζ = 1; nothing is allocated and no engine function used but
 * the square root.
 */
export function setSpringStep(out: Float64Array, at: number, omega: number, zeta: number, h: number): void {
  given[0] = omega;
  given[1] = zeta;
  given[2] = h;
  const x = omega * h;
  if (zeta <= 2 && x * x * x >= SERIES_BELOW * (zeta + 0.1)) longStep(out, at);
  else if (zeta > 2 && x * (1 + 2 * zeta) >= 1) heavyStep(out, at, omega, zeta, h);
  else shortStep(out, at, omega, zeta, h);
}

/** Fills a step from S, which answers a unit of speed, its derivative, its integral and that one's integral. */
function fill(
  out: Float64Array,
  at: number,
  w2: number,
  h: number,
  s: number,
  ds: number,
  i1: number,
  i2: number,
): void {
  const perStep = 1 / h;
  const late = i2 * perStep;
  const lateSpeed = i1 * perStep;
  out[at] = 1 - w2 * i1;
  out[at + 1] = s;
  out[at + 2] = -w2 * s;
  out[at + 3] = ds;
  out[at + 4] = late - i1;
  out[at + 5] = -late;
  out[at + 6] = lateSpeed - s;
  out[at + 7] = -lateSpeed;
}

/** Power series, halved into its reach and doubled back: sums of like signs, so no digits are lost. */
function shortStep(out: Float64Array, at: number, omega: number, zeta: number, whole: number): void {
  let h = whole;
  let reach = omega * whole * (1 + 2 * zeta);
  while (reach > SERIES_REACH) {
    h *= 0.5;
    reach *= 0.5;
  }
  const x = omega * h;
  const p = 2 * zeta * x;
  const q = x * x;
  // Terms of S in units of h: c1 = 1 and (k + 1) k c(k+1) = −p k c(k) − q c(k−1).
  const c2 = -p / 2;
  const c3 = -(2 * p * c2 + q) * (1 / 6);
  const c4 = -(3 * p * c3 + q * c2) * (1 / 12);
  const c5 = -(4 * p * c4 + q * c3) * (1 / 20);
  const c6 = -(5 * p * c5 + q * c4) * (1 / 30);
  const c7 = -(6 * p * c6 + q * c5) * (1 / 42);
  const c8 = -(7 * p * c7 + q * c6) * (1 / 56);
  const c9 = -(8 * p * c8 + q * c7) * (1 / 72);
  let s = h * (1 + (c2 + (c3 + (c4 + (c5 + (c6 + (c7 + (c8 + c9))))))));
  let ds = 1 + (2 * c2 + (3 * c3 + (4 * c4 + (5 * c5 + (6 * c6 + (7 * c7 + (8 * c8 + 9 * c9)))))));
  let i1 =
    h *
    h *
    (1 / 2 +
      (c2 * (1 / 3) +
        (c3 * (1 / 4) +
          (c4 * (1 / 5) +
            (c5 * (1 / 6) + (c6 * (1 / 7) + (c7 * (1 / 8) + (c8 * (1 / 9) + c9 * (1 / 10)))))))));
  let i2 =
    h *
    h *
    h *
    (1 / 6 +
      (c2 * (1 / 12) +
        (c3 * (1 / 20) +
          (c4 * (1 / 30) +
            (c5 * (1 / 42) + (c6 * (1 / 56) + (c7 * (1 / 72) + (c8 * (1 / 90) + c9 * (1 / 110)))))))));
  const w2 = omega * omega;
  while (h < whole) {
    const rest = 1 - w2 * i1;
    i2 += rest * i2 + (s + h) * i1;
    i1 += rest * i1 + s * s;
    const next = rest * s + s * ds;
    ds = ds * ds - w2 * s * s;
    s = next;
    h *= 2;
  }
  fill(out, at, w2, whole, s, ds, i1, i2);
}

/** Frequency, damping ratio and length of the step at hand: numbers that are passed on cost a box each. */
const given = new Float64Array(3);

function longStep(out: Float64Array, at: number): void {
  const omega = given[0];
  const zeta = given[1];
  const h = given[2];
  const x = omega * h;
  const d = (1 - zeta) * (1 + zeta);
  const y2 = d * x * x;
  // Divisions are slow and wait for nothing: they are begun before the exponentials.
  const w2 = omega * omega;
  const perW2 = 1 / w2;
  const perStep = 1 / h;
  let s: number;
  let c: number;
  if (y2 > 0.04) {
    const root = Math.sqrt(d);
    const perRoot = 1 / (root * omega);
    ownSinCos(root * x, angle);
    const decay = ownExp(-zeta * x);
    s = decay * angle[0] * perRoot;
    c = decay * angle[1];
  } else if (y2 > -0.04) {
    const decay = ownExp(-zeta * x);
    s = decay * h * (1 - (y2 / 6) * (1 - (y2 / 20) * (1 - (y2 / 42) * (1 - (y2 / 72) * (1 - y2 / 110)))));
    c = decay * (1 - (y2 / 2) * (1 - (y2 / 12) * (1 - (y2 / 30) * (1 - (y2 / 56) * (1 - y2 / 90)))));
  } else {
    // Two decaying exponentials; the slow rate as 1 / (ζ + √) rather than ζ − √, which cancels.
    const root = Math.sqrt(-d);
    const slow = ownExp(-x / (zeta + root));
    const fast = ownExp(-x * (zeta + root));
    s = (slow - fast) / (2 * root * omega);
    c = (slow + fast) / 2;
  }
  const damp = zeta * omega * s;
  const i1 = (1 - c - damp) * perW2;
  const late = (h - s - 2 * zeta * omega * i1) * perW2 * perStep;
  const lateSpeed = i1 * perStep;
  out[at] = c + damp;
  out[at + 1] = s;
  out[at + 2] = -w2 * s;
  out[at + 3] = c - damp;
  out[at + 4] = late - i1;
  out[at + 5] = -late;
  out[at + 6] = lateSpeed - s;
  out[at + 7] = -lateSpeed;
}

/** e^−y and its first and second mean over [0, y], without the loss of digits near 0. */
const means = new Float64Array(3);

function setMeans(y: number): void {
  if (y > 1) {
    means[0] = ownExp(-y);
    means[1] = (1 - means[0]) / y;
    means[2] = (1 - means[1]) / y;
    return;
  }
  let sum = 0;
  for (let k = 18; k >= 2; k--) sum = 1 - (y * sum) / (k + 1);
  means[2] = sum / 2;
  means[1] = 1 - y * means[2];
  means[0] = 1 - y * means[1];
}

/** Damping well past critical: the two rates lie far apart, and each part is kept from cancelling. */
function heavyStep(out: Float64Array, at: number, omega: number, zeta: number, h: number): void {
  const root = Math.sqrt((zeta - 1) * (zeta + 1));
  const by = 1 / (2 * root * omega);
  const slow = (omega * h) / (zeta + root);
  const fast = omega * h * (zeta + root);
  setMeans(slow);
  const [slow0, slow1, slow2] = means;
  setMeans(fast);
  const [fast0, fast1, fast2] = means;
  // Both exponentials near 1 are subtracted as their losses.
  const s = (fast * fast1 - slow * slow1) * by;
  const ds = ((fast * fast0 - slow * slow0) / h) * by;
  fill(out, at, omega * omega, h, s, ds, h * (slow1 - fast1) * by, h * h * (slow2 - fast2) * by);
}
