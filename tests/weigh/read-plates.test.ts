import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { planWalk } from '../../src/gait/index.js';
import { measureSteps, type PlateRecording, readPlates, writePlates } from '../../src/weigh/index.js';
import { assertClose } from '../support/assert-close.js';

const fixture = (name: string): Uint8Array =>
  new Uint8Array(readFileSync(new URL(`../fixtures/${name}`, import.meta.url)));
const text = (name: string): string => new TextDecoder().decode(fixture(name));
const treadmill = text('treadmill-1.30.tsv');
// tests/reference/_treadmill.py: the recording measured with NumPy and SciPy.
const reference = JSON.parse(text('treadmill-1.30.reference.json'));

/** Same arithmetic on the same numbers: rounding only. */
const ROUNDING = { rel: 1e-9 };
/** 32-bit floats of forces of 700 N. */
const FLOATS = { rel: 2e-6 };
/** 16-bit integers over ±700 N: 0.02 N in 100 N of braking. */
const INTEGERS = { rel: 5e-4 };

const MEASURES = ['contactTime', 'firstPeak', 'trough', 'secondPeak', 'braking', 'propulsion'] as const;

describe('the treadmill recording of Fukuchi et al. (2018)', () => {
  const recording = readPlates(treadmill, { rate: 300 });

  it('measures what SciPy measures', () => {
    const report = measureSteps(recording);
    assertClose(recording.newtonsPerBodyWeight, reference.bodyWeight, ROUNDING);
    expect(report.steps.length).toBe(reference.steps);
    expect(recording.contacts.filter(({ land }) => land > 0).length).toBe(reference.landings);
    assertClose(report.strideTime, reference.strideTime, ROUNDING);
    for (const name of Object.keys(reference.mean) as (keyof typeof report.mean)[]) {
      // Impulses by rectangles here and trapezoids there; the ends are near 0.
      const tolerance = name.endsWith('Impulse') ? { rel: 5e-3 } : { rel: 1e-9 };
      assertClose(report.mean[name], reference.mean[name], tolerance, name);
      if (!name.endsWith('Impulse'))
        assertClose(report.spread[name], reference.spread[name], { rel: 1e-7 }, name);
    }
  });

  it('lands and lifts when SciPy says', () => {
    for (const foot of ['left', 'right'] as const) {
      const whole = recording.contacts.filter((contact) => contact.foot === foot && contact.whole);
      expect(whole.length).toBe(reference[foot].contacts.length);
      whole.forEach(({ land, lift }, i) => {
        assertClose(land, reference[foot].contacts[i][0], { abs: 1e-9 });
        assertClose(lift, reference[foot].contacts[i][1], { abs: 1e-9 });
      });
    }
  });

  it('needs its rate, since its time column counts samples', () => {
    expect(() => readPlates(treadmill)).toThrow(
      /^readPlates: rate must be given in Hz where no column holds times in seconds, got a time column that counts samples$/,
    );
  });

  it('says what was assumed', () => {
    expect(recording.notes.map(({ code }) => code)).toEqual([
      'units-assumed',
      'axes-detected',
      'contacts-left-out',
    ]);
  });

  it('reads the same as the bytes of the table', () => {
    expect(readPlates(fixture('treadmill-1.30.tsv'), { rate: 300 })).toEqual(recording);
  });

  it('reads the same as C3D written by ezc3d', () => {
    const report = measureSteps(readPlates(fixture('treadmill-1.30.c3d')));
    expect(report.steps.length).toBe(reference.steps);
    for (const name of MEASURES) assertClose(report.mean[name], reference.mean[name], FLOATS, name);
  });

  it.each([
    ['treadmill-5s-type1-intel-integer.c3d', INTEGERS],
    ['treadmill-5s-type2-intel-float.c3d', FLOATS],
    ['treadmill-5s-type3-mips-integer.c3d', INTEGERS],
    ['treadmill-5s-type4-dec-float.c3d', FLOATS],
  ])('reads %s the same as the table', (name, tolerance) => {
    const lines = treadmill.split('\n').slice(0, 1501).join('\n');
    const table = readPlates(lines, { rate: 300 });
    const c3d = readPlates(fixture(name));
    expect(c3d.contacts.map(({ foot }) => foot)).toEqual(table.contacts.map(({ foot }) => foot));
    const [expected, actual] = [measureSteps(table), measureSteps(c3d)];
    for (const measure of MEASURES)
      assertClose(actual.mean[measure], expected.mean[measure], tolerance, measure);
    // The C3D files' room has its origin 1.45 m to the right of the table's (see _treadmill_c3d.py).
    for (const foot of ['left', 'right'] as const) {
      const mean = (x: PlateRecording, axis: 'forward' | 'side'): number => {
        const loaded = x.pressure![foot][axis].filter((_, i) => x[foot].vertical[i] > 0.5);
        return loaded.reduce((sum, place) => sum + place, 0) / loaded.length;
      };
      assertClose(mean(c3d, 'forward'), mean(table, 'forward'), { abs: 2e-4 }, `${foot} forward`);
      assertClose(mean(c3d, 'side') - mean(table, 'side'), 1.45, { abs: 2e-4 }, `${foot} side`);
    }
  });
});

