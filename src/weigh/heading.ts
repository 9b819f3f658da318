import type { Side } from '../gait/walk.js';

/** What a column of a table holds, read off its heading. */
export interface Heading {
  readonly quantity: 'force' | 'pressure' | 'time' | 'sample';
  /** 0, 1, 2 for x, y, z; -1 for times. */
  readonly axis: number;
  /** What tells one plate's columns from another's: a number, a side, or nothing. */
  readonly plate: string;
  readonly foot?: Side;
  /** Unit in brackets, lower case; empty where there is none. */
  readonly unit: string;
}

/** Words that say nothing about the quantity. */
const FILLER = new Set([
  'plate',
  'platform',
  'fp',
  'belt',
  'ground',
  'grf',
  'treadmill',
  'foot',
  'of',
  'the',
]);

const SIDES: Readonly<Record<string, Side>> = { left: 'left', l: 'left', right: 'right', r: 'right' };

const FORCE = /^(?:f|force|forcev|v)([xyz])$/;
const PRESSURE = /^(?:cop|centreofpressure|centerofpressure|pressure|forcep|p)([xyz])$/;
const TIME = /^(?:t|time|seconds|sec)$/;
const SAMPLE = /^(?:sample|samples|frame|frames|index|subframe|item)$/;

/** What a heading means, or nothing where it is not one of forces, centres of pressure or times. */
export function readHeading(text: string): Heading | undefined {
  if (text.length > 200) return undefined;
  const bracket = /[([]([^)\]]*)[)\]]/.exec(text);
  const unit = bracket ? bracket[1].trim().toLowerCase() : '';
  const plain = bracket ? text.replace(bracket[0], ' ') : text;
  const words = plain.toLowerCase().match(/[a-z]+|[0-9]+/g) ?? [];
  let foot: Side | undefined;
  let number = '';
  const rest: string[] = [];
  for (const word of words) {
    if (/^[0-9]/.test(word)) number += `${number && '.'}${word}`;
    else if (SIDES[word] && words.length > 1) foot = SIDES[word];
    else if (!FILLER.has(word)) rest.push(word);
  }
  const name = rest.join('');
  const plate = number || foot || '';
  const axisOf = (letter: string): number => 'xyz'.indexOf(letter);
  const force = FORCE.exec(name);
  if (force) return { quantity: 'force', axis: axisOf(force[1]), plate, foot, unit };
  const pressure = PRESSURE.exec(name);
  if (pressure) return { quantity: 'pressure', axis: axisOf(pressure[1]), plate, foot, unit };
  if (TIME.test(name)) return { quantity: 'time', axis: -1, plate: '', unit };
  if (SAMPLE.test(name)) return { quantity: 'sample', axis: -1, plate: '', unit };
  return undefined;
}
