import { DOCUMENT_FORMAT } from './document.js';
import type { JsonSchema } from './json-schema.js';

/** Most entries of any list in a document, and most signs of any text: a guard, far above any real motion. */
export const DOCUMENT_LIMITS = { items: 1_000_000, text: 10_000, names: 200 } as const;

const text: JsonSchema = { type: 'string', maxLength: DOCUMENT_LIMITS.text };
const number: JsonSchema = { type: 'number' };
const notNegative: JsonSchema = { type: 'number', minimum: 0 };
const index: JsonSchema = { type: 'integer', minimum: 0, maximum: 1000 };
const positive: JsonSchema = { type: 'number', exclusiveMinimum: 0 };
const numbers: JsonSchema = { type: 'array', items: number, minItems: 1, maxItems: DOCUMENT_LIMITS.items };
const side: JsonSchema = { type: 'string', enum: ['left', 'right'] };
const outside: JsonSchema = { type: 'string', enum: ['holds', 'straight', 'loops', 'travels'] };

function listOf(items: JsonSchema, minItems = 0): JsonSchema {
  return { type: 'array', items, minItems, maxItems: DOCUMENT_LIMITS.items };
}

/** An object of known fields and no others; those named last may be left out. */
function record(
  properties: Readonly<Record<string, JsonSchema>>,
  ...optional: readonly string[]
): JsonSchema {
  const required = Object.keys(properties).filter((name) => !optional.includes(name));
  return { type: 'object', properties, required, additionalProperties: false };
}

const ref = (name: string): JsonSchema => ({ $ref: `#/$defs/${name}` });

const definitions: Readonly<Record<string, JsonSchema>> = {
  tangent: record({ span: { type: 'number', minimum: 0 }, slope: number }),
  key: record(
    {
      time: number,
      value: number,
      in: ref('tangent'),
      out: ref('tangent'),
      next: { type: 'string', enum: ['curve', 'line', 'hold'] },
      arrives: number,
      locked: { type: 'boolean' },
      meta: ref('plain'),
    },
    'next',
    'arrives',
    'locked',
    'meta',
  ),
  curve: record(
    {
      keys: listOf(ref('key'), 1),
      start: number,
      period: positive,
      gain: number,
      before: outside,
      after: outside,
      of: { type: 'string', enum: ['centreOfMass', 'root'] },
      meta: ref('plain'),
    },
    'period',
    'gain',
    'of',
    'meta',
  ),
  force: record({ vertical: numbers, forward: numbers, side: numbers }),
  foot: record(
    {
      height: ref('curve'),
      forward: ref('curve'),
      side: ref('curve'),
      pitch: ref('curve'),
      toeBend: ref('curve'),
      heading: ref('curve'),
      contacts: listOf(record({ land: number, flat: number, heelOff: number, lift: number })),
      plants: listOf(
        record(
          { forward: number, side: number, heading: number, height: number, pitch: number },
          'height',
          'pitch',
        ),
      ),
      shape: record({ heelToBall: positive, ballToToe: positive, breadth: positive }),
      error: record({ slip: notNegative, path: notNegative }),
    },
    'heading',
  ),
  turn: record({ heading: ref('curve'), roll: ref('curve'), pitch: ref('curve') }),
  arm: record({ pitch: ref('curve'), elbow: ref('curve') }),
  part: record(
    {
      name: text,
      kind: { type: 'string', enum: ['bounce', 'strand', 'cloth'] },
      carrier: { type: 'string', enum: ['hips', 'chest', 'head'] },
      at: record({ height: number, forward: number, side: number }),
      strand: index,
      link: index,
      length: positive,
      rest: number,
      ring: { type: 'boolean' },
    },
    'at',
    'strand',
    'link',
    'length',
    'rest',
    'ring',
  ),
  errorPart: record({ max: notNegative, at: number, rms: notNegative }),
  keyedError: record({
    value: ref('errorPart'),
    load: ref('errorPart'),
    jump: record({ max: notNegative, at: number }),
  }),
  plain: { type: 'object', maxProperties: DOCUMENT_LIMITS.names },
  axis: { type: 'string', enum: ['+x', '-x', '+y', '-y', '+z', '-z'] },
};

