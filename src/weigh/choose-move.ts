import type { Curve } from '../curves/curve.js';
import {
  closeMove,
  frameMove,
  handleMove,
  holdMove,
  type Move,
  modelMove,
  modelOffset,
  scaleMove,
  smoothMove,
  stillSpan,
  timeUnitMove,
  valueUnitMove,
} from './repair-moves.js';
import type { TakenCurves } from './take-curves.js';
import type { Finding, FindingCode, SampledPath, Weighed, WeighedFoot, WeighedPath } from './weighed.js';

/** The paths of a body. */
export const CHANNELS = ['height', 'forward', 'side'] as const;

/** Whether a path is a curve rather than samples. */
export function isCurve(path: unknown): path is Curve {
  return typeof path === 'object' && path !== null && 'keys' in path;
}

/** How far from 0 a repaired load keeps, as a part of its swing. */
const CLEAR = 0.995;

/** The change that removes findings of one kind, by its part in (0, 1]; nothing where no change of keys does. */
export function chooseMove(
  curves: TakenCurves,
  weighed: Weighed,
  code: FindingCode,
  findings: readonly Finding[],
): ((s: number) => TakenCurves) | undefined {
  const channels = CHANNELS.filter((channel) => findings.some((finding) => finding.channel === channel));
  const on = (list: readonly (typeof CHANNELS)[number][], move: (curve: Curve) => Move) => {
    const moves = list.flatMap((channel) => {
      const path = curves[channel];
      return path ? [{ channel, path, move: move(asCurve(path)) }] : [];
    });
    if (moves.length === 0) return undefined;
    return (s: number): TakenCurves => ({
      ...curves,
      ...Object.fromEntries(
        moves.map(({ channel, path, move }) => [channel, backTo(path, move(asCurve(path), s))]),
      ),
    });
  };
  const factor = findings[0].suggestion.value;
  const { start, model } = weighed;
  const towardsModel = (list: readonly ('height' | 'forward')[]) => {
    const offset = modelOffset(weighed);
    return on(list, (curve) => {
      const path = list[0];
      const series = { ...model.centre[path], period: 2 * weighed.stepTime };
      const raised = path === 'height' ? timesSeries(series, weighed.rise) : series;
      return modelMove(curve, raised, offset, start, curve.gain ?? 0);
    });
  };
  switch (code) {
    case 'centimetres': {
      const wrong =
        channels.length === 1 && channels[0] === 'height' && !curves.forward ? ['height' as const] : CHANNELS;
      return on(wrong, () => valueUnitMove(0.01));
    }
    case 'frames-as-seconds':
      return on(CHANNELS, () => timeUnitMove(1 / weighed.fps));
    case 'repeated-frame':
      return dropLastSample(curves, weighed.fps);
    case 'keys-off-frames':
      return on(channels, () => frameMove(weighed.fps));
    case 'loop-pop-value':
      return on(channels, () => closeMove);
    case 'kink':
    case 'loop-pop-slope':
      return on(channels, () => smoothMove);
    case 'mean-load':
      return on(['height'], () => smoothMove);
    case 'loop-pop-load':
      return on(channels, () => handleMove(start));
    case 'wrong-phase':
    case 'uneven-steps':
    case 'limp':
      return towardsModel(['height']);
    case 'floaty':
      return findings[0].measured.value > 0.02 * findings[0].bound.value
        ? on(['height'], (curve) => scaleMove(curve, factor))
        : towardsModel(['height']);
    case 'too-hard':
      return on(['height'], (curve) => scaleMove(curve, factor));
    case 'pull':
      return on(['height'], (curve) => scaleMove(curve, CLEAR * factor));
    case 'straight-ramp':
    case 'surge-reversed':
    case 'surge-missing':
      return towardsModel(['forward']);
    case 'skate':
      return () => holdFeet(curves, findings);
    default:
      return undefined;
  }
}

/** Samples as a row of keys without handles, so that one set of moves serves both. */
function asCurve(path: WeighedPath): Curve {
  if (isCurve(path)) return path;
  const { times, values, period, gain } = path as SampledPath;
  const none = { span: 0, slope: 0 };
  const keys = times.map((time, i) => ({ time, value: values[i], in: none, out: none }));
  const loop = period === undefined ? {} : { period, gain };
  return { keys, start: times[0], ...loop, before: 'holds', after: 'holds' };
}

/** The row of keys as samples again where it came from samples. */
function backTo(path: WeighedPath, curve: Curve): WeighedPath {
  if (isCurve(path)) return curve;
  const { keys, period, gain } = curve;
  const loop = period === undefined ? {} : { period, ...(gain === undefined ? {} : { gain }) };
  return { times: keys.map(({ time }) => time), values: keys.map(({ value }) => value), ...loop };
}

function timesSeries<T extends { readonly cos: readonly number[]; readonly sin: readonly number[] }>(
  series: T,
  by: number,
): T {
  return { ...series, cos: series.cos.map((x) => x * by), sin: series.sin.map((x) => x * by) };
}

function dropLastSample(curves: TakenCurves, fps: number): ((s: number) => TakenCurves) | undefined {
  const sampled = CHANNELS.filter((channel) => curves[channel] && !isCurve(curves[channel]));
  if (sampled.length === 0) return undefined;
  const shorten = (path: SampledPath): SampledPath => ({
    ...path,
    times: path.times.slice(0, -1),
    values: path.values.slice(0, -1),
    ...(path.period === undefined ? {} : { period: path.period - 1 / fps }),
  });
  return () => ({
    ...curves,
    ...Object.fromEntries(sampled.map((channel) => [channel, shorten(curves[channel] as SampledPath)])),
  });
}

function holdFeet(curves: TakenCurves, findings: readonly Finding[]): TakenCurves {
  const skating = new Set(findings.map(({ channel }) => channel));
  const feet = (curves.feet ?? []).map((foot): WeighedFoot => {
    if (!skating.has(foot.foot)) return foot;
    let { forward, side } = foot;
    for (const contact of foot.contacts) {
      const { from, to } = stillSpan(contact);
      forward = holdMove(from, to)(forward, 1);
      if (side) side = holdMove(from, to)(side, 1);
    }
    return { ...foot, forward, ...(side ? { side } : {}) };
  });
  return { ...curves, feet };
}
