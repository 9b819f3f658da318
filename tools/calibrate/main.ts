/**
 * Turns measured walks into the coefficients of `src/gait/coefficients.ts` and prints what is left.
 *
 *     npx tsx tools/calibrate/main.ts <data folder> [--residuals] [--leave-one-out]
 *
 * The folder holds `adults/` and `children/` as described in `docs/method/gait.md`. The fit starts from a
 * walker who knows nothing of the data. `--residuals` reports on the committed coefficients, without
 * fitting; `--leave-one-out` fits anew without each adult, from the same neutral
 * start, and reports on the one left out. The report
 * goes to standard output, progress and the coefficients go to standard error.
 */
import { join } from 'node:path';
import { COEFFICIENTS } from '../../src/gait/coefficients.js';
import { readAdults } from './adults.js';
import { readChildren } from './children.js';
import { compareSteps, compareTrials, fitRootRise, type StepError } from './compare.js';
import { searchLeastSquares } from './levenberg-marquardt.js';
import { type Measured, residualsOf } from './objective.js';
import { readParameters, roundParameters, writeNeutralStart, writeParameters } from './parameters.js';
import { reportResiduals } from './report.js';
import { readTimed } from './timed.js';

const FLAGS = ['--residuals', '--leave-one-out'];

/** Most steps of one fit, and the fraction of the cost that a step has to lower it by. */
const STEPS = 80;
const ENOUGH = 3e-4;

function calibrate(measured: Measured, steps: number, name: string): void {
  const residualsAt = (at: readonly number[]): Float64Array => {
    writeParameters(at);
    return residualsOf(measured);
  };
  const onStep = (step: number, cost: number): void =>
    console.error(`${name}: step ${step}, cost ${cost.toFixed(3)}`);
  writeParameters(searchLeastSquares(residualsAt, readParameters(), { steps, enough: ENOUGH, onStep }).at);
}

/** Errors of every step by coefficients that were fitted without the walker who made it. */
function leaveOneOut(measured: Measured): StepError[] {
  const whole = readParameters();
  const subjects = [...new Set(measured.adults.map(({ subject }) => subject))];
  const errors = subjects.flatMap((subject, i) => {
    // Not from the full fit, which has seen the one who is left out.
    writeNeutralStart();
    const others = measured.adults.filter((trial) => trial.subject !== subject);
    calibrate({ ...measured, adults: others }, STEPS, `without ${i + 1} of ${subjects.length}`);
    return compareSteps(measured.adults.filter((trial) => trial.subject === subject));
  });
  writeParameters(whole);
  return errors;
}

function main(args: readonly string[]): void {
  const [folder, ...more] = args.filter((arg) => !arg.startsWith('--'));
  const flags = args.filter((arg) => arg.startsWith('--'));
  if (!folder || more.length > 0 || flags.some((flag) => !FLAGS.includes(flag))) {
    throw new RangeError(`calibrate: needs one data folder and no flags but ${FLAGS.join(', ')}`);
  }
  const measured = {
    adults: readAdults(join(folder, 'adults')),
    children: readChildren(join(folder, 'children')),
  };
  const timed = readTimed(join(folder, 'adults'), measured.adults);
  if (!flags.includes('--residuals')) {
    writeNeutralStart();
    calibrate(measured, STEPS, 'fit');
    Object.assign(COEFFICIENTS.rootRise, fitRootRise(compareTrials(measured.adults), timed));
    roundParameters();
    console.error(JSON.stringify(COEFFICIENTS, null, 1));
  }
  const committed = structuredClone(COEFFICIENTS);
  const unseen = flags.includes('--leave-one-out') ? leaveOneOut(measured) : undefined;
  Object.assign(COEFFICIENTS, committed);
  console.log(reportResiduals(measured, timed, unseen));
}

main(process.argv.slice(2));
