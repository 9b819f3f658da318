import { errorOf, type Problem, requireNumber, requireRecord, show } from '../internal/check.js';
import { type KnownUnit, readUnit } from './known-units.js';
import { plainText, readParts } from './read-parts.js';

/** How to write a quantity. */
export interface FormatOptions {
  /** Digits that count, whole, in [1, 15]. Default 4. */
  readonly digits?: number;
}

/**
 * A quantity in words as a plain number in the unit asked for.
 *
 * Numbers with a unit, sums of them (`5 ft 9 in`), quotients (`2/3 stride/s`) and the usual signs (m/s²,
 * 5′ 9″, 5'9) are read, in large letters too where nothing else is named so (`70 KG`); beside the units of
 * physics there are `stride`, `step` (half a stride), `frame`, `fps`, `mph`, `kph` and `knot`. A number
 * without a unit, a decimal comma and signs between thousands are refused.
 *
 * @param text - number and unit, at most 100 signs
 * @param unit - the unit that the number is wanted in, for example `m` or `1/s`
 * @returns the number, finite
 * @throws TypeError where `text` or `unit` is not a string; RangeError where it cannot be read, or does not
 * measure what `unit` measures
 *
 * @example
 * ```ts
 * import { quantity } from 'underfoot/units';
 *
 * console.log(quantity('5 ft 9 in', 'm').toFixed(4)); // → 1.7526
 * console.log(quantity('40/min', '1/s').toFixed(4)); // → 0.6667
 * ```
 */
export function quantity(text: string, unit: string): number {
  const target = requireUnit('quantity', 'unit', unit);
  const read = readQuantity(text, target);
  if (read !== undefined) return read;
  throw errorOf('quantity', quantityProblem('text', text, unit));
}

/**
 * A number as text in another unit: `3 ft`, without trailing zeros.
 *
 * @param value - finite, in `unit`
 * @param unit - unit of the number
 * @param as - unit to write it in; one that measures the same
 * @param options - digits that count, 4 by default
 * @returns number, a space and `as`
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { formatQuantity } from 'underfoot/units';
 *
 * console.log(formatQuantity(0.9144, 'm', 'ft')); // → 3 ft
 * console.log(formatQuantity(1.28, 'm/s', 'km/h', { digits: 3 })); // → 4.61 km/h
 * ```
 */
export function formatQuantity(
  value: number,
  unit: string,
  as: string = unit,
  options: FormatOptions = {},
): string {
  const where = 'formatQuantity';
  requireNumber(where, 'value', value);
  requireRecord(where, 'options', options, ['digits']);
  const { digits = 4 } = options;
  requireNumber(where, 'digits', digits, { whole: true, min: 1, max: 15 });
  const from = requireUnit(where, 'unit', unit);
  const target = requireUnit(where, 'as', as);
  if (!from.equalBase(target)) {
    throw errorOf(where, {
      field: 'as',
      rule: `must measure what ${unit} does`,
      got: show(as),
      kind: 'range',
    });
  }
  const converted = readUnit(`${value} ${denominated(unit)}`).toNumber(target);
  requireNumber(where, 'value', converted, { unit: as });
  return `${Number(converted.toPrecision(digits))} ${as}`;
}

/** A quantity in the unit, or nothing where it cannot be read or measures something else. */
export function readQuantity(text: unknown, target: KnownUnit): number | undefined {
  const parts = typeof text === 'string' ? readParts(text) : undefined;
  if (!parts) return undefined;
  try {
    const sum = parts
      .map(({ number, unit }) => readUnit(`${number} ${unit}`).toNumber(target))
      .reduce((a, b) => a + b);
    return Number.isFinite(sum) ? withoutNoise(sum) : undefined;
  } catch {
    // Its reasons are about its own grammar; ours is said by `quantityProblem`.
    return undefined;
  }
}

/** Digits that rounding may have touched: of 15 that count, fewer are kept where that makes it much shorter. */
function withoutNoise(value: number): number {
  const rounded = Number(value.toPrecision(15));
  return String(rounded).length + 3 <= String(value).length ? rounded : value;
}

/** What is wrong with a quantity that could not be read. */
export function quantityProblem(field: string, text: unknown, unit: string): Problem {
  const rule = `must be a quantity in ${unit} or the like, such as "${`3 ${unit}`.replace(' 1/', '/')}"`;
  return { field, rule, got: show(text), kind: typeof text === 'string' ? 'range' : 'type' };
}

/** `1/s` alone would be read as the number 1 over a second. */
function denominated(unit: string): string {
  return plainText(unit).replace(/^1?\s*\/\s*([A-Za-zµ]+)$/, '$1^-1');
}

function requireUnit(where: string, field: string, unit: unknown): KnownUnit {
  const rule = 'must be a unit such as "m" or "1/s"';
  if (typeof unit !== 'string') throw errorOf(where, { field, rule, got: show(unit), kind: 'type' });
  const plain = denominated(unit);
  if (plain !== '' && plain.length <= 100 && !/^[+-]?[\d.]/.test(plain)) {
    try {
      return readUnit(plain);
    } catch {
      // Refused below.
    }
  }
  throw errorOf(where, { field, rule, got: show(unit), kind: 'range' });
}

/** A unit that is known to be one. */
export function knownUnit(unit: string): KnownUnit {
  return requireUnit('knownUnit', 'unit', unit);
}
