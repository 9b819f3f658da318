import { createUnitDependencies, create as makeMath, unitDependencies } from 'mathjs';
import { lowerUnits, spellUnits } from './words.js';

/** The little of a unit that is used here; the library's own types would reach users as `any`. */
export interface KnownUnit {
  toNumber(target: KnownUnit): number;
  equalBase(other: KnownUnit): boolean;
}

interface KnownUnits {
  unit(text: string): KnownUnit;
  createUnit(name: string, definition: string | object, options?: object): unknown;
}

/**
 * Units of our own instance: what is added here is not seen by anybody else's.
 *
 * Only these two functions were asked for. The instance is typed as if it had all the others too; they
 * throw, so it is narrowed here to what it has.
 */
function makeUnits(): KnownUnits {
  const units = makeMath({ unitDependencies, createUnitDependencies }) as unknown as KnownUnits;
  units.createUnit('stride', { aliases: ['strides'] });
  units.createUnit('step', { definition: '0.5 stride', aliases: ['steps'] });
  units.createUnit('frame', { aliases: ['frames'] });
  units.createUnit('fps', '1 frame/s');
  units.createUnit('mph', '1 mile/hour');
  units.createUnit('kph', '1 km/hour');
  units.createUnit('knot', '1852 m/hour');
  return units;
}

let made: KnownUnits | undefined;

/**
 * A number and a unit, or a unit alone, as plain text; throws whatever the reader throws. Large letters are
 * taken for small ones only where nothing has the name as it is written.
 */
export function readUnit(text: string): KnownUnit {
  made ??= makeUnits();
  const spelt = spellUnits(text);
  try {
    return made.unit(spelt);
  } catch (error) {
    const lower = lowerUnits(spelt);
    if (lower === spelt) throw error;
    return made.unit(lower);
  }
}
