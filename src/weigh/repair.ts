import type { Channels } from '../gait/walk.js';
import { recordProblem, refuseAny, requireArray, requireRecord } from '../internal/check.js';
import { CHANNELS, chooseMove, isCurve } from './choose-move.js';
import { refuse } from './refuse.js';
import { setScale } from './set-scale.js';
import { feetLike, type TakenCurves, takeCurves } from './take-curves.js';
import { findAll } from './weigh-curves.js';
import type { Finding, FindingCode, WeighedCurves, WeighOptions } from './weighed.js';

/** How the curves are meant, and what must stay. */
export interface RepairOptions extends WeighOptions {
  /** Indices of keys that must stay, beside those with `locked: true`. */
  readonly locked?: Partial<Channels<readonly number[]>>;
}

/** The largest change of one path. */
export interface RepairCost {
  /** Distance in mm, over all times. */
  readonly millimetres: number;
  /** Implied load in BW, rms over all times. */
  readonly bodyWeights: number;
}

/** Repaired curves and what it took. */
export interface Repair {
  readonly curves: WeighedCurves;
  /** Change of each path; in another unit of length or time, of what was meant. */
  readonly cost: Partial<Channels<RepairCost>>;
  /** Codes that are gone. */
  readonly removed: readonly FindingCode[];
  /** Findings that were to go and stayed: locked keys hold them, or a plan has to change. */
  readonly left: readonly Finding[];
  /** Findings that the repair has brought. */
  readonly brought: readonly Finding[];
}

/** In this order, so that each repair finds what it needs mended. */
const ORDER: readonly FindingCode[] = [
  'centimetres',
  'frames-as-seconds',
  'repeated-frame',
  'keys-off-frames',
  'loop-pop-value',
  'wrong-phase',
  'uneven-steps',
  'limp',
  'kink',
  'loop-pop-slope',
  'mean-load',
  'loop-pop-load',
  'floaty',
  'too-hard',
  'pull',
  'straight-ramp',
  'surge-reversed',
  'surge-missing',
  'skate',
  'few-frames',
];

/** Halvings in the search for the smallest change that is enough. */
const HALVINGS = 10;

/**
 * The smallest change of keys that removes chosen findings, with its cost in mm and BW.
 *
 * Each kind of finding has one way of going: scale the rise and fall, even the slopes, move keys to frames,
 * lead values towards a planned walk's, hold a foot. How far is found by halving until the finding is just
 * gone, 10 times for each; curves are weighed anew each time. A pull goes by scaling until nothing is below 0. Locked keys are never touched.
 *
 * @param curves - what was weighed
 * @param findings - the findings to remove, of `weighCurves`
 * @param options - as for `weighCurves`, and the keys that must stay
 * @returns new curves; what is gone, what stayed and what came
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { keyRoot, planWalk, repair, weighCurves } from 'underfoot';
 *
 * const { height } = keyRoot(planWalk({ pace: 'ordinary' }), { fps: 24, of: 'centreOfMass' });
 * const tall = { ...height, keys: height.keys.map((key) => {
 *   const times6 = ({ span, slope }: typeof key.in) => ({ span, slope: 6 * slope });
 *   return { ...key, value: 1 + 6 * (key.value - 1), in: times6(key.in), out: times6(key.out) };
 * }) };
 * const options = { of: 'centreOfMass', fps: 24 } as const;
 * const { findings } = weighCurves({ height: tall }, options);
 * const { curves, left } = repair({ height: tall }, findings, options);
 * console.log(findings.some(({ code }) => code === 'pull'), left.length); // → true 0
 * console.log(weighCurves(curves, options).load.min >= 0); // → true
 * ```
 */
export function repair(curves: WeighedCurves, findings: readonly Finding[], options: RepairOptions): Repair {
  const where = 'repair';
  requireArray(where, 'findings', findings).forEach((finding, i) => {
    const { code } = requireRecord(where, `findings[${i}]`, finding);
    if (!ORDER.includes(code as FindingCode))
      refuse(where, `findings[${i}].code`, 'must be the code of a finding', code);
  });
  requireRecord(where, 'options', options);
  const { locked = {}, ...weighing } = options;
  refuseAny(where, [recordProblem('locked', locked, ['height', 'forward', 'side'])]);
  const before = setScale(where, curves, weighing);
  const taken = takeCurves(where, curves, weighing.of);
  const start = lockKeys(where, taken, locked);
  const found = findAll(before);
  let now = start;
  for (const code of ORDER) {
    const chosen = findings.filter((finding) => finding.code === code);
    if (chosen.length > 0) now = removeFinding(where, now, code, weighing);
  }
  const after = findAll(setScale(where, now, weighing));
  const wanted = new Set(findings.map(({ code }) => code));
  const codes = new Set(after.map(({ code }) => code));
  const known = new Set(found.map(({ code }) => code));
  return {
    curves: formOf(unlockKeys(now, taken), curves),
    cost: costOf(where, taken, now, weighing),
    removed: [...wanted].filter((code) => !codes.has(code)),
    left: after.filter(({ code }) => wanted.has(code)),
    brought: after.filter(({ code }) => !wanted.has(code) && !known.has(code)),
  };
}

