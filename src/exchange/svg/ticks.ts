/** Round values to mark on an axis, and how many decimals they need. */
export interface Ticks {
  readonly values: readonly number[];
  readonly step: number;
  readonly decimals: number;
}

/**
 * Round ticks (1, 2, 2.5 or 5 times a power of ten) inside [low, high], about `count` of them and never
 * more than twice that.
 */
export function niceTicks(low: number, high: number, count = 5): Ticks {
  const rough = (high - low) / Math.max(1, count);
  if (!(rough > 0)) return { values: [low], step: 1, decimals: 0 };
  const power = 10 ** Math.floor(Math.log10(rough));
  const times = [1, 2, 2.5, 5, 10].find((factor) => factor * power >= rough * 0.999) ?? 10;
  const step = times * power;
  const decimals = Math.max(0, -Math.floor(Math.log10(power)) + (times === 2.5 ? 1 : 0));
  return ticksEvery(low, high, step, decimals);
}

/** Ticks at whole multiples of `step` inside [low, high]. */
export function ticksEvery(low: number, high: number, step: number, decimals = 0): Ticks {
  const first = Math.ceil(low / step - 1e-6);
  const last = Math.floor(high / step + 1e-6);
  const values: number[] = [];
  for (let i = first; i <= last; i++) values.push(i * step);
  return { values, step, decimals };
}

/** The range that holds all values and ends on round ticks, about `count` of them. */
export function niceRange(low: number, high: number, count = 5): readonly [number, number] {
  return rangeAt(low, high, niceTicks(low, high, count).step);
}

/** The range that holds all values and ends on whole multiples of `step`. */
export function rangeAt(low: number, high: number, step: number): readonly [number, number] {
  return [Math.floor(low / step + 1e-6) * step, Math.ceil(high / step - 1e-6) * step];
}
