import { describe, expect, it } from 'vitest';
import { evaluate } from '../../src/curves/evaluate.js';
import type { SceneSpec } from '../../src/exchange/scene.js';
import { sceneAxes } from '../../src/exchange/scene-axes.js';
import { toCsv } from '../../src/exchange/to-csv.js';
import { assertClose } from '../support/assert-close.js';
import { exampleDocument } from './example-document.js';

/** Division and multiplication by the scene's unit, once each. */
const ROUNDING = { abs: 1e-12, rel: 1e-14 };

function readTable(csv: string): Map<string, number[]> {
  const [header, ...rows] = csv.trimEnd().split('\r\n');
  return new Map(header.split(',').map((name, i) => [name, rows.map((row) => Number(row.split(',')[i]))]));
}

const SCENES: readonly Partial<SceneSpec>[] = [
  {},
  { metersPerUnit: 0.01, up: 'z', forward: '+x', fps: 25, firstFrame: 0 },
  { up: 'z', forward: '-y', fps: 30, firstFrame: 1001 },
  { metersPerUnit: 0.01, forward: '-x', fps: 60, firstFrame: -12 },
  { fps: 23.976, firstFrame: 0 },
];

describe('the table of a motion', () => {
  it('names every column with its unit', () => {
    const names = [...readTable(toCsv(exampleDocument({ scene: { metersPerUnit: 0.01 } }))).keys()];
    expect(names.slice(0, 5)).toEqual([
      'frame',
      'time [s]',
      'phase [1]',
      'root height y [cm]',
      'root forward z [cm]',
    ]);
    expect(names.slice(1).filter((name) => !/ \[(s|1|m|cm|rad|BW)\]$/.test(name))).toEqual([]);
  });

  it.each(SCENES)('gives back metres and seconds through the scene %j', (scene) => {
    const document = exampleDocument({ scene });
    const table = readTable(toCsv(document));
    const { metersPerUnit, frameRate, firstFrame } = document.scene;
    const axes = sceneAxes(document.scene);
    const frames = table.get('frame')!;
    for (const channel of ['height', 'forward', 'side'] as const) {
      const { letter, sign } = axes[channel];
      const unit = metersPerUnit === 1 ? 'm' : 'cm';
      const column = table.get(`root ${channel} ${letter} [${unit}]`)!;
      frames.forEach((frame, row) => {
        const time = ((frame - firstFrame) * frameRate.seconds) / frameRate.frames;
        const expected = evaluate(document.root[channel], time);
        assertClose(column[row] * sign * metersPerUnit, expected, ROUNDING, `${channel} at ${frame}`);
      });
    }
  });

  it('adds the feet to the total on every row', () => {
    const table = readTable(toCsv(exampleDocument()));
    for (const what of ['vertical y', 'forward z', 'side x']) {
      const [left, right, both] = ['left foot', 'right foot', 'both feet'].map(
        (who) => table.get(`${who} ${what} [BW]`)!,
      );
      both.forEach((total, row) => {
        assertClose(left[row] + right[row], total, ROUNDING);
      });
    }
  });

  it('quotes names as RFC 4180 asks, and lets none be taken for a formula', () => {
    const document = exampleDocument();
    const followers = [{ ...document.followers[0], name: '=SUM(A1:A9),"x"' }];
    expect(toCsv({ ...document, followers }).split('\r\n')[0]).toContain(
      '"\'=SUM(A1:A9),""x"" height y [m]"',
    );
  });
});