describe('a table of forces', () => {
  const walk = planWalk({ pace: 'ordinary', body: { mass: 80 } });
  const csv = writePlates(walk, { strides: 5 });

  it('gives back the weight and the forces that it was written from', () => {
    const recording = readPlates(csv, { lowPass: false });
    // 3 decimals of 785 N, and contacts that begin at 20 N.
    assertClose(recording.newtonsPerBodyWeight, 80 * 9.80665, { rel: 1e-3 });
    expect(recording.bodyWeightFrom).toBe('strides');
    const peak = Math.max(...recording.total.vertical);
    assertClose(peak * recording.newtonsPerBodyWeight, peakOf(walk) * 80 * 9.80665, { rel: 1e-3 });
  });

  it('reads the same with semicolons and decimal commas, tabs, or a row of units', () => {
    const commas = csv.replaceAll(',', ';').replaceAll('.', ',');
    const plain = readPlates(csv);
    expect(readPlates(commas)).toEqual(plain);
    expect(readPlates(csv.replaceAll(',', '\t'))).toEqual(plain);
    const [head, ...rows] = csv.split('\n');
    const bare = head.replace(/ \(\w+\)/g, '');
    expect(readPlates(['a preamble', bare, 's,N,N,N,N,N,N', ...rows].join('\r\n'))).toEqual(plain);
  });

  it('takes declared columns, units and axes, and kilonewtons', () => {
    const [, ...rows] = csv.trim().split('\n');
    const kilo = rows.map((row) => {
      const [t, ...f] = row.split(',').map(Number);
      return [1000 * t, f[2] / 1000, f[0] / 1000, f[5] / 1000, f[3] / 1000].join(' ');
    });
    const recording = readPlates(['ms up1 go1 up2 go2', ...kilo].join('\n'), {
      columns: {
        time: 'ms',
        plates: [
          { force: ['up1', 'go1', null], foot: 'left' },
          { force: [3, 4, null], foot: 'right' },
        ],
      },
      units: { force: 'kN', time: 'ms' },
      axes: { up: '+x', forward: '+y' },
    });
    const plain = readPlates(csv);
    assertClose(recording.newtonsPerBodyWeight, plain.newtonsPerBodyWeight, { rel: 1e-6 });
    assertClose(recording.left.forward[300], plain.left.forward[300], { abs: 1e-6 });
  });

  it.each(['+x', '-x', '+y', '-y'] as const)('finds a walk along %s', (axis) => {
    const recording = readPlates(turned(csv, axis));
    expect(recording.notes.find(({ code }) => code === 'axes-detected')?.text).toContain(
      axis.replace('-', '−'),
    );
    const plain = readPlates(csv);
    assertClose(recording.left.forward[300], plain.left.forward[300], { abs: 1e-9 });
    assertClose(recording.left.side[300], plain.left.side[300], { abs: 1e-9 });
  });

  it('turns over what the foot does to the plate', () => {
    const over = csv.replace(/(?<=,)-?\d[\d.]*/g, (cell) => String(-Number(cell)));
    const recording = readPlates(over);
    expect(recording.notes.filter(({ code }) => code === 'force-turned-over').length).toBe(2);
    assertClose(recording.left.forward[300], readPlates(csv).left.forward[300], { abs: 1e-9 });
  });

  it('takes a constant offset off', () => {
    const [head, ...rows] = csv.trim().split('\n');
    const shifted = rows.map((row) => {
      const cells = row.split(',').map(Number);
      return cells.map((x, i) => (i === 3 ? x + 12 : i === 1 ? x - 5 : x)).join(',');
    });
    const recording = readPlates([head, ...shifted].join('\n'));
    expect(recording.notes.find(({ code }) => code === 'baseline-removed')?.values).toMatchObject({
      plate: 1,
    });
    // The median of the band holds a few samples at the foot of the rise.
    assertClose(recording.newtonsPerBodyWeight, readPlates(csv).newtonsPerBodyWeight, { rel: 2e-3 });
    const kept = readPlates([head, ...shifted].join('\n'), { removeBaseline: false });
    assertClose(kept.newtonsPerBodyWeight, 80 * 9.80665 + 12, { rel: 2e-3 });
  });

  it('weighs from single steps where no stride is whole, and says so', () => {
    const two = readPlates(overground(walk));
    expect(two.contacts.length).toBe(2);
    expect(two.bodyWeightFrom).toBe('steps');
    assertClose(two.newtonsPerBodyWeight, 80 * 9.80665, { rel: 0.01 });
  });

  it.each([
    ['', 'source must not be empty'],
    [' \n ', 'source must hold a table, got an empty text'],
    ['hello\nworld', 'source must have a row of known headings'],
    ['time,Fx1,Fy1,Fz1', 'source must hold rows of numbers'],
    ['time,Fx1,Fz1\n0,1,2\n1,2', 'line 3 must have 3 cells like the headings, got 2'],
    ['time,Fx1,Fz1\n0,1,2\n0.01,x,2', 'line 3 must hold a force within'],
    ['time,Fx1,Fz1\n0,1,2\n0.01,2,NaN\n0.02,1,2', 'line 3 must hold a force within'],
    ['time,Fx1,Fz1\n0,1,2\n0.01,1e300,2\n0.02,1,2', 'line 3 must hold a force within'],
    ['time,Fx1,Fz1\n0,1,2\n0.01,1,2\n0.5,1,2\n0.51,1,2\n0.52,1,2', 'line 4 must come 0.01'],
    ['time (h),Fx1,Fz1\n0,1,2\n0.01,1,2', 'units.time must be'],
    ['time,Fx1 (lb),Fz1\n0,1,2\n0.01,1,2', 'units.force must be'],
    ['time,Fx1,Fx1\n0,1,2\n0.01,1,2', 'columns must be declared where two headings mean the same'],
    ['a\0b', 'source must be text or C3D, got a zero byte at 1'],
    [`${'x'.repeat(200_000)}`, 'line 1 must be at most 100000 characters'],
    [
      `t,Fz1\n${Array.from({ length: 300 }, (_, i) => `${i / 100},5`).join('\n')}`,
      'source must hold a contact',
    ],
  ])('refuses a source: %#', (source, message) => {
    expect(() => readPlates(source)).toThrow(`readPlates: ${message}`);
  });

  it('refuses options that are wrong, by name', () => {
    const read = (options: object) => () => readPlates(csv, options);
    expect(read({ lowpass: 20 })).toThrow(/^readPlates: options must have no fields but format/);
    expect(read({ landAbove: 20, liftBelow: 30 })).toThrow('liftBelow must be in (0, 20] N, got 30');
    expect(read({ lowPass: 250 })).toThrow('lowPass must be below half the rate, 250 Hz, got 250');
    expect(read({ lowPass: Number.NaN })).toThrow('lowPass must be > 0 Hz, got NaN');
    expect(read({ axes: { up: '+z', forward: '-z' } })).toThrow('axes.forward must be another axis');
    expect(read({ columns: { plates: [{ force: ['no', null, null] }] } })).toThrow('source must have a row');
    expect(() => readPlates(7 as never)).toThrow(TypeError);
  });
});

