/** `npm run test:reference`: the reference checks alone. */
import { runReferenceChecks } from './ci/reference.js';

const { passed, failed } = await runReferenceChecks();
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed > 0 ? 1 : 0;
