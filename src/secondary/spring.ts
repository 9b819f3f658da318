import {
  EXP_PART,
  EXP_PART_LOW,
  EXP_REACH,
  EXP_SCALE,
  fillTables,
  ownExp,
  ownSinCos,
  POWERS,
  ROOTS,
  ROUNDER,
  SINE_PART,
  SINE_PART_LOW,
  SINE_REACH,
  SINE_SCALE,
  SINES,
} from './own-math.js';

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
/** Within this much of a turn in rad of critical damping, entire functions are used. */
const NEAR_CRITICAL = 0.2;
/** The series is taken at this much or less, and doubled up from there. */
const SERIES_REACH = 0.1;

const swing = new Float64Array(2);

// Tables of this module's own: what is imported is looked up at every use.
const sines = SINES;
const roots = ROOTS;
const powers = POWERS;

/** What `Spring.numbers` holds after the eight of its step: the step's length in s, ω, ζ, and what steps share. */
export const LENGTH = 8;
const OMEGA = 9;
const ZETA = 10;
const ROOT = 11;
const DECAY = 12;
const PER_ROOT = 13;
const SQUARE = 14;
const PER_SQUARE = 15;
/** Shortest and longest step that a swing is closed for. */
const SHORTEST = 16;
const LONGEST = 17;
/** Rates in parts of the tables of sine and exponential. */
const SINE_RATE = 18;
const EXP_RATE = 19;
/** How many numbers a spring has; whoever keeps more beside them begins here. */
export const SPRING_SIZE = 20;

/**
 * A spring of angular frequency ω (rad/s, > 0) and damping ratio ζ (≥ 0), its step of one length, and room for
 * `more` numbers beside them.
 */
export class Spring {
  /** The step last set, its length, and what steps share: in one array, which keeps them together. */
  readonly numbers: Float64Array;

  constructor(omega: number, zeta: number, more = 0) {
    fillTables();
    const numbers = new Float64Array(SPRING_SIZE + more);
    this.numbers = numbers;
    const gap = (1 - zeta) * (1 + zeta);
    const root = omega * Math.sqrt(Math.abs(gap));
    numbers[LENGTH] = Number.NaN;
    numbers[OMEGA] = omega;
    numbers[ZETA] = zeta;
    numbers[ROOT] = root;
    numbers[DECAY] = -zeta * omega;
    numbers[PER_ROOT] = root > 0 ? 1 / root : 0;
    numbers[SQUARE] = omega * omega;
    numbers[PER_SQUARE] = 1 / (omega * omega);
    // No less than the cube root of the series' limit, up to ζ = 1.
    const closed = (0.0377 + 0.1257 * Math.sqrt(zeta + 0.1)) / omega;
    numbers[SHORTEST] = gap > 0 ? Math.max(closed, NEAR_CRITICAL / root) : Number.POSITIVE_INFINITY;
    numbers[SINE_RATE] = root * SINE_SCALE;
    numbers[EXP_RATE] = -zeta * omega * EXP_SCALE;
    numbers[LONGEST] = Math.min(SINE_REACH / omega, EXP_REACH / (zeta * omega));
  }

  /** Writes the exact step of length `h` (s, > 0) into `out[at…at + 7]`. */
  setStep(out: Float64Array, at: number, h: number): void {
    const { numbers } = this;
    numbers[LENGTH] = h;
    setNumbers(numbers);
    for (let i = 0; i < STEP_SIZE; i++) out[at + i] = numbers[i];
  }
}

/**
 * Sets a spring's numbers to the exact step of the length that they hold. Closed form with decaying
 * exponentials only, entire functions near ζ = 1; nothing is allocated and no engine function used but the
 * square root. The length is put down rather than passed on, since engines make an object of every number
 * that a call takes.
 */
export function setNumbers(numbers: Float64Array): void {
  const h = numbers[LENGTH];
  if (!(h >= numbers[SHORTEST] && h <= numbers[LONGEST])) {
    setRareStep(numbers);
    return;
  }
  // Sine, cosine and exponential as `ownSinCos` and `ownExp` make them, in one and without a detour.
  const decay = numbers[DECAY];
  const turns = numbers[SINE_RATE] * h + ROUNDER - ROUNDER;
  const doublings = numbers[EXP_RATE] * h + ROUNDER - ROUNDER;
  const r = numbers[ROOT] * h - turns * SINE_PART - turns * SINE_PART_LOW;
  const u = decay * h - doublings * EXP_PART - doublings * EXP_PART_LOW;
  const q = r * r;
  const sr = r + r * q * (-1 / 6 + q * (1 / 120));
  const cr = q * (-1 / 2 + q * (1 / 24 - q * (1 / 720)));
  const p = u + u * u * (0.5 + u * (1 / 6 + u * (1 / 24)));
  const n = (turns | 0) & 511;
  const m = doublings | 0;
  const sine = sines[n];
  const cosine = sines[n + 128];
  const root = roots[m & 511];
  const size = (root + root * p) * powers[1074 + (m >> 9)];
  const perStep = 1 / h;
  const perW2 = numbers[PER_SQUARE];
  const s = size * (sine + (cosine * sr + sine * cr)) * numbers[PER_ROOT];
  const c = size * (cosine + (cosine * cr - sine * sr));
  const damp = -decay * s;
  const i1 = (1 - c - damp) * perW2;
  const late = (h - s + 2 * decay * i1) * (perW2 * perStep);
  const lateSpeed = i1 * perStep;
  numbers[0] = c + damp;
  numbers[1] = s;
  numbers[2] = -numbers[SQUARE] * s;
  numbers[3] = c - damp;
  numbers[4] = late - i1;
  numbers[5] = -late;
  numbers[6] = lateSpeed - s;
  numbers[7] = -lateSpeed;
}

