import { STANDARD_GRAVITY } from '../gait/body.js';
import type { Side } from '../gait/walk.js';
import { assignFeet, type Landing } from './assign-feet.js';
import { unloadedReadings } from './baseline.js';
import { findBodyWeight } from './body-weight.js';
import { findLoadings, type Loading } from './find-contacts.js';
import { lowPass } from './low-pass.js';
import { along, findForward, findUp, type Orientation } from './orient.js';
import type { PlateOptions } from './plate-options.js';
import type { PlateNote, RawPlate, RawRecord, Triple } from './raw-plate.js';
import type { PlateContact, PlateRecording } from './recording.js';
import { refuse } from './refuse.js';

/** Low-pass in Hz where none is asked for; plates are passed at 15–25 Hz as a rule. */
const DEFAULT_LOW_PASS = 20;

/** How much longer than the middle one a contact may be before it is taken for two feet's. */
const LONGEST_CONTACT = 1.6;

/** A foot's columns, filled contact by contact. */
interface FootColumns {
  readonly vertical: number[];
  readonly forward: number[];
  readonly side: number[];
  readonly pressureForward: number[];
  readonly pressureSide: number[];
}

/** One plate in the directions of travel, in N and N·m, low-passed. */
interface Signals {
  readonly vertical: Float64Array;
  readonly forward: Float64Array;
  readonly side: Float64Array;
  /** Centre of pressure times vertical force, which unlike it can be filtered while the plate is free. */
  readonly momentForward?: Float64Array;
  readonly momentSide?: Float64Array;
}

/** A recording from the plates of the room: signs, baselines, filter, contacts, feet, body weight. */
export function interpretRecord(where: string, record: RawRecord, options: PlateOptions): PlateRecording {
  const { rate, count } = record;
  const notes = [...record.notes];
  const cutoff = cutoffFor(where, options, rate);
  if (count < 0.5 * rate) refuse(where, 'source', 'must last at least 0.5 s', `${count / rate} s`);
  const up = findUp(record.plates, options);
  const plates = record.plates.map((plate, i) => settlePlate(plate, i, up, options, notes));
  const { landAbove = 20, liftBelow = Math.min(10, landAbove) } = options;
  const filter = (column: Float64Array): Float64Array => (cutoff ? lowPass(column, cutoff, rate) : column);
  const loadings = plates.map((plate) =>
    findLoadings(filter(along(plate.force, up)), rate, landAbove, liftBelow),
  );
  if (loadings.every((list) => list.length === 0)) {
    refuse(where, 'source', `must hold a contact of more than ${landAbove} N for at least 0.15 s`, 'none');
  }
  const axes = findForward(plates, loadings, up, options, notes);
  const signals = plates.map((plate) => signalsOf(plate, axes, filter));
  const contacts = nameContacts(plates, signals, loadings, rate, notes);
  const feet = { left: emptyFoot(count), right: emptyFoot(count) };
  for (const contact of contacts) fillFoot(feet[contact.foot], signals[contact.plate], contact, rate);
  const weight = weigh(where, signals, contacts, rate, options, notes);
  checkSides(feet, notes);
  const bw = weight.newtons;
  const columns = (foot: FootColumns) => ({
    vertical: foot.vertical.map((x) => x / bw),
    forward: foot.forward.map((x) => x / bw),
    side: foot.side.map((x) => x / bw),
  });
  const [left, right] = [columns(feet.left), columns(feet.right)];
  const add = (a: readonly number[], b: readonly number[]): number[] => a.map((x, i) => x + b[i]);
  const pressure = (foot: FootColumns) => ({ forward: foot.pressureForward, side: foot.pressureSide });
  const measured = plates.every((plate) => plate.pressure);
  return {
    kind: 'recording',
    rate,
    time: Array.from({ length: count }, (_, i) => i / rate),
    left,
    right,
    total: {
      vertical: add(left.vertical, right.vertical),
      forward: add(left.forward, right.forward),
      side: add(left.side, right.side),
    },
    ...(measured ? { pressure: { left: pressure(feet.left), right: pressure(feet.right) } } : {}),
    newtonsPerBodyWeight: bw,
    bodyWeightFrom: weight.from,
    gravity: options.gravity ?? STANDARD_GRAVITY,
    contacts,
    lowPass: cutoff,
    notes,
  };
}

function cutoffFor(where: string, options: PlateOptions, rate: number): number | false {
  const { lowPass: asked } = options;
  // Below 50 Hz there is nothing left to take away.
  if (asked === undefined) return rate > 2.5 * DEFAULT_LOW_PASS ? DEFAULT_LOW_PASS : false;
  if (asked !== false && asked >= rate / 2) {
    refuse(where, 'lowPass', `must be below half the rate, ${rate / 2} Hz`, `${asked}`);
  }
  return asked;
}

/** The plate with the floor pushing up and its unloaded readings taken off. */
function settlePlate(
  plate: RawPlate,
  i: number,
  up: Triple<number>,
  options: PlateOptions,
  notes: PlateNote[],
): RawPlate {
  let force = plate.force.map((column) => column.slice()) as unknown as Triple<Float64Array>;
  if (along(force, up).reduce((a, b) => a + b, 0) < 0) {
    force = force.map((column) => column.map((x) => (x === 0 ? 0 : -x))) as unknown as Triple<Float64Array>;
    notes.push({
      code: 'force-turned-over',
      text: `Plate ${i + 1} records the foot's force on it; the floor's force on the foot is its opposite.`,
      values: { plate: i + 1 },
    });
  }
  if (options.removeBaseline === false) return { ...plate, force };
  const zero = unloadedReadings(along(force, up), force);
  if (!zero) {
    notes.push({
      code: 'baseline-unknown',
      text: `Plate ${i + 1} is never free, so nothing is taken off its readings.`,
      values: { plate: i + 1 },
    });
  } else if (zero.some((x) => x !== 0)) {
    force = force.map((column, axis) => column.map((x) => x - zero[axis])) as unknown as Triple<Float64Array>;
    notes.push({
      code: 'baseline-removed',
      text: `Plate ${i + 1} reads ${zero.map((x) => x.toFixed(1)).join(', ')} N while it is free; that is taken off.`,
      values: { plate: i + 1, x: zero[0], y: zero[1], z: zero[2] },
    });
  }
  return { ...plate, force };
}