describe('a C3D file', () => {
  const whole = fixture('treadmill-5s-type3-mips-integer.c3d');

  it('is refused where it is cut short anywhere', () => {
    for (const length of [0, 1, 2, 511, 1000, 1024, 2048, whole.length - 1024]) {
      expect(() => readPlates(whole.slice(0, length), { format: 'c3d' }), `${length} bytes`).toThrow(
        /^readPlates: /,
      );
    }
    expect(() => readPlates(whole.slice(0, whole.length - 1024))).toThrow(
      'source must hold the 500 frames that it announces',
    );
  });

  it('is refused where its processor, type or channels are none', () => {
    const broken = (at: number, value: number): Uint8Array => {
      const copy = whole.slice();
      copy[at] = value;
      return copy;
    };
    expect(() => readPlates(broken(512 + 3, 99))).toThrow('processor must be 84, 85 or 86, got 99');
    const type = find(whole, 'TYPE') + 4 + 2 + 3;
    expect(() => readPlates(broken(type, 7))).toThrow('FORCE_PLATFORM:TYPE[0] must be 1, 2, 3 or 4');
    const channel = find(whole, 'CHANNEL') + 7 + 2 + 4;
    expect(() => readPlates(broken(channel, 7))).toThrow(
      'FORCE_PLATFORM:CHANNEL of plate 1 must be channels in',
    );
  });
});