/** Known numbers, and room for more of them as bodies and paces learn more. */
function numbersOf(properties: Readonly<Record<string, JsonSchema>>): JsonSchema {
  return { ...record(properties), additionalProperties: number, maxProperties: DOCUMENT_LIMITS.names };
}

const pace = numbersOf({
  speed: positive,
  strideLength: positive,
  strideTime: positive,
  strideRate: positive,
  stepLength: positive,
  stepTime: positive,
  dimensionlessSpeed: positive,
  froude: positive,
});

/** JSON Schema (draft 2020-12) of a motion document; what `readDocument` checks by, and more can. */
export const MOTION_DOCUMENT_SCHEMA: JsonSchema = {
  $schema: 'https://json-schema.org/draft/2020-12/schema',
  $id: 'https://underfoot.invalid/schema/motion-document-1.json',
  title: 'Underfoot motion document',
  description:
    'Curves, forces, feet, followers and notes of one motion. Metres, seconds, radians and body weights along forward, side (left) and height; `scene` holds the conventions of the host.',
  ...record(
    {
      format: { type: 'string', const: DOCUMENT_FORMAT },
      version: { type: 'string', pattern: '^1\\.(0|[1-9][0-9]{0,3})$' },
      name: text,
      made: record({ by: { type: 'string', const: 'underfoot' }, version: text, spec: ref('plain') }),
      scene: record({
        up: { type: 'string', enum: ['y', 'z'] },
        forward: ref('axis'),
        metersPerUnit: positive,
        frameRate: record({ frames: positive, seconds: positive }),
        firstFrame: { type: 'integer', minimum: -1e9, maximum: 1e9 },
      }),
      units: record({
        length: { type: 'string', const: 'm' },
        time: { type: 'string', const: 's' },
        angle: { type: 'string', const: 'rad' },
        force: { type: 'string', const: 'BW' },
        mass: { type: 'string', const: 'kg' },
      }),
      body: numbersOf({ mass: positive, legLength: positive, stature: positive }),
      gravity: positive,
      pace,
      span: record({ start: number, duration: positive, repeats: { type: 'boolean' } }),
      root: record(
        {
          of: { type: 'string', enum: ['centreOfMass', 'root'] },
          height: ref('curve'),
          forward: ref('curve'),
          side: ref('curve'),
          heading: ref('curve'),
          error: record(
            { height: ref('keyedError'), forward: ref('keyedError'), side: ref('keyedError') },
            'height',
            'forward',
            'side',
          ),
        },
        'heading',
        'error',
      ),
      turns: record(
        {
          pelvis: ref('turn'),
          chest: ref('turn'),
          head: ref('turn'),
          arms: record({ left: ref('arm'), right: ref('arm') }),
          error: notNegative,
        },
        'error',
      ),
      feet: record({ left: ref('foot'), right: ref('foot') }),
      forces: record({
        perFrame: { type: 'integer', minimum: 1, maximum: 64 },
        time: numbers,
        left: ref('force'),
        right: ref('force'),
        total: ref('force'),
        newtonsPerBodyWeight: positive,
      }),
      chart: listOf(
        record({
          pose: { type: 'string', enum: ['contact', 'down', 'passing', 'up'] },
          foot: side,
          time: number,
          frame: { type: 'integer' },
        }),
      ),
      followers: listOf(
        record(
          {
            name: text,
            unit: { type: 'string', enum: ['m', 'rad'] },
            channel: { type: 'string', enum: ['height', 'forward', 'side'] },
            space: { type: 'string', enum: ['relative', 'world'] },
            curve: ref('curve'),
            part: ref('part'),
            error: { type: 'number', minimum: 0 },
          },
          'part',
          'error',
        ),
      ),
      notes: listOf(
        record({
          code: text,
          text,
          values: { type: 'object', additionalProperties: number, maxProperties: DOCUMENT_LIMITS.names },
        }),
      ),
    },
    'pace',
    'turns',
  ),
  $defs: definitions,
};
