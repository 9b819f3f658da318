// Reads the plate files named on standard input and prints what they measure.
import { readFileSync } from 'node:fs';
import { measureSteps, readPlates } from 'underfoot/weigh';

const { files } = JSON.parse(readFileSync(0, 'utf8'));

const results = files.map(({ path, options }) => {
  const recording = readPlates(new Uint8Array(readFileSync(path)), options);
  const { steps, mean, spread, strideTime } = measureSteps(recording);
  return {
    bodyWeight: recording.newtonsPerBodyWeight,
    landings: recording.contacts.filter(({ land }) => land > 0).length,
    contacts: recording.contacts,
    steps: steps.length,
    mean,
    spread,
    strideTime,
    left: recording.left,
    right: recording.right,
    pressure: recording.pressure,
  };
});
console.log(JSON.stringify(results));
