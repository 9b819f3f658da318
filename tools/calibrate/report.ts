/** The residuals as Markdown. */
import type { Trial } from './adults.js';
import { checkBars } from './bars.js';
import { PEAKS } from './children.js';
import {
  COMPONENTS,
  compareGroups,
  compareMeanCurves,
  compareSteps,
  compareTrials,
  energyAt,
  findCrossing,
  type GroupError,
  type StepError,
} from './compare.js';
import { stanceOf } from './mean-curve.js';
import type { Measured } from './objective.js';
import { publishedTimes, TIMES } from './peaks.js';
import { footOverStance, planSpeed } from './predict.js';
import { compareBends, slopesOf } from './smoothness.js';
import type { MeasuredStep } from './timed.js';

type Cell = string | number;

function table(heading: readonly Cell[], rows: readonly (readonly Cell[])[]): string {
  const line = (cells: readonly Cell[]): string => `| ${cells.join(' | ')} |`;
  return [line(heading), line(heading.map(() => '---')), ...rows.map(line)].join('\n');
}

const signed = (x: number, digits: number): string => {
  const text = x.toFixed(digits);
  return x < 0 ? text.replace('-', '−') : `+${text}`;
};

/** Least, quartiles, ninth tenth and greatest of some numbers. */
const QUANTILES = [0, 0.25, 0.5, 0.75, 0.9, 1];

function quantile(values: readonly number[], part: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  const at = part * (sorted.length - 1);
  const low = Math.floor(at);
  return sorted[low] + (at - low) * ((sorted[low + 1] ?? sorted[low]) - sorted[low]);
}

const mean = (values: readonly number[]): number => values.reduce((sum, x) => sum + x, 0) / values.length;
const spread = (values: readonly number[]): number =>
  Math.sqrt(mean(values.map((x) => (x - mean(values)) ** 2)));

const SETS: readonly [string, (one: { condition: Trial['condition'] }) => boolean][] = [
  ['pooled', () => true],
  ['self-selected', ({ condition }) => condition === 'self-selected'],
  ['fast', ({ condition }) => condition === 'fast'],
];

/** Names that the tables use for the peaks and times. */
const NAMES = {
  first: 'F1',
  valley: 'F2',
  second: 'F3',
  braking: 'braking',
  propulsion: 'propulsion',
  zero: 'turning',
} as const;

function groupTables(groups: readonly GroupError[]): string[] {
  const sizes = groups.map(({ group, peaks }) => [
    group.speed.toFixed(3),
    ...PEAKS.map((name) => {
      const off = peaks.size[name] - group.peaks[name].mean;
      return `${peaks.size[name].toFixed(3)} (${signed(off, 3)}, ${signed(off / group.peaks[name].sd, 2)} SD)`;
    }),
  ]);
  const times = groups.map(({ group, peaks }) => [
    group.speed.toFixed(3),
    ...TIMES.map((name) => {
      const off = peaks.time[name] - publishedTimes(group.speed)[name];
      return `${peaks.time[name].toFixed(1)} (${signed(off, 1)})`;
    }),
  ]);
  const centre = groups.map(({ group, stance, centre: { lowest, highest, slowest } }) => [
    group.speed.toFixed(3),
    `${(100 * stance).toFixed(1)} (${signed(100 * (stance - group.stance), 1)})`,
    ...[lowest, highest, slowest].map((x) => x.toFixed(1)),
  ]);
  return [
    '## The published table',
    'Schwartz, Rozumalski & Trost 2008, 82 children; model at each group’s speed and step length. Sizes in BW, in brackets the difference and how many published standard deviations that is.',
    table(['v*', ...PEAKS.map((name) => NAMES[name])], sizes),
    'Times in % of stance, in brackets the difference from the published fits (F1, F2, F3: Schreiber & Moissenet 2019, their leg length converted; braking 17, propulsion 88, turning 55).',
    table(['v*', ...TIMES.map((name) => NAMES[name])], times),
    'Stance in % of stride with the difference from the table; centre of mass in % of stride after a contact.',
    table(['v*', 'stance', 'lowest', 'highest', 'slowest forwards'], centre),
  ];
}

