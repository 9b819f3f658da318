import fc from 'fast-check';

/**
 * One seed for every law, so that a run can be repeated anywhere; FAST_CHECK_SEED sets another, and
 * `FAST_CHECK_SEED=new` a fresh one each time, which a failure prints.
 */
const wanted = process.env.FAST_CHECK_SEED ?? '20261125';
if (wanted !== 'new') {
  const seed = Number(wanted);
  if (!Number.isSafeInteger(seed))
    throw new RangeError(`FAST_CHECK_SEED must be a whole number or new, got ${wanted}`);
  fc.configureGlobal({ ...fc.readConfigureGlobal(), seed });
}
