import { ownExp, ownSinCos } from './own-math.js';

/**
 * A mass on spring and damper that hangs from an accelerated point:
 *
 *     z'' + 2ζω z' + ω² z = −a(t)
 *
 * with z the displacement relative to that point. `SpringStep` holds one exact step of it for an
 * acceleration that runs straight from a₀ to a₁ within the step.
 */
export interface SpringStep {
  /** z after the step per z before. */
  zz: number;
  /** z after per speed before. */
  zv: number;
  /** Speed after per z before. */
  vz: number;
  /** Speed after per speed before. */
  vv: number;
  /** z after per acceleration at the step's beginning and end. */
  za: number;
  zb: number;
  /** Speed after per acceleration at the step's beginning and end. */
  va: number;
  vb: number;
}

/** A step that changes nothing. */
export function createSpringStep(): SpringStep {
  return { zz: 1, zv: 0, vz: 0, vv: 1, za: 0, zb: 0, va: 0, vb: 0 };
}

/** Where ωh(1 + 2ζ) is below this, closed forms lose digits and the power series is used. */
const SERIES_BELOW = 0.8;
/** The series is taken at this much or less, and doubled up from there. */
const SERIES_REACH = 0.1;

const angle = new Float64Array(2);
/** What the two ways of solving hand over: S, S', ∫S, ∫∫S; S answers a unit of speed. */
const basis = { s: 0, ds: 0, i1: 0, i2: 0 };

/**
 * Writes the exact step of length `h` (s, > 0) for angular frequency `omega` (rad/s, > 0) and damping
 * ratio `zeta` (≥ 0) into `out`. Closed form with decaying exponentials only, 1 − ζ² taken as
 * (1 − ζ)(1 + ζ), entire functions of it near ζ = 1; nothing is allocated and no engine function used.
 */
export function setSpringStep(out: SpringStep, omega: number, zeta: number, h: number): void {
  if (omega * h * (1 + 2 * zeta) < SERIES_BELOW) shortBasis(omega, zeta, h);
  else longBasis(omega, zeta, h);
  const { s, ds, i1, i2 } = basis;
  const w2 = omega * omega;
  out.zz = 1 - w2 * i1;
  out.zv = s;
  out.vz = -w2 * s;
  out.vv = ds;
  out.za = i2 / h - i1;
  out.zb = -i2 / h;
  out.va = i1 / h - s;
  out.vb = -i1 / h;
}

/** Power series, halved into its reach and doubled back: sums of like signs, so no digits are lost. */
function shortBasis(omega: number, zeta: number, whole: number): void {
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
  basis.s = s;
  basis.ds = ds;
  basis.i1 = i1;
  basis.i2 = i2;
}

function longBasis(omega: number, zeta: number, h: number): void {
  const x = omega * h;
  const d = (1 - zeta) * (1 + zeta);
  const y2 = d * x * x;
  if (zeta > 2) {
    heavyBasis(omega, zeta, h, Math.sqrt(-d));
    return;
  }
  let s: number;
  let c: number;
  if (y2 > 0.04) {
    const root = Math.sqrt(d);
    const decay = ownExp(-zeta * x);
    ownSinCos(root * x, angle);
    s = (decay * angle[0]) / (root * omega);
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
  const w2 = omega * omega;
  const damp = zeta * omega * s;
  const i1 = (1 - c - damp) / w2;
  basis.s = s;
  basis.ds = c - damp;
  basis.i1 = i1;
  basis.i2 = (h - s - 2 * zeta * omega * i1) / w2;
}

/** e^−y and its first and second mean over [0, y], without the loss of digits near 0. */
const means = { e: 0, first: 0, second: 0 };

function setMeans(y: number): void {
  if (y > 1) {
    means.e = ownExp(-y);
    means.first = (1 - means.e) / y;
    means.second = (1 - means.first) / y;
    return;
  }
  let sum = 0;
  for (let k = 18; k >= 2; k--) sum = 1 - (y * sum) / (k + 1);
  means.second = sum / 2;
  means.first = 1 - y * means.second;
  means.e = 1 - y * means.first;
}

/** Damping well past critical: the two rates lie far apart, and each part is kept from cancelling. */
function heavyBasis(omega: number, zeta: number, h: number, root: number): void {
  const by = 1 / (2 * root * omega);
  const slow = (omega * h) / (zeta + root);
  const fast = omega * h * (zeta + root);
  setMeans(slow);
  const { e: slow0, first: slow1, second: slow2 } = means;
  setMeans(fast);
  const { e: fast0, first: fast1, second: fast2 } = means;
  // Both exponentials near 1 are subtracted as their losses.
  basis.s = (fast * fast1 - slow * slow1) * by;
  basis.ds = ((fast * fast0 - slow * slow0) / h) * by;
  basis.i1 = h * (slow1 - fast1) * by;
  basis.i2 = h * h * (slow2 - fast2) * by;
}
