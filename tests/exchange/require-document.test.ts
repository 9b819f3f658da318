import { describe, expect, it } from 'vitest';
import {
  applyToRig,
  chartFollower,
  chartForces,
  chartPaces,
  chartRoot,
  chartTiming,
  rigSources,
  toCsv,
  toGlb,
  toPage,
  toUsd,
} from '../../src/exchange/index.js';
import { planShot, planWalk } from '../../src/gait/index.js';
import { exampleDocument } from './example-document.js';

const walk = planWalk({ pace: 'ordinary' });
const shot = planShot({ stretches: [{ steps: 2 }] });
const document = exampleDocument();
const RULE = 'must be a motion document, as toDocument or readDocument returns it, got';

/** Everything that takes a document, by name, with the field that it calls it by. */
const TAKERS: readonly (readonly [string, string, (given: never) => unknown])[] = [
  ['toCsv', 'document', toCsv],
  ['toUsd', 'document', toUsd],
  ['toPage', 'documents[0]', toPage],
  ['chartRoot', 'document', chartRoot],
  ['chartForces', 'document', chartForces],
  ['chartFollower', 'document', (given) => chartFollower(given, document.followers[0])],
  ['chartTiming', 'documents[0]', (given) => chartTiming([given])],
  ['chartPaces', 'documents[0]', (given) => chartPaces([given])],
  ['rigSources', 'document', rigSources],
  ['applyToRig', 'document', (given) => applyToRig(given, {} as never, {})],
];

describe('what takes a document', () => {
  it.each(TAKERS)('%s says so where it is given a motion', (name, field, take) => {
    expect(() => take(walk as never)).toThrow(new TypeError(`${name}: ${field} ${RULE} a walk`));
    expect(() => take(shot as never)).toThrow(new TypeError(`${name}: ${field} ${RULE} a shot`));
    expect(() => take(undefined as never)).toThrow(new TypeError(`${name}: ${field} ${RULE} undefined`));
  });

  it.each(TAKERS)('%s names the part that is missing', (name, field, take) => {
    const { forces: _, ...rest } = document;
    expect(() => take(rest as never)).toThrow(`${name}: ${field}.forces must be an object, got undefined`);
  });

  it('is toGlb as well, by a promise', async () => {
    await expect(toGlb(walk as never)).rejects.toThrow(`toGlb: document ${RULE} a walk`);
  });

  it('is a chart that wants one of the followers', () => {
    expect(() => chartFollower(document, 'belly' as never)).toThrow(
      'chartFollower: follower must be an object, got "belly"',
    );
  });
});