function stepTable(kinds: readonly [string, readonly StepError[]][]): string {
  const rows = COMPONENTS.flatMap((name) =>
    SETS.flatMap(([set, belongs]) =>
      kinds.map(([kind, errors]) => {
        const values = errors.filter(belongs).map(({ rms }) => rms[name]);
        return [name, set, kind, ...QUANTILES.map((part) => quantile(values, part).toFixed(3))];
      }),
    ),
  );
  return table(
    ['component', 'condition', 'told by', 'least', 'quarter', 'median', 'three quarters', '90 %', 'most'],
    rows,
  );
}

function trialTables(measured: Measured): string[] {
  const trials = compareTrials(measured.adults);
  const rises = SETS.map(([set, belongs]) => {
    const some = trials.filter(belongs);
    const off = some.map((one) => 100 * (one.rootRise - one.pelvisRise));
    return [
      set,
      ...(['pelvisRise', 'rootRise', 'centreRise'] as const).map((name) =>
        (100 * mean(some.map((one) => one[name]))).toFixed(2),
      ),
      quantile(
        some.map((one) => one.pelvisRise / one.centreRise),
        0.5,
      ).toFixed(2),
      quantile(
        some.map((one) => one.rootRise / one.centreRise),
        0.5,
      ).toFixed(2),
      signed(mean(off), 2),
      Math.sqrt(mean(off.map((x) => x * x))).toFixed(2),
    ];
  });
  const stances = SETS.map(([set, belongs]) => {
    const some = trials.filter(belongs);
    const off = some.map((one) => 100 * (one.modelStance - one.stance));
    return [
      set,
      (100 * mean(some.map((one) => one.stance))).toFixed(1),
      signed(mean(off), 2),
      spread(off).toFixed(2),
    ];
  });
  return [
    '## Root and stance of the adults',
    'Rise and fall in cm: the measured pelvis, the model’s root, its centre of mass.',
    table(
      [
        'condition',
        'pelvis',
        'root',
        'centre of mass',
        'pelvis / centre',
        'root / centre',
        'root − pelvis',
        'rms',
      ],
      rises,
    ),
    'Stance in % of stride: step time and double support of each trial beside the law of speed, which was not fitted here.',
    table(['condition', 'measured', 'model − measured', 'SD of that'], stances),
  ];
}

function energyTables(): string[] {
  const rows = [0.5, 0.7, 0.86, 1, 1.1, 1.28, 1.4, 1.5, 1.66, 1.9, 2.1].map((speed) => {
    const { recovery, ratio, centre } = energyAt(speed);
    return [
      speed.toFixed(2),
      recovery.toFixed(1),
      ratio.toFixed(3),
      (100 * centre.bob).toFixed(2),
      `${centre.leastLoad.toFixed(3)} – ${centre.mostLoad.toFixed(3)}`,
    ];
  });
  return [
    '## Energy',
    'Default step length, leg 0.90 m. Recovery in %, forward over vertical work, bob of the centre of mass in cm, range of the total load in BW.',
    table(['m/s', 'recovery', 'forward / vertical', 'bob', 'load'], rows),
    `Forward work overtakes vertical at ${findCrossing().toFixed(2)} m/s.`,
  ];
}

