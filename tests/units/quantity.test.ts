import fc from 'fast-check';
import { create, unitDependencies } from 'mathjs';
import { describe, expect, it } from 'vitest';
import { formatQuantity, quantity } from '../../src/units/index.js';
import { assertClose } from '../support/assert-close.js';

/** A conversion is one or two products: a few roundings. */
const ROUNDING = { rel: 1e-14 };

describe('a quantity in words', () => {
  // The exact sizes of the international foot, inch, mile, pound and stone: NIST SP 811 (2008), appendix B.
  it.each([
    ['3 ft', 'm', 3 * 0.3048],
    ['5.9ft', 'm', 5.9 * 0.3048],
    ['5 ft 9 in', 'm', 5 * 0.3048 + 9 * 0.0254],
    ['5′ 9″', 'm', 5 * 0.3048 + 9 * 0.0254],
    ['5\'9"', 'm', 5 * 0.3048 + 9 * 0.0254],
    ['-5 ft 6 in', 'ft', -5.5],
    ['−90 cm', 'm', -0.9],
    ['154 lb', 'kg', 154 * 0.45359237],
    ['11 stone', 'kg', 11 * 14 * 0.45359237],
    ['3 mph', 'm/s', (3 * 1609.344) / 3600],
    ['4.6 km/h', 'm/s', 4.6 / 3.6],
    ['9.80665 m/s²', 'm/s^2', 9.80665],
    ['1.62 m·s⁻²', 'm/s^2', 1.62],
    ['32.174 ft/s^2', 'm/s²', 32.174 * 0.3048],
    ['40/min', '1/s', 2 / 3],
    ['40 per min', 'Hz', 2 / 3],
    ['2/3 Hz', '1/min', 40],
    ['2/3 stride/s', 'strides/min', 40],
    ['80 steps/min', 'stride/min', 40],
    ['24 fps', 'frames/s', 24],
    ['24000/1001 frames/s', 'fps', 24000 / 1001],
    ['30°', 'rad', Math.PI / 6],
    ['1e3 mm', 'm', 1],
    ['20 degC', 'K', 293.15],
    // As people write them: British spelling, plurals, abbreviations, large letters, what they type for ′ and ″.
    ['1.75 metres', 'm', 1.75],
    ['175 Centimetres', 'm', 1.75],
    ['70 KG', 'kg', 70],
    ['70 kilos', 'kg', 70],
    ['154 Pounds', 'kg', 154 * 0.45359237],
    ['12 st 4 lb', 'kg', (12 * 14 + 4) * 0.45359237],
    ['3 FT 4 IN', 'm', 40 * 0.0254],
    ['2 M/S', 'm/s', 2],
    ['5 KM/H', 'm/s', 5 / 3.6],
    ['5 kph', 'm/s', 5 / 3.6],
    ['2 knots', 'm/s', (2 * 1852) / 3600],
    ['0.9 hz', '1/s', 0.9],
    ["5'9", 'm', 69 * 0.0254],
    ['5 ft 9', 'm', 69 * 0.0254],
    ['5’ 9”', 'm', 69 * 0.0254],
    ['6 ft. 1 in.', 'm', 73 * 0.0254],
    ['1 Mm', 'm', 1e6],
  ])('%s in %s is %d', (text, unit, value) => {
    assertClose(quantity(text, unit), value, ROUNDING);
  });

  it.each([
    ['3 ft', 'm', 0.9144],
    ['3 in', 'm', 0.0762],
    ['1/3 m', 'm', 1 / 3],
    ['0.1 m', 'm', 0.1],
  ])('%s in %s is %d to the bit', (text, unit, value) => {
    expect(quantity(text, unit)).toBe(value);
  });

  it.each([
    '',
    '3',
    'm',
    '3 kg',
    '3 m 4',
    '1 m 20',
    '3 Kgs/m',
    '1,000 m',
    '1 000 m',
    '0x10 m',
    '3 MHZ',
    '٣ m',
    '5 ft -9 in',
    '3 m + 4 m',
    '1,5 m',
    '1e400 m',
    '1/0 m',
    'NaN m',
    '3 __proto__',
  ])('is refused where it is %j and a length is wanted', (text) => {
    expect(() => quantity(text, 'm')).toThrow(RangeError);
    expect(() => quantity(text, 'm')).toThrow(
      `quantity: text must be a quantity in m or the like, such as "3 m", got ${JSON.stringify(text)}`,
    );
  });

  it('is refused where it is too long, without being read', () => {
    expect(() => quantity(`${'1 m '.repeat(40)}`, 'm')).toThrow(RangeError);
  });

  it('is refused where it is no text, and where the unit is none', () => {
    expect(() => quantity(3 as never, 'm')).toThrow(TypeError);
    expect(() => quantity('3 m', '')).toThrow('quantity: unit must be a unit such as "m" or "1/s", got ""');
    expect(() => quantity('3 m', '3 m')).toThrow(RangeError);
    expect(() => quantity('3 m', 'fathomless')).toThrow(RangeError);
    expect(() => quantity('3 m', null as never)).toThrow(TypeError);
  });

  it('never gives anything but a finite number or one of our errors, whatever the text', () => {
    const pieces = fc.constantFrom(
      '3',
      ' ',
      'm',
      '/',
      '^',
      '-',
      'e',
      '.',
      's',
      '(',
      '%',
      '²',
      '′',
      '{',
      'ft',
    );
    const text = fc.oneof(
      fc.string({ maxLength: 20 }),
      fc.array(pieces, { maxLength: 10 }).map((p) => p.join('')),
    );
    fc.assert(
      fc.property(text, (words) => {
        try {
          expect(Number.isFinite(quantity(words, 'm'))).toBe(true);
        } catch (error) {
          expect(String(error)).toMatch(/^RangeError: quantity: text must be a quantity in m/);
        }
      }),
      { numRuns: 2000 },
    );
  });

  it('leaves the units of everybody else alone', () => {
    quantity('1 stride', 'stride');
    expect(() => create({ unitDependencies }).unit('1 stride')).toThrow();
  });
});

describe('a number as text', () => {
  it.each([
    [0.9144, 'm', 'ft', '3 ft'],
    [2 / 3, '1/s', '1/min', '40 1/min'],
    [1.28, 'm/s', 'km/h', '4.608 km/h'],
    [1e-7, 'm', 'mm', '0.0001 mm'],
    [0, 'kg', 'lb', '0 lb'],
    [-70, 'kg', 'kg', '-70 kg'],
  ])('%d %s in %s is %s', (value, unit, as, text) => {
    expect(formatQuantity(value, unit, as)).toBe(text);
  });

  it('is read back as it was, to the digits that count', () => {
    const value = fc.double({ min: 1e-6, max: 1e6, noNaN: true });
    fc.assert(
      fc.property(value, fc.constantFrom('m', 'ft', 'cm', 'in'), (metres, unit) => {
        const text = formatQuantity(metres, 'm', unit, { digits: 12 });
        assertClose(quantity(text, 'm'), metres, { rel: 1e-11 });
      }),
    );
  });

  it('is refused where it is not finite, the units differ or an option is unknown', () => {
    expect(() => formatQuantity(Number.NaN, 'm')).toThrow(RangeError);
    expect(() => formatQuantity(3, 'm', 'kg')).toThrow(
      'formatQuantity: as must measure what m does, got "kg"',
    );
    expect(() => formatQuantity(3, 'm', 'm', { decimals: 2 } as never)).toThrow(TypeError);
    expect(() => formatQuantity(1e308, 'km', 'mm')).toThrow(RangeError);
  });
});
