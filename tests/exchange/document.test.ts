import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { evaluate } from '../../src/curves/evaluate.js';
import { evaluateSeries } from '../../src/curves/series.js';
import { checkDocument, readDocument } from '../../src/exchange/read-document.js';
import { planWalk } from '../../src/gait/plan-walk.js';
import { poseSeries } from '../../src/gait/pose/pose-series.js';
import { reactionsAt, sampleReactions } from '../../src/gait/reactions.js';
import { snapToFrames } from '../../src/gait/snap-to-frames.js';
import { assertClose } from '../support/assert-close.js';
import { exampleDocument } from './example-document.js';

/** Sums of a few dozen doubles near 1. */
const ROUNDING = { abs: 1e-12 };

const example = exampleDocument();
const text = JSON.stringify(example);

type Path = readonly (string | number)[];

/** Paths of everything inside plain data that `keep` wants. */
function pathsOf(value: unknown, keep: (value: unknown) => boolean, path: Path = []): Path[] {
  const own = path.length > 0 && keep(value) ? [path] : [];
  if (typeof value !== 'object' || value === null) return own;
  return [...own, ...Object.entries(value).flatMap(([key, item]) => pathsOf(item, keep, [...path, key]))];
}

/** A deep copy with one place changed; `undefined` takes the place away. */
function changed(path: Path, value: unknown): unknown {
  const copy = JSON.parse(text);
  const owner = path.slice(0, -1).reduce((item, key) => item[key], copy);
  const last = path[path.length - 1];
  if (value === undefined) delete owner[last];
  else owner[last] = value;
  return copy;
}

describe('a motion document', () => {
  it('comes back from its text as it was', () => {
    expect(readDocument(text)).toEqual(example);
    expect(JSON.stringify(readDocument(text))).toBe(text);
  });

  it('is read in its first version too, without what came later', () => {
    const { turns, ...rest } = JSON.parse(text);
    expect(turns).toBeDefined();
    const first = { ...rest, version: '1.0' };
    expect(readDocument(JSON.stringify(first))).toEqual(first);
  });

  it('holds how the body turns, as the exact series say', () => {
    const walk = snapToFrames(planWalk({ pace: 'ordinary' }), { fps: 24 });
    const series = poseSeries(walk);
    const error = example.turns?.error ?? 0;
    expect(error).toBeLessThan(0.005);
    for (let i = 0; i < 50; i++) {
      const time = (i * example.span.duration) / 50;
      for (const part of ['pelvis', 'chest', 'head'] as const) {
        for (const angle of ['heading', 'roll', 'pitch'] as const) {
          const curve = example.turns![part][angle];
          assertClose(evaluate(curve, time), evaluateSeries(series[part][angle], time).value, {
            // Measured on a grid of times; between them it may be a hair more.
            abs: 1.02 * error,
          });
        }
      }
    }
  });

  it('holds forces whose mean over the stride is one body weight, sampled on the frames', () => {
    const { total, time, perFrame } = example.forces;
    assertClose(total.vertical.reduce((sum, x) => sum + x, 0) / total.vertical.length, 1, ROUNDING);
    expect(time.length).toBe(26 * perFrame);
    const walk = snapToFrames(planWalk({ pace: 'ordinary' }), { fps: 24 });
    const frame = 7;
    const { left, right } = reactionsAt(walk, frame / 24);
    assertClose(example.forces.left.forward[frame * perFrame], left.forward, ROUNDING);
    assertClose(example.forces.right.vertical[frame * perFrame], right.vertical, ROUNDING);
  });

  it('weighs what is carried, as the tables of reactions do', () => {
    const spec = { pace: 'ordinary', body: { mass: 60 }, carry: { mass: 20, where: 'back' } } as const;
    const { forces } = exampleDocument({ spec });
    assertClose(forces.newtonsPerBodyWeight, sampleReactions(planWalk(spec)).newtonsPerBodyWeight, ROUNDING);
  });

  it('brings the walk onto whole frames and keeps the note that says so', () => {
    assertClose(example.span.duration * 24, 26, ROUNDING);
    expect(example.notes.map(({ code }) => code)).toContain('pace-snapped');
  });

  it('is refused without any one of its required fields', () => {
    const optional =
      /^(pace|body\.carried|root\.error|turns|turns\.error|followers\.\d+\.(error|part))$|^made\.spec\.|\.(load|gain|next|of|meta|locked)$|\.\d+$/;
    const paths = pathsOf(example, () => true).filter((path) => {
      const name = path.join('.');
      const inOptional = /^(pace|root\.error|notes\.\d+\.values)\./.test(name);
      return !optional.test(name) && !inOptional;
    });
    expect(paths.length).toBeGreaterThan(100);
    for (const path of paths) {
      expect(checkDocument(changed(path, undefined)), path.join('.')).not.toEqual([]);
    }
  });

  it('is refused with anything but a finite number in the place of any number', () => {
    const numbers = pathsOf(example, (value) => typeof value === 'number').filter(
      ([first]) => first !== 'made',
    );
    fc.assert(
      fc.property(
        fc.constantFrom(...numbers),
        fc.constantFrom(null, '1', [], {}, Number.NaN, Number.POSITIVE_INFINITY, true),
        (path, value) => checkDocument(changed(path, value)).length > 0,
      ),
      { numRuns: 300 },
    );
  });

  it('is refused with a field that nobody knows, wherever it stands', () => {
    const records = pathsOf(example, (value) => typeof value === 'object' && !Array.isArray(value)).filter(
      ([first, ...rest]) =>
        !['body', 'pace'].includes(String(first)) && !rest.includes('spec') && !rest.includes('values'),
    );
    for (const path of records.filter((_, i) => i % 7 === 0)) {
      expect(checkDocument(changed([...path, 'cargo'], 1)), path.join('.')).not.toEqual([]);
    }
  });
});