function signalsOf(
  plate: RawPlate,
  axes: Orientation,
  filter: (column: Float64Array) => Float64Array,
): Signals {
  const raw = along(plate.force, axes.up);
  const moment = (axis: Triple<number>): Float64Array | undefined => {
    if (!plate.pressure) return undefined;
    const place = along(plate.pressure, axis);
    return filter(place.map((x, i) => x * raw[i]));
  };
  return {
    vertical: filter(raw),
    forward: filter(along(plate.force, axes.forward)),
    side: filter(along(plate.force, axes.side)),
    momentForward: moment(axes.forward),
    momentSide: moment(axes.side),
  };
}

function nameContacts(
  plates: readonly RawPlate[],
  signals: readonly Signals[],
  loadings: readonly (readonly Loading[])[],
  rate: number,
  notes: PlateNote[],
): PlateContact[] {
  const all = loadings
    .flatMap((list, plate) => list.map((loading) => ({ ...loading, plate })))
    .sort((a, b) => a.from - b.from || a.plate - b.plate);
  const landings = all.map(({ from, to, plate }): Landing => {
    const { vertical, side, momentSide } = signals[plate];
    let [load, push, moment] = [0, 0, 0];
    for (let i = Math.ceil(from); i <= to; i++) {
      load += vertical[i];
      push += side[i];
      moment += momentSide ? momentSide[i] : 0;
    }
    const place = momentSide && load > 0 ? moment / load : undefined;
    return { plate, land: from / rate, place, push: push / Math.max(1, to - from) };
  });
  const feet = assignFeet(
    landings,
    plates.map(({ foot }) => foot),
    notes,
  );
  const lengths = all.filter(({ cut }) => !cut).map(({ from, to }) => to - from);
  const middle = lengths.sort((a, b) => a - b)[Math.floor((lengths.length - 1) / 2)] ?? 0;
  const contacts = all.map(({ from, to, cut, plate }, i) => ({
    foot: feet[i] as Side,
    plate,
    land: from / rate,
    lift: to / rate,
    whole: !cut && to - from <= LONGEST_CONTACT * middle,
  }));
  const left = contacts.filter(({ whole }) => !whole).length;
  if (left > 0) {
    notes.push({
      code: 'contacts-left-out',
      text: `${left} of ${contacts.length} contacts are cut off or too long for one foot and are not measured.`,
      values: { leftOut: left, contacts: contacts.length },
    });
  }
  return contacts;
}

function emptyFoot(count: number): FootColumns {
  const zeros = () => new Array<number>(count).fill(0);
  return {
    vertical: zeros(),
    forward: zeros(),
    side: zeros(),
    pressureForward: zeros(),
    pressureSide: zeros(),
  };
}

function fillFoot(foot: FootColumns, signals: Signals, contact: PlateContact, rate: number): void {
  const { vertical, forward, side, momentForward, momentSide } = signals;
  for (let i = Math.ceil(contact.land * rate - 1e-9); i <= contact.lift * rate + 1e-9; i++) {
    // A floor does not pull: what the filter leaves below 0 is its ringing.
    foot.vertical[i] += Math.max(0, vertical[i]);
    foot.forward[i] += forward[i];
    foot.side[i] += side[i];
    if (momentForward && momentSide && vertical[i] >= 1) {
      foot.pressureForward[i] = momentForward[i] / vertical[i];
      foot.pressureSide[i] = momentSide[i] / vertical[i];
    }
  }
}

function weigh(
  where: string,
  signals: readonly Signals[],
  contacts: readonly PlateContact[],
  rate: number,
  options: PlateOptions,
  notes: PlateNote[],
): { newtons: number; from: PlateRecording['bodyWeightFrom'] } {
  if (options.bodyWeight !== undefined) return { newtons: options.bodyWeight, from: 'stated' };
  // The whole of every plate, between contacts too: what a filter rings below 0 it has put on elsewhere.
  const total = new Float64Array(signals[0].vertical.length);
  for (const { vertical } of signals) for (let i = 0; i < total.length; i++) total[i] += vertical[i];
  const found = findBodyWeight(total, rate, contacts);
  if (!found || !(found.newtons > 1)) {
    refuse(
      where,
      'bodyWeight',
      'must be given in N where the record holds no whole stride or pair of steps',
      'undefined',
    );
  }
  if (found.from === 'steps') {
    notes.push({
      code: 'body-weight-from-steps',
      text: `The body weight of ${found.newtons.toFixed(0)} N is taken from single steps, as if they were steady.`,
      values: { newtons: found.newtons },
    });
  }
  return found;
}

/** The floor pushes each foot towards the other; where both are pushed outwards the room is mirrored. */
function checkSides(feet: { left: FootColumns; right: FootColumns }, notes: PlateNote[]): void {
  const sum = (column: readonly number[]): number => column.reduce((a, b) => a + b, 0);
  const [left, right] = [sum(feet.left.side), sum(feet.right.side)];
  if (!(left > 0 && right < 0)) return;
  notes.push({
    code: 'sides-mirrored',
    text: 'The floor seems to push both feet outwards: the axes of the room may be left-handed.',
    values: {},
  });
}
