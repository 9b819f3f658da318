import { joinJets } from '../feet/quintic.js';
import type { Note } from '../note.js';
import type {
  CentreLine,
  HandOver,
  Layer,
  LineSegment,
  PieceTrack,
  PlannedStretch,
  Plant,
  Shot,
  ShotStep,
} from '../shot/shot.js';
import type { Walk } from '../walk.js';

/** A track that is being put together, piece by piece. */
export interface GrowingTrack {
  readonly times: number[];
  readonly powers: (readonly number[])[];
}

/** A shot that is being put together from parts. */
export interface GrowingShot {
  /** What has been put together lasts so long, in s. */
  duration: number;
  readonly steps: ShotStep[];
  readonly handOvers: HandOver[];
  readonly segments: LineSegment[];
  readonly cycles: Walk[];
  readonly layers: Layer[];
  readonly stretches: PlannedStretch[];
  readonly notes: Note[];
  readonly along: GrowingTrack;
  readonly beside: GrowingTrack;
  readonly height: GrowingTrack;
  readonly root: GrowingTrack;
}

/** Where a part begins in the whole. */
export interface Offset {
  /** In s. */
  readonly time: number;
  /** Along the line, and of the floor, in m. */
  readonly along: number;
  readonly floor: number;
  /** Where the part's own origin and forward direction lie in the fixed axes. */
  readonly forward: number;
  readonly side: number;
  readonly heading: number;
}

/** Nothing yet. */
export function emptyShot(): GrowingShot {
  const track = (): GrowingTrack => ({ times: [0], powers: [] });
  return {
    duration: 0,
    steps: [],
    handOvers: [],
    segments: [],
    cycles: [],
    layers: [],
    stretches: [],
    notes: [],
    along: track(),
    beside: track(),
    height: track(),
    root: track(),
  };
}

/** Adds a piece of a track that ends at a time. */
export function addPiece({ times, powers }: GrowingTrack, end: number, piece: readonly number[]): void {
  times.push(end);
  powers.push(piece);
}

/** Adds to the root's height what eases from one value and rate to another. */
export function easeRoot(
  whole: GrowingShot,
  end: number,
  from: { readonly value: number; readonly rate: number },
  to: { readonly value: number; readonly rate: number },
): void {
  const span = end - whole.root.times[whole.root.times.length - 1];
  addPiece(whole.root, end, joinJets([from.value, from.rate, 0], [to.value, to.rate, 0], span).powers);
}

/** The last moment before a time: a layer that ends there is not read at it. */
export function justBefore(t: number): number {
  return t * (1 - 2 ** -53);
}

/** Puts a walked shot at the end of the whole; its first step is left out where `joins` says that it is there already. */
export function addWalked(
  whole: GrowingShot,
  part: Shot,
  offset: Offset,
  ends: { readonly joins: boolean; readonly goesOn: boolean },
): void {
  const end = offset.time + part.duration;
  const cycle = whole.cycles.length;
  const stretch = whole.stretches.length;
  const first = whole.steps.length - (ends.joins ? 1 : 0);
  for (const step of part.steps.slice(ends.joins ? 1 : 0)) {
    const before = whole.steps[whole.steps.length - 1];
    // The contact that a part begins with is a step from the one before.
    const steps = ends.joins && step.kind === 'begin';
    whole.steps.push({
      ...step,
      ...(steps
        ? {
            kind: 'step',
            duration: step.land + offset.time - before.land,
            length: step.along + offset.along - before.along,
          }
        : {}),
      index: whole.steps.length,
      stretch: step.stretch + stretch,
      cycle: step.cycle + cycle,
      land: step.land + offset.time,
      lift: step.lift + offset.time,
      along: step.along + offset.along,
      plant: placed(step.plant, offset),
      roll: { ...step.roll, start: step.roll.start + offset.time, end: step.roll.end + offset.time },
    });
  }
  for (const over of part.handOvers) {
    whole.handOvers.push({ ...over, start: over.start + offset.time, end: over.end + offset.time });
  }
  whole.segments.push(...part.line.segments.map((segment) => turned(segment, offset)));
  for (const layer of part.layers) {
    const last = layer.weight.times[layer.weight.times.length - 1];
    const cut = ends.goesOn && last >= part.duration;
    whole.layers.push({
      ...layer,
      cycle: layer.cycle + cycle,
      phase: later(layer.phase, offset.time, cut),
      weight: later(layer.weight, offset.time, cut),
    });
  }
  for (const [name, by] of [
    ['along', offset.along],
    ['beside', 0],
    ['height', offset.floor],
  ] as const) {
    const { times, powers } = part.base[name];
    powers.forEach((piece, i) => {
      const at = i + 1 === powers.length ? end : times[i + 1] + offset.time;
      addPiece(whole[name], at, [piece[0] + by, ...piece.slice(1)]);
    });
  }
  if (part.duration > 0) addPiece(whole.root, end, [0, 0, 0, 0, 0, 0]);
  whole.cycles.push(...part.cycles);
  for (const planned of part.stretches) {
    const { steady } = planned;
    whole.stretches.push({
      ...planned,
      cycle: planned.cycle + cycle,
      firstStep: planned.firstStep + first,
      lastStep: planned.lastStep + first,
      start: planned.start + offset.time,
      end: planned.end + offset.time,
      ...(steady ? { steady: { start: steady.start + offset.time, end: steady.end + offset.time } } : {}),
    });
  }
  whole.notes.push(...part.notes);
  whole.duration = end;
}

/** A track at a later time; cut just short of its end where another takes over there. */
function later({ times, powers }: PieceTrack, by: number, cut: boolean): PieceTrack {
  const moved = times.map((t) => t + by);
  if (cut) moved[moved.length - 1] = justBefore(moved[moved.length - 1]);
  return { times: moved, powers };
}

function placed(plant: Plant, { forward, side, heading, floor }: Offset): Plant {
  const [c, s] = [Math.cos(heading), Math.sin(heading)];
  return {
    ...plant,
    forward: forward + plant.forward * c - plant.side * s,
    side: side + plant.forward * s + plant.side * c,
    height: plant.height + floor,
    heading: plant.heading + heading,
  };
}

function turned(segment: LineSegment, offset: Offset): LineSegment {
  const { forward, side, heading } = offset;
  const [c, s] = [Math.cos(heading), Math.sin(heading)];
  return {
    ...segment,
    start: segment.start + offset.along,
    heading: segment.heading + heading,
    forward: forward + segment.forward * c - segment.side * s,
    side: side + segment.forward * s + segment.side * c,
  };
}

/** The whole line: between two that bend there is a straight piece. */
export function lineOf(segments: readonly LineSegment[]): CentreLine {
  const all: LineSegment[] = [];
  for (const segment of segments) {
    const last = all[all.length - 1];
    const end = last && last.start + last.length;
    if (last && segment.start > end) {
      const length = segment.start - end;
      const { heading } = segment;
      all.push({
        start: end,
        length,
        from: 0,
        to: 0,
        heading,
        forward: segment.forward - length * Math.cos(heading),
        side: segment.side - length * Math.sin(heading),
      });
    }
    all.push(segment);
  }
  return { segments: all };
}