function find(bytes: Uint8Array, name: string): number {
  const text = Array.from(bytes, (byte) => String.fromCharCode(byte)).join('');
  return text.indexOf(name);
}

function peakOf(walk: ReturnType<typeof planWalk>): number {
  return (
    Math.max(
      ...writePlates(walk, { strides: 1 })
        .trim()
        .split('\n')
        .slice(1)
        .map((row) => row.split(',').map(Number))
        .map((cells) => cells[3] + cells[6]),
    ) /
    (80 * 9.80665)
  );
}

/** The table with the walk turned to go along an axis of the room. */
function turned(csv: string, axis: '+x' | '-x' | '+y' | '-y'): string {
  const [head, ...rows] = csv.trim().split('\n');
  const turn = (forward: number, side: number): [number, number] => {
    if (axis === '+x') return [forward, side];
    if (axis === '-x') return [-forward, -side];
    return axis === '+y' ? [-side, forward] : [side, -forward];
  };
  const out = rows.map((row) => {
    const [t, lx, ly, lz, rx, ry, rz] = row.split(',').map(Number);
    return [t, ...turn(lx, ly), lz, ...turn(rx, ry), rz].join(',');
  });
  return [head, ...out].join('\n');
}

/** One step on each of two plates of a walkway, nothing before and after. */
function overground(walk: ReturnType<typeof planWalk>): string {
  const rows = writePlates(walk, { strides: 3 })
    .trim()
    .split('\n')
    .slice(1)
    .map((row) => row.split(',').map(Number));
  const { strideTime } = walk.pace;
  const kept = rows.map(([t, lx, ly, lz, rx, ry, rz]) => {
    const right = t > 0.9 * strideTime && t < 1.8 * strideTime;
    const left = t > 1.4 * strideTime && t < 2.3 * strideTime;
    return [t, ...(right ? [rx, ry, rz] : [0, 0, 0]), ...(left ? [lx, ly, lz] : [0, 0, 0])].join(',');
  });
  return ['time,Fx1,Fy1,Fz1,Fx2,Fy2,Fz2', ...kept].join('\n');
}