/** The exact step of one length of a spring: see `Spring.setStep`. */
export function setSpringStep(out: Float64Array, at: number, omega: number, zeta: number, h: number): void {
  new Spring(omega, zeta).setStep(out, at, h);
}

/** Fills a step from the answer to a unit of speed and its even part, where neither is small. */
function fillClosed(numbers: Float64Array, s: number, c: number): void {
  const h = numbers[LENGTH];
  const decay = numbers[DECAY];
  const w2 = numbers[SQUARE];
  const perW2 = numbers[PER_SQUARE];
  const perStep = 1 / h;
  const damp = -decay * s;
  const i1 = (1 - c - damp) * perW2;
  const late = (h - s + 2 * decay * i1) * (perW2 * perStep);
  const lateSpeed = i1 * perStep;
  numbers[0] = c + damp;
  numbers[1] = s;
  numbers[2] = -w2 * s;
  numbers[3] = c - damp;
  numbers[4] = late - i1;
  numbers[5] = -late;
  numbers[6] = lateSpeed - s;
  numbers[7] = -lateSpeed;
}

/** Steps that are short, very long, near critical damping or past it. */
function setRareStep(numbers: Float64Array): void {
  const omega = numbers[OMEGA];
  const zeta = numbers[ZETA];
  const h = numbers[LENGTH];
  const x = omega * h;
  if (zeta > 2 && x * (1 + 2 * zeta) >= 1) heavyStep(numbers);
  else if (zeta <= 2 && x * x * x >= SERIES_BELOW * (zeta + 0.1)) criticalStep(numbers);
  else shortStep(numbers);
}

/** Anything up to twice critical damping. */
function criticalStep(numbers: Float64Array): void {
  const omega = numbers[OMEGA];
  const zeta = numbers[ZETA];
  const h = numbers[LENGTH];
  const d = (1 - zeta) * (1 + zeta);
  const y2 = d * omega * h * (omega * h);
  const root = Math.sqrt(Math.abs(d));
  if (y2 > NEAR_CRITICAL * NEAR_CRITICAL) {
    ownSinCos(root * omega * h, swing);
    const decay = ownExp(-zeta * omega * h);
    fillClosed(numbers, (decay * swing[0]) / (root * omega), decay * swing[1]);
  } else if (y2 > -NEAR_CRITICAL * NEAR_CRITICAL) {
    const decay = ownExp(-zeta * omega * h);
    const s =
      decay * h * (1 - (y2 / 6) * (1 - (y2 / 20) * (1 - (y2 / 42) * (1 - (y2 / 72) * (1 - y2 / 110)))));
    const c = decay * (1 - (y2 / 2) * (1 - (y2 / 12) * (1 - (y2 / 30) * (1 - (y2 / 56) * (1 - y2 / 90)))));
    fillClosed(numbers, s, c);
  } else {
    // Two decaying exponentials; the slow rate as 1 / (ζ + √) rather than ζ − √, which cancels.
    const slow = ownExp((-omega * h) / (zeta + root));
    const fast = ownExp(-omega * h * (zeta + root));
    fillClosed(numbers, (slow - fast) / (2 * root * omega), (slow + fast) / 2);
  }
}

/** Fills a step from S, which answers a unit of speed, its derivative, its integral and that one's integral. */
function fill(numbers: Float64Array, s: number, ds: number, i1: number, i2: number): void {
  const w2 = numbers[SQUARE];
  const perStep = 1 / numbers[LENGTH];
  const late = i2 * perStep;
  const lateSpeed = i1 * perStep;
  numbers[0] = 1 - w2 * i1;
  numbers[1] = s;
  numbers[2] = -w2 * s;
  numbers[3] = ds;
  numbers[4] = late - i1;
  numbers[5] = -late;
  numbers[6] = lateSpeed - s;
  numbers[7] = -lateSpeed;
}

/** Power series, halved into its reach and doubled back: sums of like signs, so no digits are lost. */
function shortStep(numbers: Float64Array): void {
  const omega = numbers[OMEGA];
  const zeta = numbers[ZETA];
  const whole = numbers[LENGTH];
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
  fill(numbers, s, ds, i1, i2);
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
function heavyStep(numbers: Float64Array): void {
  const omega = numbers[OMEGA];
  const zeta = numbers[ZETA];
  const h = numbers[LENGTH];
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
  fill(numbers, s, ds, h * (slow1 - fast1) * by, h * h * (slow2 - fast2) * by);
}