/** Feet are given back as they came. */
function formOf(repaired: TakenCurves, { feet }: WeighedCurves): WeighedCurves {
  return repaired.feet && feet ? { ...repaired, feet: feetLike(repaired.feet, feet) } : repaired;
}

function lockKeys(
  where: string,
  curves: TakenCurves,
  locked: Partial<Channels<readonly number[]>>,
): TakenCurves {
  const next: Record<string, unknown> = { ...curves };
  for (const channel of CHANNELS) {
    const indices = locked[channel];
    if (!indices) continue;
    requireArray(where, `locked.${channel}`, indices);
    const path = curves[channel];
    if (!isCurve(path))
      refuse(where, `locked.${channel}`, 'must be left out where there is no curve', indices);
    const strange = indices.find((i) => !path.keys[i]);
    if (strange !== undefined) {
      refuse(where, `locked.${channel}`, `must be indices of its ${path.keys.length} keys`, strange);
    }
    next[channel] = {
      ...path,
      keys: path.keys.map((key, i) => (indices.includes(i) ? { ...key, locked: true } : key)),
    };
  }
  return next as unknown as TakenCurves;
}

/** Keys that were locked for the repair only are given back as they came. */
function unlockKeys(curves: TakenCurves, given: TakenCurves): TakenCurves {
  const next: Record<string, unknown> = { ...curves };
  for (const channel of CHANNELS) {
    const [path, old] = [curves[channel], given[channel]];
    if (!isCurve(path) || !isCurve(old)) continue;
    const keys = path.keys.map(
      (key) => old.keys.find((known) => known.time === key.time && key.locked && !known.locked) ?? key,
    );
    next[channel] = { ...path, keys };
  }
  return next as unknown as TakenCurves;
}

/**
 * The curves with the least part of a move that removes a finding, and brings no other if that can be; the
 * curves as they are where not even the whole move removes it.
 */
function removeFinding(
  where: string,
  curves: TakenCurves,
  code: FindingCode,
  options: WeighOptions,
): TakenCurves {
  const weighed = setScale(where, curves, options);
  const found = findAll(weighed);
  const here = found.filter((finding) => finding.code === code);
  const apply = here.length > 0 ? chooseMove(curves, weighed, code, here) : undefined;
  if (!apply) return curves;
  const codesAt = (s: number): FindingCode[] =>
    findAll(setScale(where, apply(s), options)).map((finding) => finding.code);
  const known = new Set(found.map((finding) => finding.code));
  const gone = (codes: readonly FindingCode[]): boolean => !codes.includes(code);
  const clean = (codes: readonly FindingCode[]): boolean =>
    gone(codes) && codes.every((other) => known.has(other));
  const whole = codesAt(1);
  const enough = clean(whole) ? clean : gone(whole) ? gone : undefined;
  if (!enough) return curves;
  // How far a load has to be scaled not to fall below 0 is known; the finding would go a little earlier.
  if (code === 'pull') return apply(1);
  let [low, high] = [0, 1];
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (low + high) / 2;
    if (enough(codesAt(middle))) high = middle;
    else low = middle;
  }
  return apply(high);
}

/** Largest change in mm and rms change of load in BW, over the old times. */
function costOf(
  where: string,
  before: TakenCurves,
  after: TakenCurves,
  options: WeighOptions,
): Partial<Channels<RepairCost>> {
  const old = setScale(where, before, options);
  const fresh = setScale(where, after, options);
  const looks = 720;
  const cost: Partial<Record<(typeof CHANNELS)[number], RepairCost>> = {};
  for (const channel of CHANNELS) {
    const [a, b] = [old.paths[channel], fresh.paths[channel]];
    if (!a || !b || before[channel] === after[channel]) continue;
    const [x, y] = [new Float64Array(3), new Float64Array(3)];
    const rise = channel === 'height' ? old.rise : 1;
    let [most, sum] = [0, 0];
    for (let i = 0; i < looks; i++) {
      const phase = (i + 0.5) / looks;
      a.jet(a.start + phase * a.duration, x);
      b.jet(b.start + phase * b.duration, y);
      most = Math.max(most, Math.abs(y[0] - x[0]));
      sum += ((y[2] - x[2]) / (old.gravity * rise)) ** 2;
    }
    cost[channel] = { millimetres: 1000 * most, bodyWeights: Math.sqrt(sum / looks) };
  }
  return cost;
}
