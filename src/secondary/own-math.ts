/**
 * Exponential, sine and cosine made of additions, multiplications and square roots only.
 *
 * Engines are free to round `Math.exp`, `Math.sin` and `Math.cos` differently, and do; a recorded run of a
 * live follower would then not come out the same everywhere. The operations used here are rounded the
 * same way by every engine that keeps IEEE 754.
 */

/** Added and taken away again it leaves the nearest whole number: 1.5 · 2⁵². */
export const ROUNDER = 6755399441055744;

/** Parts that a doubling is divided into. */
const EXP_PARTS = 512;
export const EXP_SCALE = 738.6598609351493;
/** ln 2 / 512 in two parts; the first has 21 trailing zero bits, so its multiples up to 2²¹ are exact. */
export const EXP_PART = 0.02166084938653512 / 16;
export const EXP_PART_LOW = 5.9631716539705866e-12 / 16;

/** 2^(i/512). */
export const ROOTS = new Float64Array(EXP_PARTS);
/** 2^k for k = −1074…1023, at k + 1074. */
export const POWERS = new Float64Array(2098);

/** What rounding takes from a product of two numbers near 1 (Dekker 1971). */
function lostIn(product: number, a: number, b: number): number {
  const halve = (x: number): number => {
    const wide = 134217729 * x;
    return wide - (wide - x);
  };
  const [a1, b1] = [halve(a), halve(b)];
  const [a2, b2] = [a - a1, b - b1];
  return a1 * b1 - product + a1 * b2 + a2 * b1 + a2 * b2;
}

/** Square roots of square roots, multiplied: kept in two numbers each, so that an entry is off by its own rounding. */
function fillExponentials(): void {
  const low = new Float64Array(EXP_PARTS);
  ROOTS.fill(1);
  let high = 2;
  let rest = 0;
  for (let bit = EXP_PARTS / 2; bit >= 1; bit /= 2) {
    const root = Math.sqrt(high);
    const square = root * root;
    rest = (high - square - lostIn(square, root, root) + rest) / (2 * root);
    high = root;
    for (let i = 0; i < EXP_PARTS; i++) {
      if (!(i & bit)) continue;
      const product = ROOTS[i] * high;
      low[i] = low[i] * high + ROOTS[i] * rest + lostIn(product, ROOTS[i], high);
      ROOTS[i] = product;
    }
  }
  for (let i = 0; i < EXP_PARTS; i++) ROOTS[i] += low[i];
  let power = 1;
  for (let k = 0; k <= 1023; k++, power *= 2) POWERS[1074 + k] = power;
  power = 1;
  for (let k = 0; k <= 1074; k++, power /= 2) POWERS[1074 - k] = power;
}

/** Below minus this an exponential is 0. */
export const EXP_REACH = 708;

/** e^x, to within about 2 units in the last place; 0 below −708. */
export function ownExp(x: number): number {
  if (x < -EXP_REACH) return 0;
  if (ROOTS[0] === 0) fillTables();
  const whole = x * EXP_SCALE + ROUNDER - ROUNDER;
  const n = whole | 0;
  const r = x - whole * EXP_PART - whole * EXP_PART_LOW;
  const p = r + r * r * (0.5 + r * (1 / 6 + r * (1 / 24)));
  const root = ROOTS[n & (EXP_PARTS - 1)];
  return (root + root * p) * POWERS[1074 + (n >> 9)];
}

const TWO_OVER_PI = 0.6366197723675814;
/** π/2 in three parts of 33 bits each, so that multiples up to 2²⁰ are exact in the first two. */
const HALF_PI_1 = 1.5707963267341256;
const HALF_PI_2 = 6.077100506303966e-11;
const HALF_PI_3 = 2.0222662487959506e-21;

/** Sine and cosine by polynomials alone, |x| ≤ 10⁶. */
function polynomialSinCos(x: number, out: Float64Array): void {
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

/** Parts that a turn is divided into, and sines at them; a quarter more than a turn, for the cosines. */
const TURN_PARTS = 512;
export const SINES = new Float64Array(TURN_PARTS + TURN_PARTS / 4);
const PART = TURN_PARTS / 4;
export const SINE_SCALE = TWO_OVER_PI * PART;
export const SINE_PART = HALF_PI_1 / PART;
export const SINE_PART_LOW = HALF_PI_2 / PART;
/** Angles past this leave the parts of π/256 inexact. */
export const SINE_REACH = 6400;

function fillSines(): void {
  const pair = new Float64Array(2);
  const quarter = Float64Array.from({ length: PART + 1 }, (_, k) => {
    polynomialSinCos((k * HALF_PI_1) / PART + (k * HALF_PI_2) / PART, pair);
    return k === PART ? 1 : pair[0];
  });
  for (let k = 0; k < SINES.length; k++) {
    const part = k % PART;
    const turns = Math.floor(k / PART);
    const size = turns % 2 === 0 ? quarter[part] : quarter[PART - part];
    SINES[k] = turns % 4 < 2 ? size : -size;
  }
}

/**
 * Fills the tables, once: not on import, which most who import the library would wait for in vain. The
 * functions here see to it themselves; whoever reads a table directly calls this first.
 */
export function fillTables(): void {
  if (ROOTS[0] !== 0) return;
  fillExponentials();
  fillSines();
}

/** Writes sine and cosine of `x`, |x| ≤ 10⁶, into `out[0]` and `out[1]`. */
export function ownSinCos(x: number, out: Float64Array): void {
  if (x > SINE_REACH || x < -SINE_REACH) {
    polynomialSinCos(x, out);
    return;
  }
  if (ROOTS[0] === 0) fillTables();
  const whole = x * SINE_SCALE + ROUNDER - ROUNDER;
  const n = whole | 0;
  // Two parts will do: the third is below the rounding of x.
  const r = x - whole * SINE_PART - whole * SINE_PART_LOW;
  const q = r * r;
  const s = r + r * q * (-1 / 6 + q * (1 / 120));
  const c = q * (-1 / 2 + q * (1 / 24 - q * (1 / 720)));
  const at = n & (TURN_PARTS - 1);
  const sine = SINES[at];
  const cosine = SINES[at + PART];
  out[0] = sine + (cosine * s + sine * c);
  out[1] = cosine + (cosine * c - sine * s);
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