function timedTables(
  steps: readonly (MeasuredStep & { condition: Trial['condition'] })[],
  measured: Measured,
): string[] {
  const trials = compareTrials(measured.adults);
  const rows = SETS.map(([set, belongs]) => {
    const chosen = steps.map((one, i) => ({ ...one, trial: trials[i] })).filter(belongs);
    const middle = (pick: (one: (typeof chosen)[number]) => number): number =>
      quantile(chosen.map(pick), 0.5);
    return [
      set,
      mean(chosen.map((one) => one.meanLoad)).toFixed(3),
      middle((one) => one.bobKept).toFixed(2),
      (100 * mean(chosen.map((one) => one.rise))).toFixed(2),
      (100 * mean(chosen.map((one) => one.trial.centreRise))).toFixed(2),
      middle((one) => one.trial.pelvisRise / one.rise).toFixed(2),
      middle((one) => one.workRatio).toFixed(2),
      (100 * middle((one) => one.recovery)).toFixed(0),
    ];
  });
  return [
    '## What the adults’ two plates say by themselves',
    'One step of both feet’s measured force in each trial, integrated with no model in between: mean load in BW, median κ, mean rise and fall of the centre of mass in cm beside the model’s, median pelvis rise over measured centre rise, median forward over vertical work, median recovery in %.',
    table(
      [
        'condition',
        'mean load',
        'κ',
        'centre rise',
        'model’s',
        'pelvis / centre',
        'forward / vertical',
        'recovery',
      ],
      rows,
    ),
  ];
}

function smoothnessTables(measured: Measured): string[] {
  const thousandths = (x: number): string => (1000 * x).toFixed(1).replace('-', '−');
  const bends = compareBends(measured.adults, measured.children).map(({ name, model, measured: curve }) => [
    name,
    thousandths(Math.min(...curve)),
    thousandths(Math.min(...model)),
    thousandths(Math.sqrt(mean(model.map((bend, i) => (bend - curve[i]) ** 2)))),
  ]);
  const least = (values: readonly number[]): string => thousandths(Math.min(...values));
  const paces = [0.86, 1.28, 1.66].map((speed) => {
    const { rise, fall } = slopesOf(footOverStance(planSpeed(speed), 1000).vertical, 1);
    return [`model at ${speed} m/s`, least(rise), least(fall)];
  });
  const curves = measured.children.slice(1, 4).map((group) => {
    const { rise, fall } = slopesOf(stanceOf(group).vertical, 1);
    return [`children, ${group.name.toLowerCase()}`, least(rise), least(fall)];
  });
  return [
    '## How smooth one foot’s vertical force is',
    'Second differences over ± 2 % of stance, from 8 to 92 % of it, in 0.001 BW per (% of stance)²: the sharpest downward bend of the mean curve and of the model, and the root mean square difference.',
    table(['mean curve of', 'measured', 'model', 'difference'], bends),
    'The least slope over any 1 % of stance on the way up to F1 and the least on the way down from F3, in 0.001 BW per % of stance; below 0 the force turns back.',
    table(['curve', 'rise', 'fall'], [...curves, ...paces]),
  ];
}

/** The whole report; with the steps of refits that had not seen them, where there were any. */
export function reportResiduals(
  measured: Measured,
  timed: readonly MeasuredStep[],
  unseen?: readonly StepError[],
): string {
  const kinds: [string, readonly StepError[]][] = [
    ['mean curve of the condition', compareMeanCurves(measured.adults)],
    ['model, in sample', compareSteps(measured.adults)],
  ];
  if (unseen) kinds.push(['model, subject left out', unseen]);
  const bars = checkBars(measured, unseen);
  return [
    '# What the walk model leaves',
    'Printed by `tools/calibrate/main.ts <data folder> --leave-one-out`; [the model](gait.md) says what the words mean.',
    '## What was asked',
    table(
      ['what', 'asked', 'found', ''],
      bars.map(({ what, asked, found, met }) => [what, asked, found, met ? 'met' : '**missed**']),
    ),
    ...groupTables(compareGroups(measured.children)),
    ...smoothnessTables(measured),
    '## The adults',
    'Schreiber & Moissenet 2019, 18 adults, 36 trials, 72 steps. Root mean square over stance in BW between the model and each step; the model is told speed, step time, mass and stature, and not the condition.',
    stepTable(kinds),
    ...trialTables(measured),
    ...timedTables(
      timed.map((step, i) => ({ ...step, condition: measured.adults[i].condition })),
      measured,
    ),
    ...energyTables(),
  ].join('\n\n');
}
