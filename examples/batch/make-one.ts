/** What a worker does: one row of the cast becomes its files. */
import { join } from 'node:path';
import { toCsv, toDocument, toUsd } from 'underfoot/exchange';
import { saveFile } from 'underfoot/exchange/node';
import { planWalk, type WalkSpec } from 'underfoot/gait';

/** A row, and where its files go. */
export interface Task {
  readonly fields: Readonly<Record<string, string>>;
  readonly folder: string;
  readonly file: string;
}

const SCENE = { up: 'y', forward: '+z', metersPerUnit: 0.01, fps: 24, firstFrame: 1001 } as const;

/** Plans the walk and writes its layer, its table and, last, its document: what is there is whole. */
export async function makeOne({ fields, folder, file }: Task): Promise<string> {
  const document = toDocument(planWalk(specOf(fields)), { name: fields.name, scene: SCENE });
  await saveFile(join(folder, `${file}.usda`), toUsd(document));
  await saveFile(join(folder, `${file}.csv`), toCsv(document));
  await saveFile(join(folder, `${file}.json`), JSON.stringify(document));
  return `${document.pace?.speed.toFixed(2)} m/s, ${document.root.height.keys.length} keys`;
}

function specOf({ pace, mass_kg, leg_m, heft }: Task['fields']): WalkSpec {
  const number = (text: string | undefined): number | undefined => (text ? Number(text) : undefined);
  const speed = number(pace);
  return {
    pace: speed === undefined || Number.isNaN(speed) ? (pace as 'ordinary') : { speed },
    body: { mass: number(mass_kg), legLength: number(leg_m) },
    heft: number(heft),
  };
}