describe('a hostile document', () => {
  it('does not reach a prototype', () => {
    const planted = text.replace('"spec":{', '"spec":{"__proto__":{"polluted":true},');
    expect(planted).not.toBe(text);
    expect(() => readDocument(planted)).toThrow('readDocument: made.spec must have no field of that name');
    expect(({} as { polluted?: boolean }).polluted).toBeUndefined();
    expect(() => readDocument(text.replace('"scene":{', '"scene":{"__proto__":{},'))).toThrow(TypeError);
  });

  it('is refused where it is too deep, too long or not JSON', () => {
    const deep = text.replace('"spec":{', `"spec":{"a":${'['.repeat(5000)}${']'.repeat(5000)},`);
    expect(() => readDocument(deep)).toThrow('nested deeper than 12 levels');
    expect(() => readDocument(text, { maxLength: 1000 })).toThrow(
      /source must have at most 1000 signs, got \d+/,
    );
    expect(() => readDocument('{"format":')).toThrow(SyntaxError);
    expect(() => readDocument(null)).toThrow('readDocument: document must be an object, got null');
  });

  it.each([
    ['a newer major version', ['version'], '2.0', 'readDocument: version must match'],
    ['a newer minor version', ['version'], '1.7', 'readDocument: version must be at most 1.1'],
    ['a way that leads upwards', ['scene', 'forward'], '+y', 'scene.forward must not run along scene.up'],
    ['a force column cut short', ['forces', 'left', 'side'], [0], 'forces.left.side must have 208 entries'],
    ['times that stand still', ['forces', 'time', 5], 0, 'forces.time[5] must be > the time before it'],
    ['a foot that lifts before it lands', ['feet', 'left', 'contacts', 0, 'lift'], 0, 'lift must be >'],
    [
      'a handle outside its segment',
      ['root', 'height', 'keys', 2, 'out', 'span'],
      9,
      'root.height.keys[2].out.span',
    ],
    ['keys out of order', ['followers', 0, 'curve', 'keys', 3, 'time'], 0, 'followers[0].curve.keys[3].time'],
  ] as const)('is refused with %s', (_, path, value, message) => {
    expect(() => readDocument(changed(path, value))).toThrow(message);
  });
});
