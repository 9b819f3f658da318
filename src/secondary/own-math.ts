/**
 * Exponential, sine and cosine made of additions, multiplications and square roots only.
 *
 * Engines are free to round `Math.exp`, `Math.sin` and `Math.cos` differently, and do; a recorded run of a
 * live follower would then not come out the same everywhere. The operations used here are rounded the
 * same way by every engine that keeps IEEE 754.
 */

const LOG2E_32 = 46.16624130844683;
/** ln 2 / 32 in two parts; the first has 21 trailing zero bits, so its multiples up to 2²¹ are exact. */
const LN2_32_HIGH = 0.02166084938653512;
const LN2_32_LOW = 5.9631716539705866e-12;

/** 2^(i/32), by square roots of square roots. */
const ROOTS = new Float64Array(32);
/** 2^k for k = −1074…1023, at k + 1074. */
const POWERS = new Float64Array(2098);

function fillTables(): void {
  for (let i = 0; i < 32; i++) {
    let root = 2;
    let value = 1;
    for (let bit = 16; bit >= 1; bit /= 2) {
      root = Math.sqrt(root);
      if (i & bit) value *= root;
    }
    ROOTS[i] = value;
  }
  let power = 1;
  for (let k = 0; k <= 1023; k++, power *= 2) POWERS[1074 + k] = power;
  power = 1;
  for (let k = 0; k <= 1074; k++, power /= 2) POWERS[1074 - k] = power;
}

fillTables();

/** e^x, to within about 2 units in the last place; 0 below −708. */
export function ownExp(x: number): number {
  if (x < -708) return 0;
  const n = Math.floor(x * LOG2E_32 + 0.5);
  const r = x - n * LN2_32_HIGH - n * LN2_32_LOW;
  const i = n & 31;
  const p = r + r * r * (0.5 + r * (1 / 6 + r * (1 / 24 + r * (1 / 120 + r * (1 / 720)))));
  const root = ROOTS[i];
  return (root + root * p) * POWERS[1074 + (n - i) / 32];
}

const TWO_OVER_PI = 0.6366197723675814;
/** π/2 in three parts of 33 bits each, so that multiples up to 2²⁰ are exact in the first two. */
const HALF_PI_1 = 1.5707963267341256;
const HALF_PI_2 = 6.077100506303966e-11;
const HALF_PI_3 = 2.0222662487959506e-21;

/** Writes sine and cosine of `x`, |x| ≤ 10⁶, into `out[0]` and `out[1]`. */
export function ownSinCos(x: number, out: Float64Array): void {
  const n = Math.floor(x * TWO_OVER_PI + 0.5);
  const r = x - n * HALF_PI_1 - n * HALF_PI_2 - n * HALF_PI_3;
  const q = r * r;
  const s =
    r +
    r *
      q *
      (-1 / 6 +
        q *
          (1 / 120 +
            q *
              (-1 / 5040 +
                q * (1 / 362880 + q * (-1 / 39916800 + q * (1 / 6227020800 - q / 1307674368000))))));
  const c =
    1 +
    q *
      (-1 / 2 +
        q *
          (1 / 24 +
            q *
              (-1 / 720 +
                q *
                  (1 / 40320 +
                    q *
                      (-1 / 3628800 + q * (1 / 479001600 + q * (-1 / 87178291200 + q / 20922789888000)))))));
  const odd = (n & 1) !== 0;
  const one = odd ? c : s;
  const other = odd ? s : c;
  out[0] = (n & 2) !== 0 ? -one : one;
  out[1] = ((n + 1) & 2) !== 0 ? -other : other;
}

/** Newton steps to a logarithm; each doubles its digits or better. */
const LOG_STEPS = 40;

/** `base` to the power `exponent`, for a base in [1e-6, 1e6], made of the same operations. */
export function ownPower(base: number, exponent: number): number {
  let log = 0;
  for (let i = 0; i < LOG_STEPS; i++) {
    const e = ownExp(log);
    const step = (2 * (base - e)) / (base + e);
    log += step;
    if (step <= 1e-16 && step >= -1e-16) break;
  }
  return ownExp(exponent * log);
}
