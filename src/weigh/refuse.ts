import { errorOf, show } from '../internal/check.js';

/** Throws the RangeError that names function, field, rule and what was found, in the library's grammar. */
export function refuse(where: string, field: string, rule: string, got: unknown): never {
  throw errorOf(where, { field, rule, got: typeof got === 'string' ? got : show(got), kind: 'range' });
}
