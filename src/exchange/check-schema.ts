import { isRecord, numberProblem, type Problem, show } from '../internal/check.js';
import type { JsonSchema } from './json-schema.js';

/** Problems listed before giving up: a broken file needs no more. */
const MOST = 20;

/**
 * What is wrong with a value by a schema, in the order of the value's fields, at most 20 problems. Walks
 * the schema, never deeper than it goes, and reads own fields only; where the schema asks for a plain
 * object it goes 12 levels deep.
 */
export function schemaProblems(value: unknown, schema: JsonSchema): Problem[] {
  const problems: Problem[] = [];
  checkValue(value, schema, '', schema.$defs ?? {}, problems);
  return problems;
}

type Definitions = Readonly<Record<string, JsonSchema>>;

function checkValue(
  value: unknown,
  schema: JsonSchema,
  path: string,
  defs: Definitions,
  out: Problem[],
): void {
  if (out.length >= MOST) return;
  const { $ref } = schema;
  if ($ref !== undefined) {
    const name = $ref.slice('#/$defs/'.length);
    if (name === 'plain') checkPlain(value, path, 12, out);
    checkValue(value, defs[name], path, defs, out);
    return;
  }
  switch (schema.type) {
    case 'object':
      checkObject(value, schema, path, defs, out);
      return;
    case 'array':
      checkArray(value, schema, path, defs, out);
      return;
    case 'string':
      checkString(value, schema, path, out);
      return;
    case 'number':
    case 'integer': {
      const problem = numberProblem(path, value, {
        min: schema.minimum,
        max: schema.maximum,
        above: schema.exclusiveMinimum,
        whole: schema.type === 'integer',
      });
      if (problem) out.push(problem);
      return;
    }
    case 'boolean':
      if (typeof value !== 'boolean') refuse(out, path, 'must be true or false', show(value), 'type');
  }
}

function refuse(
  out: Problem[],
  path: string,
  rule: string,
  got: string,
  kind: Problem['kind'] = 'range',
): void {
  out.push({ field: path || 'document', rule, got, kind });
}

function checkObject(
  value: unknown,
  schema: JsonSchema,
  path: string,
  defs: Definitions,
  out: Problem[],
): void {
  if (!isRecord(value)) {
    refuse(out, path, 'must be an object', show(value), 'type');
    return;
  }
  const names = Object.keys(value);
  const {
    properties = {},
    required = [],
    additionalProperties,
    maxProperties = Number.POSITIVE_INFINITY,
  } = schema;
  if (names.length > maxProperties) {
    refuse(out, path, `must have at most ${maxProperties} fields`, String(names.length));
    return;
  }
  const inside = (name: string): string => (path ? `${path}.${name}` : name);
  for (const name of required) {
    if (!Object.hasOwn(value, name)) refuse(out, inside(name), 'must be there', 'nothing', 'type');
  }
  for (const name of names) {
    if (Object.hasOwn(properties, name)) checkValue(value[name], properties[name], inside(name), defs, out);
    else if (additionalProperties === false) {
      refuse(out, path, `must have no fields but ${Object.keys(properties).join(', ')}`, show(name), 'type');
    } else if (typeof additionalProperties === 'object') {
      checkValue(value[name], additionalProperties, inside(name), defs, out);
    }
    if (out.length >= MOST) return;
  }
}

function checkArray(
  value: unknown,
  schema: JsonSchema,
  path: string,
  defs: Definitions,
  out: Problem[],
): void {
  if (!Array.isArray(value)) {
    refuse(out, path, 'must be an array', show(value), 'type');
    return;
  }
  const { minItems = 0, maxItems = Number.POSITIVE_INFINITY, items } = schema;
  if (value.length < minItems || value.length > maxItems) {
    refuse(out, path, `must have ${minItems} to ${maxItems} entries`, String(value.length));
    return;
  }
  if (!items) return;
  for (let i = 0; i < value.length && out.length < MOST; i++) {
    checkValue(value[i], items, `${path}[${i}]`, defs, out);
  }
}

function checkString(value: unknown, schema: JsonSchema, path: string, out: Problem[]): void {
  if (typeof value !== 'string') {
    refuse(out, path, 'must be a string', show(value), 'type');
    return;
  }
  if (schema.const !== undefined && value !== schema.const) {
    refuse(out, path, `must be ${JSON.stringify(schema.const)}`, show(value));
  } else if (schema.enum && !schema.enum.includes(value)) {
    refuse(
      out,
      path,
      `must be one of ${schema.enum.map((item) => JSON.stringify(item)).join(', ')}`,
      show(value),
    );
  } else if (schema.pattern !== undefined && !new RegExp(schema.pattern, 'u').test(value)) {
    refuse(out, path, `must match ${schema.pattern}`, show(value));
  } else if (schema.maxLength !== undefined && value.length > schema.maxLength) {
    refuse(out, path, `must have at most ${schema.maxLength} signs`, String(value.length));
  }
}

/** Plain data of unknown shape: no deeper than `depth`, no names that reach a prototype, no odd numbers. */
function checkPlain(value: unknown, path: string, depth: number, out: Problem[]): void {
  if (out.length >= MOST) return;
  if (depth < 0) {
    refuse(out, path, 'must not be nested deeper than 12 levels', 'more');
  } else if (Array.isArray(value)) {
    value.forEach((item, i) => {
      checkPlain(item, `${path}[${i}]`, depth - 1, out);
    });
  } else if (isRecord(value)) {
    for (const name of Object.keys(value)) {
      if (name === '__proto__' || name === 'constructor' || name === 'prototype') {
        refuse(out, path, 'must have no field of that name', show(name), 'type');
      } else checkPlain(value[name], path ? `${path}.${name}` : name, depth - 1, out);
    }
  } else if (typeof value === 'number') {
    const problem = numberProblem(path, value);
    if (problem) out.push(problem);
  } else if (value !== null && !['string', 'boolean', 'undefined'].includes(typeof value)) {
    refuse(out, path, 'must be plain data', show(value), 'type');
  }
}
