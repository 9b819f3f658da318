/**
 * Units as people write them, by the word in small letters: spellings, plurals and abbreviations that the
 * units of physics do not know by these names.
 */
const SPELT: Readonly<Record<string, string>> = {
  metre: 'm',
  metres: 'm',
  centimetre: 'cm',
  centimetres: 'cm',
  millimetre: 'mm',
  millimetres: 'mm',
  kilometre: 'km',
  kilometres: 'km',
  gramme: 'g',
  grammes: 'g',
  kilo: 'kg',
  kilos: 'kg',
  kgs: 'kg',
  kilogramme: 'kg',
  kilogrammes: 'kg',
  pound: 'lb',
  pounds: 'lb',
  st: 'stone',
  stones: 'stone',
  kmh: 'kph',
  knots: 'knot',
  sec: 's',
  secs: 's',
  mins: 'min',
  hr: 'h',
  hrs: 'h',
};

/** Words whose large letters can only be meant as small ones; of others, such as `Mm`, they are the meaning. */
const ANY_CASE: ReadonlySet<string> = new Set(
  [
    'm cm mm km ft foot feet in inch inches yd yard yards mi mile miles',
    'meter meters centimeter centimeters millimeter millimeters kilometer kilometers',
    'kg g lb lbs stone gram grams kilogram kilograms',
    's second seconds min minute minutes h hour hours mph kph knot fps hertz',
    'stride strides step steps frame frames deg degree degrees rad radian radians',
  ].flatMap((words) => words.split(' ')),
);

/** Units written as people do, in the names that are read: `metres`, `KG`, `hz`. */
export function spellUnits(unit: string): string {
  return unit.replace(/[A-Za-z]+/g, (word) => {
    const small = word.toLowerCase();
    if (Object.hasOwn(SPELT, small)) return SPELT[small];
    if (small === 'hz') return 'Hz';
    return word;
  });
}

/** The same where large letters stood for small ones; nothing where there is no such word. */
export function lowerUnits(unit: string): string {
  return unit.replace(/[A-Za-z]+/g, (word) => (ANY_CASE.has(word.toLowerCase()) ? word.toLowerCase() : word));
}
