/**
 * Weighs every case of the truth table and writes what was built in and what was found to
 * docs/method/weigh-truth-table.md. Run: npx tsx bench/weigh-truth-table.ts
 */
import { writeFileSync } from 'node:fs';
import { weighCurves } from '../src/weigh/index.js';
import { faultyCases, soundCases, type TruthCase } from '../tests/weigh/truth-cases.js';

const foundIn = ({ curves, options }: TruthCase): string[] => [
  ...new Set<string>(weighCurves(curves, options).findings.map(({ code }) => code)),
];
const [sound, faulty] = [soundCases(), faultyCases()];
const alarms = sound.filter((entry) => foundIn(entry).length > 0).length;
const missed = faulty.filter((entry) => !foundIn(entry).includes(entry.fault!)).length;
const row = (entry: TruthCase): string =>
  `| ${entry.name} | ${entry.fault ?? 'nothing'} | ${foundIn(entry).join(', ') || 'nothing'} |`;

const page = `# Truth table of the scale

${sound.length} sound walks, ${alarms} false alarms; ${faulty.length} walks with a fault built in, ${missed} missed. A fault may bring others with it.

Written by \`bench/weigh-truth-table.ts\`; the cases are built in \`tests/weigh/truth-cases.ts\` and checked one by one in \`tests/weigh/weigh-curves.test.ts\`.

| case | built in | found |
|---|---|---|
${[...sound, ...faulty].map(row).join('\n')}
`;
writeFileSync(new URL('../docs/method/weigh-truth-table.md', import.meta.url), page);
console.log(`${sound.length} sound, ${alarms} false alarms; ${faulty.length} faulty, ${missed} missed`);
